/*
 * How a page of the bench is measured, the same way for every page.
 *
 * In: a subject `{ canvases(), load(urls), zoom(step), pan(), at(lng, lat) }`. Out: `window.measure`, which runs the
 * whole job and gives back times in milliseconds. A picture counts as final when a readback of it has not changed for
 * a while after the page itself says that it is done; the time is that of the first frame that showed it.
 */

/** A picture that has not changed for this long is final. */
const QUIET = 700;
/** A picture that has to change and has not after this long never will. */
const PATIENCE = 10_000;
/** The readback is this much smaller than the picture. */
const SMALLER = 4;

/** Hangs the measurement of a subject on the window. */
export function measured(subject) {
  window.measure = async (urls, clicks) => {
    const tasks = longTasks();
    const began = performance.now();
    // Nothing is there before, or another map: the picture has to change.
    const first = await settled(subject, began, () => subject.load(urls), true);
    const { longest, blocked } = tasks.end();
    const covered = coveredBy(subject);
    const zooms = [];
    for (const step of [1, 2, 3]) {
      const from = performance.now();
      zooms.push(await settled(subject, from, () => subject.zoom(step)));
    }
    const from = performance.now();
    const pan = await settled(subject, from, () => subject.pan());
    const answers = [];
    let right = 0;
    const patience = performance.now() + 4000;
    for (const [lng, lat, id] of clicks) {
      if (performance.now() > patience) break;
      const asked = performance.now();
      const found = await subject.at(lng, lat);
      answers.push(performance.now() - asked);
      if (found === id) right += 1;
    }
    answers.sort((one, other) => one - other);
    return {
      first,
      longest,
      blocked,
      zooms,
      pan,
      tap: answers[Math.floor(answers.length / 2)],
      tap95: answers[Math.floor(answers.length * 0.95)],
      right,
      asked: answers.length,
      marks: subject.marks ?? {},
      covered,
      more: subject.more === undefined ? {} : await subject.more(settled),
    };
  };
  window.bench_ready = true;
}

/** Milliseconds from `from` to the first frame of the final picture. */
async function settled(subject, from, act, mustChange = false) {
  const sheet = document.createElement("canvas");
  sheet.width = 1200 / SMALLER;
  sheet.height = 800 / SMALLER;
  const pen = sheet.getContext("2d", { willReadFrequently: true });
  let done = false;
  let trouble = null;
  const acting = Promise.resolve(act()).then(
    () => {
      done = true;
    },
    (error) => {
      trouble = error;
    },
  );
  const stage = document.getElementById("stage");
  let last = null;
  let changes = 0;
  let since = performance.now();
  for (;;) {
    await new Promise((resolve) => {
      requestAnimationFrame(resolve);
    });
    if (trouble !== null) throw trouble;
    const frame = performance.now();
    const hash = picture(subject, stage, pen, sheet);
    if (hash !== last) {
      last = hash;
      changes += 1;
      since = frame;
    }
    if (done && frame - since > QUIET && (changes > 1 || !mustChange || frame - from > PATIENCE)) break;
  }
  await acting;
  if (mustChange && changes < 2) throw new Error("the picture should have changed and never did");
  return since - from;
}

/**
 * Part of what lies in the smallest box around the picture that is painted, so that nobody is fast by leaving stands
 * out. The forest is as good as a rectangle without gaps, whatever frame and zoom a page gives it; a fifth of a pixel's
 * cover counts as painted.
 */
function coveredBy(subject) {
  const sheet = document.createElement("canvas");
  sheet.width = 1200;
  sheet.height = 800;
  const pen = sheet.getContext("2d", { willReadFrequently: true });
  paint(subject, document.getElementById("stage"), pen, 1);
  const { data } = pen.getImageData(0, 0, sheet.width, sheet.height);
  let painted = 0;
  let [west, north, east, south] = [sheet.width, sheet.height, -1, -1];
  for (let y = 0; y < sheet.height; y += 1) {
    for (let x = 0; x < sheet.width; x += 1) {
      if (data[(y * sheet.width + x) * 4 + 3] < 51) continue;
      painted += 1;
      west = Math.min(west, x);
      east = Math.max(east, x);
      north = Math.min(north, y);
      south = y;
    }
  }
  return painted === 0 ? 0 : painted / ((east - west + 1) * (south - north + 1));
}

function picture(subject, stage, pen, sheet) {
  pen.clearRect(0, 0, sheet.width, sheet.height);
  paint(subject, stage, pen, SMALLER);
  const words = new Uint32Array(pen.getImageData(0, 0, sheet.width, sheet.height).data.buffer);
  let hash = 2166136261;
  for (const word of words) hash = Math.imul(hash ^ word, 16777619);
  return hash;
}

function paint(subject, stage, pen, smaller) {
  const frame = stage.getBoundingClientRect();
  for (const canvas of subject.canvases()) {
    if (canvas.width === 0 || canvas.height === 0) continue;
    const box = canvas.getBoundingClientRect();
    pen.drawImage(
      canvas,
      (box.left - frame.left) / smaller,
      (box.top - frame.top) / smaller,
      box.width / smaller,
      box.height / smaller,
    );
  }
}

function longTasks() {
  let longest = 0;
  let blocked = 0;
  const take = (entries) => {
    for (const { duration } of entries) {
      longest = Math.max(longest, duration);
      blocked += Math.max(0, duration - 50);
    }
  };
  const observer = new PerformanceObserver((list) => {
    take(list.getEntries());
  });
  observer.observe({ entryTypes: ["longtask"] });
  return {
    end() {
      take(observer.takeRecords());
      observer.disconnect();
      return { longest, blocked };
    },
  };
}
