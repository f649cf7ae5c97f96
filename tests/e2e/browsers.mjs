/*
 * The browsers that visitors come with, each started when it is first needed.
 *
 * In: HOSTWOOD_BROWSER (Chromium's program), HOSTWOOD_FIREFOX (Firefox's; empty where the machine has none); which
 * browser, and how it looks at the page. Out: a page in it. When the tests of a file end, so do its browsers.
 */
import { createRequire } from "node:module";
import { after } from "node:test";
import { basename } from "node:path";

const require = createRequire(new URL("../../www/package.json", import.meta.url));
const { chromium, firefox } = require("playwright-core");

/** How each is started; "webgl" is Chromium that draws WebGL without a graphics card. */
const STARTS = {
  chromium: () => launchChromium(["--disable-gpu"]),
  webgl: () => launchChromium(["--use-angle=swiftshader", "--enable-unsafe-swiftshader"]),
  firefox: () => launchFirefox({}),
  "firefox with a finger": () => launchFirefox(FINGER),
  "firefox without script": () => launchFirefox({ "javascript.enabled": false }),
};

/** What Firefox is told of a screen that is touched. */
const FINGER = {
  "dom.w3c_touch_events.enabled": 1,
  "ui.primaryPointerCapabilities": 1,
  "ui.allPointerCapabilities": 1,
  "ui.useOverlayScrollbars": 1,
};

const started = new Map();

after(async () => {
  for (const browser of started.values()) await (await browser).close();
});

/** Whether this machine has Firefox. */
export const firefoxIsHere = Boolean(process.env.HOSTWOOD_FIREFOX);

/** A page in a browser that nobody has used before; to close its context is left to the caller. */
export async function openPage(name, { viewport, touch, ...looks }) {
  const common = { viewport, hasTouch: touch, locale: "en-GB", timezoneId: "Europe/Vienna" };
  if (name !== "firefox") {
    const context = await (await start(name)).newContext({ ...common, isMobile: touch, ...looks });
    return context.newPage();
  }
  // Firefox as it comes has neither a phone's layout nor looks that a test could set; nothing moves in it.
  const browser = await start(touch ? "firefox with a finger" : "firefox");
  const page = await (await browser.newContext(common)).newPage();
  fillGaps(page);
  return page;
}

/** A page in which no script runs; to close its context is left to the caller. */
export async function openWithoutScript(name) {
  // Firefox cannot be told so for one context, and the library then runs script and says nothing.
  const context = await (name === "firefox"
    ? (await start("firefox without script")).newContext()
    : (await start(name)).newContext({ javaScriptEnabled: false }));
  return context.newPage();
}

function start(name) {
  const browser = started.get(name) ?? STARTS[name]();
  started.set(name, browser);
  return browser;
}

/** The value of a variable that the runner of the tests sets. */
export function needed(name) {
  const value = process.env[name];
  if (!value) throw new Error(`${name} is not set; run these tests with \`cargo www test --only e2e\``);
  return value;
}

function launchChromium(drawing) {
  return chromium.launch({
    executablePath: needed("HOSTWOOD_BROWSER"),
    chromiumSandbox: process.getuid?.() !== 0,
    args: [
      ...drawing,
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
      "--disable-dev-shm-usage",
    ],
  });
}

/** Firefox as its makers ship it, by WebDriver BiDi. */
async function launchFirefox(preferences) {
  const browser = await firefox.launch({
    channel: "moz-firefox",
    executablePath: needed("HOSTWOOD_FIREFOX"),
    firefoxUserPrefs: { "ui.prefersReducedMotion": 1, ...preferences },
  });
  // The library asks for a colour scheme in every new context, by a command that Firefox 153 does not know, and gives
  // up where it is refused. No visit in Firefox asks for one, so this one question is left unasked.
  const session = inside(browser)._browserSession;
  const send = session.send.bind(session);
  session.send = (method, params) =>
    method === "emulation.setMediaFeaturesOverride" ? Promise.resolve({}) : send(method, params);
  return browser;
}

/** What the library does not do yet in Firefox, though WebDriver BiDi can. */
function fillGaps(page) {
  const { delegate } = inside(page);
  const session = delegate._session;
  // Firefox gives a download that a page made itself no number, and the library passes over those without.
  session.on("browsingContext.downloadEnd", ({ navigation, download, url, filepath, status }) => {
    if (navigation || download || status !== "complete") return;
    const name = basename(filepath);
    inside(page.context().browser()).downloadCreated(inside(page), url, url, name, name);
    inside(page.context().browser()).downloadFinished(url);
  });
  delegate.rawTouchscreen.tap = (_, x, y) =>
    session.send("input.performActions", {
      context: session.sessionId,
      actions: [
        {
          type: "pointer",
          id: "finger",
          parameters: { pointerType: "touch" },
          actions: [
            { type: "pointerMove", x: Math.floor(x), y: Math.floor(y) },
            { type: "pointerDown", button: 0 },
            { type: "pause", duration: 50 },
            { type: "pointerUp", button: 0 },
          ],
        },
      ],
    });
  // It would put a style sheet into the page before each picture, which the page's content policy refuses.
  delegate.shouldToggleStyleSheetToSyncAnimations = () => false;
}

/** The library's own side of what it hands out; its release is pinned, and so is this. */
function inside(object) {
  return object._connection.toImpl(object);
}
