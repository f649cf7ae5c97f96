/*
 * What a visit leaves behind and tells others: in every state of the map nothing is asked for but the element's own
 * files and those that the page names, nothing is kept unless the visitor asks, and no address holds a place.
 */
import assert from "node:assert/strict";
import { SEPTEMBER, say, visit } from "./visit.mjs";

const NAMED = [
  "stands.geojson",
  "crosswalk.json",
  "eskenvar.rules.json",
  "context.geojson",
  "weather.csv",
].map((file) => `/eskenvar/${file}`);
const MAP = {
  stands: NAMED[0],
  crosswalk: NAMED[1],
  rules: NAMED[2],
  context: NAMED[3],
  weather: NAMED[4],
  day: SEPTEMBER,
};

/** Every way in which a page can write something down or send something, wrapped so that each use is noted. */
function watchTheDoors() {
  const noted = [];
  window.noted = noted;
  const wrap = (owner, name) => {
    const before = owner?.[name];
    if (typeof before !== "function") return;
    owner[name] = function (...given) {
      noted.push(`${name} ${given.map(String).join(" ")}`.slice(0, 200));
      return Reflect.apply(before, this, given);
    };
  };
  wrap(Storage.prototype, "setItem");
  wrap(IDBFactory.prototype, "open");
  wrap(CacheStorage.prototype, "open");
  wrap(History.prototype, "pushState");
  wrap(History.prototype, "replaceState");
  wrap(Navigator.prototype, "sendBeacon");
  wrap(Geolocation.prototype, "getCurrentPosition");
  wrap(Geolocation.prototype, "watchPosition");
  wrap(StorageManager.prototype, "getDirectory");
  wrap(ServiceWorkerContainer.prototype, "register");
  const cookie = Object.getOwnPropertyDescriptor(Document.prototype, "cookie");
  Object.defineProperty(Document.prototype, "cookie", {
    ...cookie,
    set(value) {
      noted.push(`cookie ${value}`);
      cookie.set.call(this, value);
    },
  });
  for (const name of ["WebSocket", "EventSource", "RTCPeerConnection", "BroadcastChannel", "SharedWorker"]) {
    const Before = window[name];
    if (Before === undefined) continue;
    window[name] = class extends Before {
      constructor(...given) {
        noted.push(`${name} ${String(given[0])}`);
        super(...given);
      }
    };
  }
}

visit("no state of the map asks for more than was named, or keeps anything", {}, async (visitor) => {
  const { page } = visitor;
  await page.addInitScript(watchTheDoors);
  const requests = [];
  page.context().on("request", (request) => requests.push(request));
  await visitor.openMap(MAP);
  await visitor.ready();
  await visitor.drawn();
  const states = ["ready"];
  const noted = () => page.evaluate(() => window.noted);
  const state = async (name, act) => {
    await act();
    states.push(name);
    assert.deepEqual(await noted(), [], `something was written or sent: ${name}`);
  };
  await state("a tap on the map", () => visitor.map.click());
  await state("a stand by keys", async () => {
    await visitor.map.focus();
    await page.keyboard.press("n");
    await visitor.said(new RegExp(say("ui.map.enter").slice(0, 12)));
    await page.keyboard.press("Enter");
    await visitor.opened();
  });
  await state("its sheet closed", () => visitor.closeSheet());
  await state("zoomed and moved", async () => {
    await page.getByRole("button", { name: say("ui.map.nearer") }).click();
    await visitor.map.focus();
    await page.keyboard.press("ArrowLeft");
    await page.keyboard.press("n");
  });
  await state("another day", () => visitor.chooseDay("2026-10-03"));
  await state("a wish", async () => {
    await page.getByLabel(say("ui.wish"), { exact: true }).selectOption({ index: 2 });
    await visitor.drawn();
  });
  await state("the list, filtered", async () => {
    await visitor.openList();
    await visitor.filter("ui.list.answer", "closed");
  });
  await state("a stand by list", async () => {
    await visitor.rows.first().getByRole("button").click();
    await visitor.opened();
  });
  await state("who is collecting", async () => {
    const who = page.locator("hostwood-map .who");
    if (await who.isVisible()) await who.click();
  });
  await state("a basket", async () => {
    await page
      .getByRole("button", { name: say("ui.harvest"), exact: true })
      .filter({ visible: true })
      .first()
      .click();
    const dialog = page.getByRole("dialog", { name: say("ui.harvest.title") });
    await dialog.getByLabel(say("ui.basket.kind"), { exact: true }).fill("Boletus edulis");
    await dialog.locator(".verdict").first().waitFor();
    await dialog.getByRole("button", { name: say("ui.harvest.close") }).click();
  });
  await state("another language", async () => {
    await visitor.change({ lang: "de" });
    await page.locator("hostwood-map .frame[lang=de]").waitFor();
  });
  await state("files that fail", async () => {
    await visitor.change({ lang: "en", rules: "/eskenvar/none.rules.json" });
    await page.locator("hostwood-map .notice").first().waitFor();
  });
  await state("taken away and put back", async () => {
    await page.evaluate(() => {
      window.map = document.querySelector("hostwood-map");
      window.map.remove();
    });
    await visitor.until(() => page.workers().length === 0, "the worker lives on");
    await page.evaluate(() => document.querySelector("main").append(window.map));
    await visitor.ready();
  });
  assert.equal(states.length, 14);

  const allowed = new Set([...NAMED, "/eskenvar/none.rules.json", "/fixtures/empty.html", "/icon.svg"]);
  for (const request of requests) {
    const { pathname, search, hash } = new URL(request.url());
    assert.equal(request.method(), "GET", request.url());
    assert.equal(search + hash, "", `${request.url()} carries something`);
    assert.ok(
      allowed.has(pathname) || /^\/hostwood\/hostwood[\w-]*\.(js|wasm)$/.test(pathname),
      `${pathname} was not named`,
    );
    assert.doesNotMatch(pathname, /\d+\.\d{3,}/, `${pathname} holds a place`);
    if (pathname === "/fixtures/empty.html") continue;
    const headers = await request.allHeaders().catch(() => ({}));
    assert.equal(headers.cookie, undefined, pathname);
    if (pathname.startsWith("/eskenvar/"))
      assert.equal(headers.referer, undefined, `${pathname} tells where from`);
  }
  const asked = new Set(requests.map((request) => new URL(request.url()).pathname));
  for (const named of NAMED) assert.ok(asked.has(named), `${named} was not seen; is the worker watched?`);
  assert.equal(new URL(page.url()).search + new URL(page.url()).hash, "");
  assert.deepEqual(await page.context().cookies(), []);
});

visit(
  "the basket is kept only where the visitor ticks the box, and goes when it is ticked off",
  {},
  async (visitor) => {
    const { page } = visitor;
    await page.addInitScript(watchTheDoors);
    await visitor.openMap(MAP);
    await visitor.ready();
    await page
      .getByRole("button", { name: say("ui.harvest"), exact: true })
      .filter({ visible: true })
      .first()
      .click();
    const dialog = page.getByRole("dialog", { name: say("ui.harvest.title") });
    await dialog.getByLabel(say("ui.basket.kind"), { exact: true }).fill("Boletus edulis");
    const keep = dialog.getByLabel(say("ui.basket.keep"));
    await keep.check();
    const noted = await page.evaluate(() => window.noted);
    assert.equal(noted.length, 1);
    assert.match(noted[0], /^setItem hostwood-basket .*Boletus edulis/);
    await keep.uncheck();
    assert.equal(await page.evaluate(() => localStorage.length), 0);
  },
);
