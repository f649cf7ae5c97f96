/*
 * The map in a frame, for editors who cannot add a script: it fills the frame, tells the page around it the height it
 * needs, and says what was wrong with an address.
 */
import assert from "node:assert/strict";
import { SEPTEMBER, visit } from "./visit.mjs";

const STANDS = "/fixtures/codes/stands.geojson";
const FRAMED = `/hostwood/iframe.html?stands=${STANDS}&crosswalk=/fixtures/codes/crosswalk.json&day=${SEPTEMBER}&lang=de&label=Waldkarte`;

/** A page without a policy, which frames the map: the server's own policy frames nothing. */
async function embed(visitor, address, around) {
  const { page } = visitor;
  await page
    .context()
    .route("**/around.html", (route) =>
      route.fulfill({ contentType: "text/html", body: around(new URL(address, page.url()).href) }),
    );
}

visit("a framed map has the height it needs", {}, async (visitor) => {
  const { page } = visitor;
  await visitor.readsIn("de");
  await visitor.goTo("/fixtures/empty.html");
  await embed(
    visitor,
    FRAMED,
    (address) => `<!doctype html><html lang="en"><title>Around</title>
<h1>Around</h1><script>window.heard = []; addEventListener("message", ({ data }) => heard.push(data));</script>
<iframe data-hostwood title="Stand map" width="800" height="300" src="${address}"></iframe>
<script type="module" src="/hostwood/iframe-height.js"></script>`,
  );
  await visitor.goTo("/around.html");
  const frame = page.frameLocator("iframe");
  await frame.getByRole("button", { name: visitor.say("ui.list"), exact: true }).waitFor();
  const height = () => page.locator("iframe").evaluate((node) => node.getBoundingClientRect().height);
  await visitor.until(async () => (await height()) >= 570, "the frame kept its height");
  assert.ok((await height()) < 700, `the frame grew to ${await height()}`);
  const inner = page.frames()[1];
  assert.equal(await inner.title(), "Waldkarte");
  assert.equal(await inner.evaluate(() => document.documentElement.lang), "de");
  const scrolls = await inner.evaluate(() => {
    const { scrollHeight, clientHeight } = document.scrollingElement;
    return scrollHeight - clientHeight;
  });
  assert.ok(scrolls <= 0, `the frame scrolls by ${scrolls}`);
  // Heights from elsewhere, or that are none, change nothing.
  const before = await height();
  await page.evaluate(() => {
    postMessage({ type: "hostwood-height", height: 1234 }, "*");
  });
  await inner.evaluate(() => {
    parent.postMessage({ type: "hostwood-height", height: 50_000 }, "*");
    parent.postMessage({ type: "other", height: 1234 }, "*");
    parent.postMessage(null, "*");
  });
  await visitor.until(() => page.evaluate(() => window.heard.includes(null)), "the messages did not come");
  assert.equal(await height(), before);
});

visit("a framed page says what is wrong with its address", { complaints: [/404/] }, async (visitor) => {
  await visitor.goTo("/hostwood/iframe.html?stands=https://elsewhere.example/stands.geojson&rule=x");
  const alert = visitor.page.getByRole("alert");
  await alert.waitFor();
  const text = await visitor.read(alert);
  assert.match(text, /`stands` lies on `https:\/\/elsewhere\.example`, expected a file of this site/);
  assert.match(text, /`rule` is no parameter of this page/);
  assert.equal(await visitor.page.locator("hostwood-map").count(), 0);
});
