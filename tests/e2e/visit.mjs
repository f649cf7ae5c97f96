/*
 * One visitor at one page of the served build.
 *
 * In: HOSTWOOD_SITE (the served address), HOSTWOOD_BROWSER (the browser's program), HOSTWOOD_SCREENSHOTS (a folder);
 * a test says what the visitor does. Out: a Node test that fails also when the page complained, broke its content
 * policy, asked another origin for anything, or left anything behind in the browser. What the visitor should see is
 * left to the tests; they find things by role and name, as the catalogue words them.
 */
import { createRequire } from "node:module";
import { mkdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import assert from "node:assert/strict";
import { needed, openPage } from "./browsers.mjs";
import { openNetwork } from "./network.mjs";

const require = createRequire(new URL("../../www/package.json", import.meta.url));
const axeSource = await readFile(require.resolve("axe-core/axe.min.js"), "utf8");
const catalogue = await wordsOf("en");

const site = needed("HOSTWOOD_SITE");
const screenshots = needed("HOSTWOOD_SCREENSHOTS");

/** A desktop screen and a phone's. */
export const WIDE = { width: 1280, height: 800 };
export const NARROW = { width: 390, height: 844 };

/** A Saturday in the season of most kinds. */
export const SEPTEMBER = "2026-09-12";

/** Rules of success criteria of WCAG 2.2 A and AA, and of good practice. */
const AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/** A run of chosen visits is for finding what is wrong: there every failure counts. */
const SECOND_TRY = process.env.HOSTWOOD_SECOND_TRY === "yes";

/** Reading a map may take long on a busy machine; a visitor who waits longer has been let down. */
const PATIENCE = 45_000;

/** Where a visitor taps in search of a stand, as parts of the map's width and height. */
const TAPS = [
  [0.71, 0.66],
  [0.5, 0.5],
  [0.4, 0.45],
  [0.6, 0.45],
  [0.4, 0.35],
  [0.6, 0.35],
  [0.5, 0.3],
];

/**
 * A test in which a visitor does `steps`.
 *
 * Options: size, scheme ("light" or "dark"), forcedColors ("active" as with a contrast theme), touch, `browser`
 * ("chromium", "webgl" or "firefox"), and `complaints`: what the page may say on its console because the test gives it
 * a reason to, as regular expressions; each must be met at least once. `network` puts a network
 * between visitor and site that the test can make bad (its options, or true); `left` is what may be left in the browser
 * where the test sees to it that something is; `timeout` in milliseconds.
 *
 * In a whole run a visit that failed is tried once more, and said to be unsteady, by name and with what went wrong: a
 * machine that does other things as well now and then starves a browser for seconds. One that fails twice has failed.
 */
export function visit(name, options, steps) {
  test(name, { timeout: 2 * (options.timeout ?? 300_000) }, async (told) => {
    try {
      await visitOnce(name, options, steps);
    } catch (failure) {
      if (!SECOND_TRY) throw failure;
      const first = `unsteady, tried again: ${name}: ${failure.message}`;
      told.diagnostic(first);
      console.error(first);
      await visitOnce(name, options, steps);
    }
  });
}

async function visitOnce(
  name,
  {
    size = WIDE,
    scheme = "light",
    forcedColors = "none",
    touch = false,
    complaints = [],
    reducedMotion = "reduce",
    browser = process.env.HOSTWOOD_VISIT_IN ?? "chromium",
    network = null,
    left = {},
    timeout = 300_000,
  },
  steps,
) {
  const page = await openPage(browser, {
    viewport: size,
    touch,
    colorScheme: scheme,
    forcedColors,
    reducedMotion,
  });
  page.context().setDefaultTimeout(PATIENCE);
  const between = network === null ? null : await openNetwork(site, network === true ? {} : network);
  let waited;
  const tooLong = new Promise((_, reject) => {
    waited = setTimeout(() => reject(new Error(`not done after ${timeout / 1000} seconds`)), timeout);
  });
  try {
    const visitor = new Visitor(page, name, touch, between, browser);
    await visitor.watch();
    await Promise.race([steps(visitor), tooLong]);
    await visitor.leaveNoTrace(complaints, left);
  } finally {
    clearTimeout(waited);
    await page.context().close();
    await between?.close();
  }
}

class Visitor {
  #name;
  #said = [];
  #asked = [];
  /** Words by key, in the language that the visitor reads. */
  #catalogue = catalogue;

  constructor(page, name, touch, network, browser) {
    this.page = page;
    /** Which browser it is, as `openPage` names it. */
    this.browser = browser;
    this.touch = touch;
    /** The bad network, where the test has one. */
    this.network = network;
    /** The origin that the visitor is at. */
    this.site = network?.address ?? site;
    /** Other origins that the test lets the page ask. */
    this.others = [];
    this.#name = name;
  }

  async watch() {
    const { page } = this;
    page.on("console", (message) => {
      if (message.type() === "error") this.#said.push(message.text());
    });
    page.on("pageerror", (error) => this.#said.push(String(error)));
    page.on("request", (request) => this.#asked.push(request.url()));
    await page.addInitScript(() => {
      window.watched = { longTasks: [], breaches: [] };
      document.addEventListener("securitypolicyviolation", (event) => {
        window.watched.breaches.push(
          `${event.violatedDirective}: ${event.blockedURI} ${event.sample} at ${event.sourceFile}:${event.lineNumber}:${event.columnNumber}`,
        );
      });
      new PerformanceObserver((list) => {
        for (const { startTime, duration } of list.getEntries()) {
          window.watched.longTasks.push({ startTime, duration });
        }
      }).observe({ type: "longtask", buffered: true });
    });
  }

  /** The map's words for a key, in the language that this visitor reads. */
  say(key, args = {}) {
    return worded(this.#catalogue, key, args);
  }

  /** The visitor reads this language from now on, and finds things by its words. */
  async readsIn(language) {
    this.#catalogue = await wordsOf(language);
  }

  /** Every page that is opened from now on reads from right to left, as one in Arabic or Hebrew does. */
  async readsRightToLeft() {
    await this.page.addInitScript(() => {
      new MutationObserver((_, observer) => {
        if (document.documentElement === null) return;
        document.documentElement.dir = "rtl";
        observer.disconnect();
      }).observe(document, { childList: true });
    });
  }

  /** The demo, on a day in the season. */
  async openDemo({ day = SEPTEMBER, path = "/" } = {}) {
    // The page's element gets its day as it is parsed, as if the page's author had written it.
    await this.page.addInitScript((value) => {
      new MutationObserver((_, observer) => {
        const map = document.querySelector("hostwood-map");
        if (map === null) return;
        map.setAttribute("day", value);
        observer.disconnect();
      }).observe(document, { childList: true, subtree: true });
    }, day);
    await this.goTo(path);
    await this.ready();
  }

  /** An empty page with one element on it; attribute values are addresses below /fixtures/. */
  async openMap(attributes) {
    await this.goTo("/fixtures/empty.html");
    await this.addMap(attributes);
  }

  /** One more element on the page that is open. */
  async addMap(attributes) {
    await this.page.evaluate((given) => {
      const map = document.createElement("hostwood-map");
      for (const [name, value] of Object.entries(given)) map.setAttribute(name, value);
      document.querySelector("main").append(map);
    }, attributes);
  }

  async goTo(path) {
    await this.page.goto(new URL(path, this.site).href);
  }

  /** Has the server answer otherwise than it would: with another status, or under another type. */
  async replace(pattern, { status, contentType }) {
    await this.page.context().route(pattern, async (route) => {
      if (status !== undefined) {
        await route.fulfill({ status });
        return;
      }
      const response = await route.fetch();
      await route.fulfill({ response, headers: { ...response.headers(), "content-type": contentType } });
    });
  }

  async until(holds, told) {
    await until(holds, told);
  }

  /** Sets attributes of the element that is there; fixtures by their address below /fixtures/. */
  async change(attributes) {
    await this.page.locator("hostwood-map").evaluate((map, given) => {
      for (const [name, value] of Object.entries(given)) map.setAttribute(name, value);
    }, attributes);
  }

  /** Waits until the map can be used. */
  async ready() {
    const [first] = this.say("ui.ready").split(".");
    await this.said(new RegExp(`^${first}`));
  }

  /** Waits until the live region says something like this, and gives back what it says. */
  async said(pattern) {
    const status = this.page.getByRole("status").filter({ hasText: pattern }).first();
    await status.waitFor({ state: "attached" });
    return (await status.textContent()).trim();
  }

  /** Waits until the map shows stands: more than a few colours on its canvas. */
  async drawn() {
    await this.map.locator("canvas").first().waitFor();
    await until(async () => {
      const colours = await this.map.locator("canvas").evaluateAll((all) =>
        all.map((canvas) => {
          // One that was just given up has no pixels to ask for.
          if (canvas.width === 0 || canvas.height === 0) return 0;
          const pixels = canvas.getContext("2d")?.getImageData(0, 0, canvas.width, canvas.height).data ?? [];
          const seen = new Set();
          for (let at = 0; at < pixels.length; at += 4 * 97) {
            if (pixels[at + 3] > 0) seen.add(`${pixels[at]},${pixels[at + 1]},${pixels[at + 2]}`);
          }
          return seen.size;
        }),
      );
      return colours.some((count) => count >= 4);
    }, "the map was not drawn");
  }

  /** Waits until a stand's sheet is open; gives back its head. */
  async opened(patience = PATIENCE) {
    await this.sheet.locator("[data-section]").first().waitFor({ timeout: patience });
    return this.sheet.getByRole("heading", { level: 2 });
  }

  /** Waits until no stand's sheet is open. */
  async closed() {
    await this.sheet.locator("[data-section]").first().waitFor({ state: "hidden" });
  }

  async closeSheet() {
    await this.sheet.getByRole("button", { name: this.say("ui.sheet.close") }).click();
    await this.closed();
  }

  /** Taps the map until a stand is met: fields and water lie between the stands. */
  async tapAStand() {
    const box = await this.map.boundingBox();
    for (const [east, south] of TAPS) {
      const position = { x: box.width * east, y: box.height * south };
      if (this.touch) await this.map.tap({ position });
      else await this.map.click({ position });
      const met = await this.opened(5000).then(
        () => true,
        () => false,
      );
      if (met) return;
    }
    assert.fail("no stand was met on the map");
  }

  /** Chooses one value of a filter of the list; gives back how many rows are left. */
  async filter(key, value) {
    const before = await this.read(this.list.locator("caption"));
    const control = this.list.getByLabel(this.say(key), { exact: true });
    if ((await control.inputValue()) === value) return this.counted(() => true);
    await control.selectOption(value);
    // The count may be the same as before; then the rows have changed or there were none.
    await until(async () => (await this.read(this.list.locator("caption"))) !== before, "").catch(
      () => undefined,
    );
    return this.counted(() => true);
  }

  /** Waits until the number of rows the list is about holds; gives it back. */
  async counted(holds) {
    let count = Number.NaN;
    await until(
      async () => {
        const caption = await this.read(this.list.locator("caption"));
        count = Number(/[\d,]+/.exec(caption)?.[0].replaceAll(",", "") ?? Number.NaN);
        return holds(count);
      },
      () => `the list is about ${count} stands`,
    );
    return count;
  }

  /** Chooses the day of the visit in the line above the map. */
  async chooseDay(day) {
    await this.page.getByLabel(this.say("ui.day"), { exact: true }).fill(day);
  }

  /** What each row of the list says. */
  async tableRows() {
    await this.rows.first().waitFor();
    return this.rows.evaluateAll((all) =>
      all.map((row) => {
        const cells = [...row.cells].map((cell) => cell.innerText.replaceAll(/\s+/g, " ").trim());
        const [, trees, potential, , area] = cells;
        const answer = row.querySelector("[data-answer]")?.dataset.answer;
        return { stand: row.dataset.stand, trees, potential, answer, area };
      }),
    );
  }

  /** Waits for a notice beside the map that holds this text. */
  async banner(text) {
    const notice = this.page.locator("hostwood-map .notice").filter({ hasText: text }).first();
    await notice.waitFor();
    return notice;
  }

  /** Waits until one of the findings says something like this. */
  async finding(pattern) {
    const findings = this.page.locator("hostwood-map .findings");
    await findings.locator("summary").click();
    await findings.getByRole("listitem").filter({ hasText: pattern }).first().waitFor();
  }

  /** Opens everything that can be opened within. */
  async openAll(within) {
    await within.evaluate((node) => {
      const inner = node.shadowRoot ?? node;
      for (const one of inner.querySelectorAll("details")) one.open = true;
    });
  }

  /** Fails if a message key, or the name of a missing value, is on the screen. */
  async saysNothingRaw(locator) {
    await this.openAll(locator);
    const text = await this.read(locator);
    const keys = Object.keys(catalogue).filter((key) => text.includes(key) && key.includes("."));
    assert.deepEqual(keys, [], "message keys are on the screen");
    assert.doesNotMatch(text, /\b(undefined|null|NaN|\[object)\b|\{\w+\}/);
  }

  get list() {
    return this.page.getByRole("region", {
      name: this.say("ui.list.label"),
      exact: true,
    });
  }

  get rows() {
    return this.list.getByRole("table").locator("tbody").getByRole("row");
  }

  get sheet() {
    return this.page.getByRole("complementary", {
      name: this.say("ui.sheet.label"),
    });
  }

  get map() {
    return this.page.getByRole("application", { name: this.say("ui.map.label") });
  }

  async openList() {
    await this.page.getByRole("button", { name: this.say("ui.list"), exact: true }).click();
    await this.rows.first().waitFor();
  }

  /** Text of an element as a reader meets it, on one line. */
  async read(locator) {
    return (await locator.innerText()).replaceAll(/\s+/g, " ").trim();
  }

  async screenshot(state) {
    await mkdir(screenshots, { recursive: true });
    const file = `${this.#name}-${state}`.toLowerCase().replaceAll(/[^a-z0-9]+/g, "-");
    // The caret is left as it is: hiding it would take a style sheet that the content policy refuses in Firefox.
    await this.page.screenshot({ path: join(screenshots, `${file}.png`), caret: "initial" });
  }

  /** Fails unless axe finds nothing to complain about in what is on the screen. */
  async isAccessible(state) {
    await this.screenshot(state);
    await this.page.evaluate(axeSource);
    const { violations, passes } = await this.page.evaluate(
      (tags) =>
        window.axe.run(document, {
          runOnly: { type: "tag", values: tags },
          resultTypes: ["violations"],
        }),
      AXE_TAGS,
    );
    assert.ok(passes.length > 10, `axe looked at almost nothing: ${passes.length} rules passed`);
    const found = violations.flatMap(({ id, help, nodes }) =>
      nodes.map(
        ({ target, failureSummary }) => `${id} (${help}) at ${target.flat().join(" ")}: ${failureSummary}`,
      ),
    );
    assert.deepEqual(found, [], `${state}:\n${found.join("\n")}`);
  }

  /**
   * Nothing holds up the page's main thread for more than `limit` milliseconds while it loads by `open`, at its best of
   * three: a task that the page itself makes long is long in each, one that the machine drew out is not.
   */
  async isNotHeldUp(limit, open) {
    const seen = [];
    for (let load = 1; load <= 3; load += 1) {
      const tasks = await this.page.evaluate(() => window.watched.longTasks);
      seen.push(tasks.filter(({ duration }) => duration > limit));
      if (seen.at(-1).length === 0) return;
      if (load < 3) await open();
    }
    assert.fail(`the page's main thread was held up in each of three loads: ${JSON.stringify(seen)}`);
  }

  /** Paths of everything the page and its worker asked the site for. */
  get askedFor() {
    return this.#asked
      .filter((address) => address.startsWith(this.site))
      .map((address) => new URL(address).pathname);
  }

  async leaveNoTrace(complaints, left) {
    const breaches = await this.page.evaluate(() => window.watched.breaches);
    assert.deepEqual(breaches, [], "the content policy was broken");
    const unexpected = this.#said.filter((text) => !complaints.some((pattern) => pattern.test(text)));
    assert.deepEqual(unexpected, [], "the page complained on its console");
    const unmet = complaints.filter((pattern) => !this.#said.some((text) => pattern.test(text)));
    assert.deepEqual(unmet, [], "the page was expected to complain on its console");
    const foreign = this.#asked.filter(
      (address) =>
        !/^(data:|blob:)/.test(address) &&
        ![this.site, ...this.others].some((one) => address.startsWith(one)),
    );
    assert.deepEqual(foreign, [], "something was asked of another origin");
    const kept = await this.page.evaluate(async () => ({
      cookies: document.cookie,
      local: localStorage.length,
      session: sessionStorage.length,
      databases: (await indexedDB.databases()).length,
      caches: (await caches.keys()).length,
    }));
    assert.deepEqual(
      kept,
      { cookies: "", local: 0, session: 0, databases: 0, caches: 0, ...left },
      "something was kept",
    );
  }
}

/** The catalogue's words for a key, as the element says them in English. */
export function say(key, args = {}) {
  return worded(catalogue, key, args);
}

function worded(words, key, args) {
  const entry = words[key];
  assert.ok(entry !== undefined, `the catalogue has no \`${key}\``);
  const text = typeof entry === "string" ? entry : args.n === 1 ? entry.one : entry.other;
  return text.replaceAll(/\{(\w+)\}/g, (whole, name) => args[name] ?? whole);
}

async function wordsOf(language) {
  const file = new URL(`../../www/locales/${language}.json`, import.meta.url);
  return JSON.parse(await readFile(file, "utf8"));
}

/** Asks again until the answer is yes; fails with what was told after a while. */
async function until(holds, told) {
  const end = Date.now() + PATIENCE / (told === "" ? 20 : 1);
  while (Date.now() < end) {
    if (await holds()) return;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new assert.AssertionError({ message: typeof told === "function" ? told() : told });
}
