/*
 * A plot on two logarithmic scales, as SVG without styles of its own, so that it stands under a strict content policy.
 *
 * In: lines of points. Out: text. What the points mean is left to the caller.
 */
const WIDTH = 760;
const HEIGHT = 420;
const ROOM = { left: 70, right: 200, top: 20, bottom: 50 };

/** `lines` are `{ name, points: [[x, y]], dashed }`; `axes` the words below and beside the plot. */
export function plot(lines, axes) {
  const xs = lines.flatMap(({ points }) => points.map(([x]) => x));
  const ys = lines.flatMap(({ points }) => points.map(([, y]) => y));
  const [left, right] = [
    Math.floor(Math.log10(Math.min(...xs))),
    Math.max(...xs.map(Math.log10)),
  ];
  const [bottom, top] = [
    Math.floor(Math.log10(Math.min(...ys))),
    Math.ceil(Math.log10(Math.max(...ys))),
  ];
  const across = (x) =>
    ROOM.left +
    ((Math.log10(x) - left) / Math.max(0.5, right - left)) *
      (WIDTH - ROOM.left - ROOM.right);
  const up = (y) =>
    HEIGHT -
    ROOM.bottom -
    ((Math.log10(y) - bottom) / Math.max(1, top - bottom)) *
      (HEIGHT - ROOM.top - ROOM.bottom);
  const parts = [];
  for (let power = bottom; power <= top; power += 1) {
    const y = up(10 ** power);
    parts.push(
      `<path d="M${ROOM.left} ${round(y)}H${WIDTH - ROOM.right}" stroke="currentColor" stroke-opacity="0.2"/>`,
      `<text x="${ROOM.left - 8}" y="${round(y + 4)}" text-anchor="end">${(10 ** power).toLocaleString("en")}</text>`,
    );
  }
  for (const x of new Set(xs)) {
    parts.push(
      `<text x="${round(across(x))}" y="${HEIGHT - ROOM.bottom + 20}" text-anchor="middle">${x.toLocaleString("en")}</text>`,
    );
  }
  parts.push(
    `<text x="${(ROOM.left + WIDTH - ROOM.right) / 2}" y="${HEIGHT - 8}" text-anchor="middle">${axes.x}</text>`,
    `<text x="14" y="${HEIGHT / 2}" text-anchor="middle" transform="rotate(-90 14 ${HEIGHT / 2})">${axes.y}</text>`,
  );
  // Names stand beside the last points, moved apart where they would cover each other.
  const named = lines
    .map((line) => ({ ...line, at: up(line.points.at(-1)[1]) }))
    .sort((one, other) => one.at - other.at);
  named.forEach((line, place) => {
    line.words = Math.max(
      line.at,
      place === 0 ? 0 : named[place - 1].words + 17,
    );
  });
  for (const { name, points, dashed, words, at } of named) {
    const way = points
      .map(
        ([x, y], place) =>
          `${place === 0 ? "M" : "L"}${round(across(x))} ${round(up(y))}`,
      )
      .join("");
    const end = across(points.at(-1)[0]);
    const heavy = name === "this map";
    parts.push(
      `<path d="${way}" fill="none" stroke="currentColor" stroke-width="${heavy ? 3.5 : 1.5}"${dashed ? ' stroke-dasharray="6 4"' : ""}/>`,
      ...points.map(
        ([x, y]) =>
          `<circle cx="${round(across(x))}" cy="${round(up(y))}" r="${heavy ? 4.5 : 3}" fill="currentColor"/>`,
      ),
      `<path d="M${round(end + 5)} ${round(at)}L${round(end + 16)} ${round(words)}" stroke="currentColor" stroke-opacity="0.5"/>`,
      `<text x="${round(end + 19)}" y="${round(words + 4)}"${heavy ? ' font-weight="bold"' : ""}>${name}</text>`,
    );
  }
  return `<svg viewBox="0 0 ${WIDTH} ${HEIGHT}" width="${WIDTH}" height="${HEIGHT}" role="img" aria-label="${axes.y} by ${axes.x}; the numbers stand in the tables below" fill="currentColor" font-size="13">${parts.join("")}</svg>`;
}

/** The slope of the straight line through points on two logarithmic scales: the exponent of growth. */
export function slope(points) {
  const logs = points.map((point) => point.map(Math.log));
  const mean = (axis) =>
    logs.reduce((sum, point) => sum + point[axis], 0) / logs.length;
  const [mx, my] = [mean(0), mean(1)];
  const above = logs.reduce((sum, [x, y]) => sum + (x - mx) * (y - my), 0);
  const below = logs.reduce((sum, [x]) => sum + (x - mx) ** 2, 0);
  return above / below;
}

function round(value) {
  return Math.round(value * 10) / 10;
}
