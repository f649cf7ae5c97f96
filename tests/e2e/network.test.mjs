/*
 * Bad networks: a file that is refused, cut, stalls, changes, comes from another site or as something else. Each time
 * the map recovers by itself, or says what happened and goes on when the network is well again.
 */
import assert from "node:assert/strict";
import { openNetwork } from "./network.mjs";
import { SEPTEMBER, say, visit } from "./visit.mjs";

const CODES = { stands: "codes/stands.geojson", crosswalk: "codes/crosswalk.json", day: SEPTEMBER };
const SOUTH_TYROL = "rules/south-tyrol.rules.json";
const REGION = {
  stands: "/eskenvar/stands.geojson",
  crosswalk: "/eskenvar/crosswalk.json",
  rules: "/eskenvar/eskenvar.rules.json",
  day: SEPTEMBER,
};
/** How many stands the invented region has, as its own file counts them. */
const stands = async (visitor) => {
  const file = await (await fetch(new URL("eskenvar/stands.geojson", process.env.HOSTWOOD_SITE))).json();
  assert.ok(file.features.length > 2000);
  const read = await visitor.page
    .locator("hostwood-map")
    .evaluate(
      (map) =>
        new Promise((resolve) =>
          map.addEventListener("hostwood-ready", ({ detail }) => resolve(detail.stands), { once: true }),
        ),
    );
  return { read, held: file.features.filter(({ properties }) => properties.TYPE !== "T").length };
};

/** The panel in the map's place. */
const failure = (visitor, key) => visitor.page.getByRole("alert").filter({ hasText: say(key) });
const again = (alert) => alert.getByRole("button", { name: say("ui.again") }).click();
/** How often a path was asked for, and from which byte on. */
const asked = (visitor, ending) => visitor.network.asked.filter(({ path }) => path.endsWith(ending));

visit("a stand map that is missing is told, and had when it is there", { network: true }, async (visitor) => {
  visitor.network.when("codes/stands.geojson", { status: 404 });
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  const alert = failure(visitor, "ui.failed.stands");
  await alert.waitFor();
  assert.match(await visitor.read(alert), /stands\.geojson could not be had: the server answered 404/);
  assert.equal(asked(visitor, "stands.geojson").length, 1, "what is not there is not asked for again");
  visitor.network.mend();
  await again(alert);
  await visitor.ready();
});

visit("a connection that breaks is tried again, and said", { network: true }, async (visitor) => {
  // How often a browser asks again by itself, before the element hears of it, is the browser's affair.
  visitor.network.when("codes/stands.geojson", { refuse: true });
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.said(/Trying again \(attempt \d\)/);
  visitor.network.mend();
  await visitor.ready();
  assert.ok(asked(visitor, "stands.geojson").length >= 2);
});

visit("a busy server is asked again when it says so", { network: true }, async (visitor) => {
  visitor.network.when("rules/south-tyrol.rules.json", {
    status: 503,
    headers: { "retry-after": "1" },
    times: 1,
  });
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  assert.equal(
    await visitor.page.locator("hostwood-map .notice").filter({ hasText: "south-tyrol" }).count(),
    0,
  );
  assert.equal(asked(visitor, "south-tyrol.rules.json").length, 2);
});

visit("a download that is cut goes on where it was cut", { network: true }, async (visitor) => {
  visitor.network.when("eskenvar/stands.geojson", { cutAt: 300_000, cutAfter: 8_000, times: 1 });
  await visitor.openMap(REGION);
  const { read, held } = await stands(visitor);
  assert.equal(read, held);
  const [first, second, ...more] = asked(visitor, "stands.geojson");
  assert.equal(first.range, null);
  const from = Number(/^bytes=(\d+)-$/.exec(second.range)?.[1]);
  assert.ok(from > 0 && from <= 300_000, second.range);
  assert.deepEqual(more, []);
});

visit("a download that cannot go on begins anew", { network: true }, async (visitor) => {
  visitor.network.when("eskenvar/stands.geojson", { noRanges: true });
  visitor.network.when("eskenvar/stands.geojson", { cutAt: 300_000, noRanges: true, times: 2 });
  await visitor.openMap(REGION);
  const { read, held } = await stands(visitor);
  assert.equal(read, held);
  assert.deepEqual(
    asked(visitor, "stands.geojson").map(({ range }) => range),
    [null, null, null],
  );
});

visit("a map that changes while it is read is read anew, whole", { network: true }, async (visitor) => {
  // Published anew between the two requests: one stand fewer, and another time of change.
  const newer = {
    headers: { "last-modified": "Sat, 12 Sep 2026 08:00:00 GMT", etag: null },
    edit: (body) => {
      const map = JSON.parse(body.toString());
      map.features.pop();
      return JSON.stringify(map);
    },
  };
  visitor.network.when("eskenvar/stands.geojson", newer);
  visitor.network.when("eskenvar/stands.geojson", {
    headers: { "last-modified": "Fri, 11 Sep 2026 08:00:00 GMT", etag: null },
    cutAt: 300_000,
    cutAfter: 8_000,
    times: 1,
  });
  await visitor.openMap(REGION);
  const { read, held } = await stands(visitor);
  assert.ok(read === held - 1 || read === held, `${read} of ${held}`);
  assert.deepEqual(
    asked(visitor, "stands.geojson").map(({ range }) => range === null),
    [true, false, true],
  );
});

visit(
  "a map that stays broken says so, and comes when the network is well",
  { network: true },
  async (visitor) => {
    visitor.network.when("codes/stands.geojson", { cutAt: 200, noRanges: true });
    await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
    const alert = failure(visitor, "ui.failed.stands");
    await alert.waitFor();
    assert.match(await visitor.read(alert), /the connection ended after \d+ bytes/);
    assert.match(await visitor.read(alert), new RegExp(say("ui.offline.retry").slice(0, 20)));
    visitor.network.mend();
    await again(alert);
    await visitor.ready();
  },
);

visit("a download that stalls is told, then given up", { network: true }, async (visitor) => {
  // The worker's clock runs thirty times as fast, so that nobody waits for minutes.
  await visitor.network.alter({
    "hostwood-worker.js": (body) => `const slow=setTimeout;self.setTimeout=(act,ms)=>slow(act,ms/30);${body}`,
  });
  visitor.network.when("codes/stands.geojson", { stallAt: 200, noRanges: true });
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.page
    .locator("hostwood-map .loading-text")
    .filter({ hasText: say("ui.loading.waiting") })
    .waitFor();
  const alert = failure(visitor, "ui.failed.stands");
  await alert.waitFor();
  assert.match(await visitor.read(alert), /nothing came for 30 seconds after 200 bytes/);
  visitor.network.mend();
  await again(alert);
  await visitor.ready();
});

visit("a sign-in page in place of the map is called one", { network: true }, async (visitor) => {
  visitor.network.when("codes/stands.geojson", {
    text: "<!doctype html><title>Sign in</title>",
    headers: { "content-type": "text/html" },
  });
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  const alert = failure(visitor, "ui.failed.stands");
  await alert.waitFor();
  assert.match(await visitor.read(alert), /web page/);
  visitor.network.mend();
  await again(alert);
  await visitor.ready();
});

visit("a sign-in page in place of the rules gives no permission", { network: true }, async (visitor) => {
  visitor.network.when("south-tyrol.rules.json", {
    text: "<!doctype html><title>Sign in</title>",
    headers: { "content-type": "text/html" },
  });
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  await visitor.openList();
  assert.deepEqual([...new Set((await visitor.tableRows()).map(({ answer }) => answer))], ["not_known"]);
});

visit(
  "a site that refuses other pages is told, and one that serves them is read",
  { network: true },
  async (visitor) => {
    const elsewhere = await openNetwork(process.env.HOSTWOOD_SITE);
    try {
      visitor.others.push(elsewhere.address);
      // The page's own policy lets it ask there, so that it is the other site that refuses.
      visitor.network.when("fixtures/empty.html", {
        headers: { "content-security-policy": "script-src 'self' 'wasm-unsafe-eval'" },
      });
      visitor.network.when("hostwood-worker.js", {
        headers: { "content-security-policy": "script-src 'self' 'wasm-unsafe-eval'" },
      });
      await visitor.openMap({
        ...CODES,
        stands: `${elsewhere.address}fixtures/codes/stands.geojson`,
        rules: SOUTH_TYROL,
      });
      const alert = failure(visitor, "ui.failed.stands");
      await alert.waitFor();
      assert.match(await visitor.read(alert), /could not be reached/);
      elsewhere.when("stands.geojson", { headers: { "access-control-allow-origin": "*" } });
      await again(alert);
      await visitor.ready();
    } finally {
      await elsewhere.close();
    }
  },
);

visit(
  "an engine that comes as a web page leaves the page's own words",
  { network: true },
  async (visitor) => {
    visitor.network.when("hostwood_engine_bg.wasm", {
      text: "<!doctype html>",
      headers: { "content-type": "text/html" },
    });
    await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
    const alert = visitor.page.getByRole("alert").filter({ hasText: say("ui.unable.title") });
    await alert.waitFor();
    assert.match(
      await visitor.read(alert),
      /hostwood_engine_bg\.wasm is not the file that belongs to this version/,
    );
  },
);

visit(
  "a worker that is served under a wrong type leaves the page's own words",
  { network: true },
  async (visitor) => {
    visitor.network.when("hostwood-worker.js", { headers: { "content-type": "text/plain" } });
    await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
    const alert = visitor.page.getByRole("alert").filter({ hasText: say("ui.unable.title") });
    await alert.waitFor();
    assert.match(await visitor.read(alert), /could not be started in the background/);
  },
);
