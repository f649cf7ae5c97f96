/*
 * The harvest check and the weather, from the visitor's side: what is entered is held against the rules at once, is kept
 * only where asked, and the weather is told in a figure and in a table.
 */
import assert from "node:assert/strict";
import { NARROW, SEPTEMBER, WIDE, say, visit } from "./visit.mjs";

const CODES = {
  stands: "codes/stands.geojson",
  crosswalk: "codes/crosswalk.json",
  day: SEPTEMBER,
};
const SOUTH_TYROL = "rules/south-tyrol.rules.json";

async function open(visitor) {
  const { page } = visitor;
  const fold = page.locator("hostwood-map .fold");
  if ((await fold.isVisible()) && (await fold.getAttribute("aria-expanded")) === "false") await fold.click();
  const buttons = page.getByRole("button", {
    name: say("ui.harvest"),
    exact: true,
  });
  await buttons.filter({ visible: true }).first().click();
  const dialog = page.getByRole("dialog", { name: say("ui.harvest.title") });
  await dialog.waitFor();
  return dialog;
}

async function enter(dialog, place, { kind, amount, measure }) {
  const row = dialog.getByRole("group", {
    name: say("ui.basket.entry", { n: place }),
    exact: true,
  });
  await row.getByLabel(say("ui.basket.kind"), { exact: true }).fill(kind);
  if (amount !== undefined) await row.getByLabel(say("ui.basket.amount"), { exact: true }).fill(amount);
  if (measure !== undefined) {
    await row.getByLabel(say("ui.basket.measure"), { exact: true }).selectOption(measure);
  }
}

/** Waits until the harvest check gives this answer. */
async function answers(visitor, dialog, answer) {
  await dialog.locator(`.verdict[data-answer=${answer}]`).waitFor();
}

for (const [look, options] of [
  ["light", { size: WIDE }],
  ["dark", { size: WIDE, scheme: "dark" }],
  ["phone", { size: NARROW, touch: true }],
]) {
  visit(`a basket is held against the limits: ${look}`, options, async (visitor) => {
    await visitor.openDemo();
    const dialog = await open(visitor);
    assert.match(await visitor.read(dialog), new RegExp(say("ui.harvest.empty").slice(0, 30)));
    await enter(dialog, 1, { kind: "Boletus edulis", amount: "1,5" });
    const fill = dialog.locator(".fill").first();
    await fill.waitFor();
    await dialog.locator(".fill[data-level=under]").first().waitFor();
    assert.match(await visitor.read(fill), /1\.5 kilograms of 2 kilograms/);
    await enter(dialog, 1, { kind: "Boletus edulis", amount: "2.5" });
    await answers(visitor, dialog, "over");
    assert.match(await visitor.read(fill), /too much/);
    await dialog.getByRole("button", { name: say("ui.basket.add") }).click();
    await enter(dialog, 2, {
      kind: "Amanita phalloides",
      amount: "3",
      measure: "pieces",
    });
    const loudest = dialog.locator(".harvest-result > *").first();
    await visitor.until(
      async () => /Deadly poisonous/.test(await visitor.read(loudest)),
      "a deadly kind is not told first",
    );
    // On a narrow screen the result lies below the entries, so the warning stands above them as well.
    const alarm = dialog.locator(".harvest-alarm").getByText(/Deadly poisonous/);
    assert.equal(await alarm.isVisible(), look === "phone");
    if (look === "phone") {
      const [above, below] = await Promise.all([
        alarm.boundingBox(),
        dialog.locator(".basket-rows").boundingBox(),
      ]);
      assert.ok(above.y + above.height <= below.y, "the warning stands below the entries");
    }
    await visitor.isAccessible("harvest");
    await dialog.getByRole("button", { name: say("ui.harvest.close") }).click();
    await dialog.waitFor({ state: "hidden" });
  });
}

visit("an amount that is none says so, and costs nothing else", {}, async (visitor) => {
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  const dialog = await open(visitor);
  await enter(dialog, 1, { kind: "Boletus edulis", amount: "a lot" });
  const alert = dialog.getByRole("alert");
  await alert.waitFor();
  assert.match(await visitor.read(alert), /entry 1: mass is a lot/);
  await enter(dialog, 1, { kind: "Boletus edulis", amount: "0.4" });
  await dialog.locator(".fill").first().waitFor();
  assert.equal(await alert.count(), 0);
});

visit("a basket is kept on the device only where it was asked", {}, async (visitor) => {
  const { page } = visitor;
  const kept = () => page.evaluate(() => localStorage.length);
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  let dialog = await open(visitor);
  await enter(dialog, 1, { kind: "Boletus edulis", amount: "0.4" });
  assert.equal(await kept(), 0);
  await dialog.getByLabel(say("ui.basket.keep")).check();
  assert.equal(await kept(), 1);
  await visitor.openMap({ ...CODES, rules: SOUTH_TYROL });
  await visitor.ready();
  dialog = await open(visitor);
  assert.equal(
    await dialog.getByLabel(say("ui.basket.kind"), { exact: true }).inputValue(),
    "Boletus edulis",
  );
  await dialog.getByLabel(say("ui.basket.keep")).uncheck();
  assert.equal(await kept(), 0);
});

for (const [look, options] of [
  ["light", { size: WIDE }],
  ["dark phone", { size: NARROW, touch: true, scheme: "dark" }],
]) {
  visit(`the weather is drawn and told: ${look}`, options, async (visitor) => {
    const { sheet } = visitor;
    await visitor.openMap({
      ...CODES,
      rules: SOUTH_TYROL,
      weather: "weather/days.csv",
    });
    await visitor.ready();
    await visitor.openList();
    await visitor.rows.first().getByRole("button").click();
    await visitor.opened();
    const figure = sheet.locator(".weather-figure");
    await figure.waitFor();
    assert.ok((await figure.locator(".weather-rain").count()) >= 40, "days of rain are missing");
    await visitor.openAll(sheet);
    const table = sheet.getByRole("table").filter({ hasText: say("ui.weather.rain") });
    const day = table.getByRole("row").filter({ hasText: "21 Aug" });
    assert.match(await visitor.read(day), /not known/, "a day without rain told is not a day without rain");
    await figure.scrollIntoViewIfNeeded();
    await visitor.isAccessible("weather");
  });
}

visit("weather that cannot be read costs nothing else", {}, async (visitor) => {
  await visitor.openMap({
    ...CODES,
    rules: SOUTH_TYROL,
    weather: "weather/none.csv",
  });
  await visitor.ready();
  const notice = await visitor.banner(say("ui.weather_failed"));
  assert.match(await visitor.read(notice), /404/);
  await visitor.openList();
  assert.equal((await visitor.tableRows()).length, 5);
});
