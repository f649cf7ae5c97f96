/*
 * The demo on a weak phone: a slow link and a slowed processor.
 *
 * In: the served build, a browser that was launched. Out: milliseconds from the first request to the page's words with
 * the frame of map and list, and to the shaded map; bytes that travelled. The link is made here, between browser and
 * server, since the browser's own slowing of the network does not reach a page's workers. Its slowing of the processor
 * holds for the page's main thread only: the worker runs at the machine's own speed.
 */
import { createServer, request } from "node:http";

/** 1.6 Mbit/s in bytes a second, 150 ms to the first byte of every answer, a quarter of the processor. */
export const LINK = { rate: 200_000, wait: 150, slower: 4 };
const PIECE = 4096;
const PATIENCE = 120_000;

/** One visit with an empty cache. */
export async function phone(browser, site) {
  const link = await openLink(site);
  const context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    hasTouch: true,
    isMobile: true,
    reducedMotion: "reduce",
    colorScheme: "light",
  });
  try {
    const page = await context.newPage();
    await page.addInitScript(watch);
    const session = await context.newCDPSession(page);
    await session.send("Emulation.setCPUThrottlingRate", { rate: LINK.slower });
    await page.goto(link.address, { waitUntil: "commit", timeout: PATIENCE });
    const until = Date.now() + PATIENCE;
    for (;;) {
      const seen = await page.evaluate(() => window.seen);
      if (seen.shaded !== undefined) return { ...seen, bytes: link.bytes() };
      if (Date.now() > until)
        throw new Error(`no shaded map after ${PATIENCE / 1000} seconds`);
      await pause(200);
    }
  } finally {
    await context.close();
    await link.close();
  }
}

/** Runs in the page: notes the first frame with the element's own words, and the first with a shade on the map. */
function watch() {
  window.seen = {};
  const sheet = document.createElement("canvas");
  sheet.width = 40;
  sheet.height = 40;
  const pen = sheet.getContext("2d", { willReadFrequently: true });
  const shaded = (root) => {
    for (const canvas of root.querySelectorAll(".surface canvas")) {
      if (canvas.width === 0 || canvas.height === 0) continue;
      pen.clearRect(0, 0, 40, 40);
      pen.drawImage(canvas, 0, 0, 40, 40);
      const { data } = pen.getImageData(0, 0, 40, 40);
      let covered = 0;
      for (let at = 3; at < data.length; at += 4)
        if (data[at] > 0) covered += 1;
      // A tenth of the picture is more than a scale bar or a path.
      if (covered > 160) return true;
    }
    return false;
  };
  const look = () => {
    const root = document.querySelector("hostwood-map")?.shadowRoot;
    if (root) {
      const frame = root.querySelector(".surface");
      if (!window.seen.words && frame && root.textContent.trim() !== "")
        window.seen.words = performance.now();
      if (window.seen.words && shaded(root)) {
        window.seen.shaded = performance.now();
        return;
      }
    }
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}

function pause(milliseconds) {
  return new Promise((resolve) => {
    setTimeout(resolve, milliseconds);
  });
}

/** A link that all answers share. */
async function openLink(site) {
  let free = 0;
  let sent = 0;
  const server = createServer((asked, response) => {
    const upstream = request(
      new URL(asked.url, site),
      { method: asked.method, headers: asked.headers },
      async (answer) => {
        const pieces = [];
        for await (const piece of answer) pieces.push(piece);
        const body = Buffer.concat(pieces);
        await pause(LINK.wait);
        response.writeHead(answer.statusCode, answer.headers);
        for (let at = 0; at < body.length; at += PIECE) {
          const piece = body.subarray(at, at + PIECE);
          free =
            Math.max(free, performance.now()) +
            (piece.length / LINK.rate) * 1000;
          await pause(free - performance.now());
          response.write(piece);
          sent += piece.length;
        }
        response.end();
      },
    );
    upstream.on("error", () => response.destroy());
    upstream.end();
  });
  await new Promise((resolve) => {
    server.listen(0, "127.0.0.1", resolve);
  });
  return {
    address: `http://127.0.0.1:${server.address().port}/`,
    bytes: () => sent,
    close: () => {
      server.closeAllConnections();
      return new Promise((resolve) => {
        server.close(resolve);
      });
    },
  };
}
