/*
 * The recipe for use without a connection, as a publisher sets it up: one visit with a network, then none. What is
 * shown from a copy says how old it is; what was taken off the site, or comes as something else, is not kept.
 */
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { SEPTEMBER, say, visit } from "./visit.mjs";

const RECIPE = await readFile(
  new URL("../../www/offline/hostwood-offline-worker.js", import.meta.url),
  "utf8",
);
const FILES = ["codes/stands.geojson", "codes/crosswalk.json", "rules/south-tyrol.rules.json"];
const [STANDS, CROSSWALK, RULES] = FILES.map((file) => `/fixtures/${file}`);
const NETWORK = { trusted: "hostwood hostwood-offline" };
/** The recipe keeps two caches, and nothing else. */
const KEPT = { network: NETWORK, left: { caches: 2 } };
/** What the browser itself writes on the console when its worker asks a network that is not there. */
const CUT = { ...KEPT, complaints: [/ERR_/] };

/** A publisher's page: the element, and the recipe with its settings filled in. */
async function publish(visitor) {
  const settings = RECIPE.replace(
    "data: []",
    `data: ${JSON.stringify(FILES.map((file) => `fixtures/${file}`))}`,
  )
    .replace('pages: ["./", "index.html"]', 'pages: ["fixtures/empty.html"]')
    .replace("patience: 3000", "patience: 500");
  assert.notEqual(settings, RECIPE);
  // The page's publisher has copied the worker above the release.
  visitor.network.when("/hostwood-offline-worker.js", {
    status: 200,
    text: settings,
    headers: { "content-type": "text/javascript" },
  });
  visitor.network.when("fixtures/empty.html", {
    edit: (body) =>
      body
        .toString()
        .replace("</head>", '<script type="module" src="/hostwood/hostwood-offline.js"></script></head>'),
  });
}

async function open(visitor) {
  await visitor.openMap({ stands: STANDS, crosswalk: CROSSWALK, rules: RULES, day: SEPTEMBER });
  await visitor.ready();
}

/** One visit with a network, until everything is kept and the worker stands between page and network. */
async function firstVisit(visitor) {
  await publish(visitor);
  await open(visitor);
  await visitor.page.evaluate(async () => {
    await navigator.serviceWorker.ready;
  });
}

const oldCopy = (visitor) =>
  visitor.page.locator("hostwood-map .notice").filter({ hasText: say("ui.kept.title") });

visit("without any network the map opens from its copies and says how old they are", CUT, async (visitor) => {
  await firstVisit(visitor);
  visitor.network.cut();
  await open(visitor);
  assert.match(await visitor.read(oldCopy(visitor)), new RegExp(`${new Date().getFullYear()}`));
  await visitor.openList();
  assert.equal((await visitor.tableRows()).length, 5);
  await visitor.isAccessible("from copies");
});

visit("with a network what is shown is new, and carries no age", CUT, async (visitor) => {
  await firstVisit(visitor);
  visitor.network.when("rules/south-tyrol.rules.json", {
    edit: (body) => body.toString().replace('"valid_from": "1991-06-19"', '"valid_from": "1991-06-20"'),
  });
  await open(visitor);
  assert.equal(await oldCopy(visitor).count(), 0);
  visitor.network.cut();
  await open(visitor);
  await oldCopy(visitor).waitFor();
  const kept = await visitor.page.evaluate(async (address) => (await caches.match(address)).text(), RULES);
  assert.match(kept, /"valid_from": "1991-06-20"/);
});

visit("a network that is too slow is not waited for, and its answer is kept", KEPT, async (visitor) => {
  await firstVisit(visitor);
  visitor.network.when("codes/stands.geojson", { wait: 4_000 });
  await open(visitor);
  await oldCopy(visitor).waitFor();
});

visit("a sign-in page does not take the place of a copy", KEPT, async (visitor) => {
  await firstVisit(visitor);
  visitor.network.when("rules/south-tyrol.rules.json", {
    text: "<!doctype html><title>Sign in</title>",
    headers: { "content-type": "text/html" },
  });
  await open(visitor);
  await oldCopy(visitor).waitFor();
  await visitor.openList();
  assert.ok((await visitor.tableRows()).some(({ answer }) => answer === "limits"));
});

visit("rules that were taken off the site are not shown from a copy", KEPT, async (visitor) => {
  await firstVisit(visitor);
  visitor.network.when("rules/south-tyrol.rules.json", { status: 404 });
  await open(visitor);
  await visitor.openList();
  assert.deepEqual([...new Set((await visitor.tableRows()).map(({ answer }) => answer))], ["not_known"]);
});

visit("a copy of rules that have expired gives no permission", CUT, async (visitor) => {
  visitor.network.when("rules/south-tyrol.rules.json", {
    edit: (body) => body.toString().replace('"valid_from"', '"valid_to": "2026-12-31", "valid_from"'),
  });
  await firstVisit(visitor);
  visitor.network.cut();
  await open(visitor);
  await visitor.chooseDay("2099-09-12");
  await visitor.openList();
  await visitor.until(
    async () => (await visitor.tableRows()).every(({ answer }) => ["not_known", "closed"].includes(answer)),
    "an old rule book speaks for a day far away",
  );
});

visit("switched off, the recipe throws its copies away", { network: NETWORK }, async (visitor) => {
  await firstVisit(visitor);
  visitor.network.when("/hostwood-offline-worker.js", {
    status: 200,
    text: RECIPE.replace("on: true", "on: false"),
    headers: { "content-type": "text/javascript" },
  });
  await visitor.page.evaluate(async () => {
    const worker = await navigator.serviceWorker.ready;
    await worker.update();
  });
  await visitor.until(
    () =>
      visitor.page.evaluate(
        async () =>
          (await caches.keys()).length === 0 &&
          (await navigator.serviceWorker.getRegistrations()).length === 0,
      ),
    "copies are still there",
  );
});

visit("the element by itself registers no worker for later", { network: NETWORK }, async (visitor) => {
  await open(visitor);
  assert.equal(
    await visitor.page.evaluate(async () => (await navigator.serviceWorker.getRegistrations()).length),
    0,
  );
});
