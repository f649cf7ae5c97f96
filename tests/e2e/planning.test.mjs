/*
 * What a visitor plans with: the day planner, the year of a stand, distances in the list, the search. By pointer and by
 * keys, on a desktop screen, on a phone and at 320 pixels.
 */
import assert from "node:assert/strict";
import { NARROW, WIDE, say, visit } from "./visit.mjs";

async function openPlanner(visitor) {
  const { page } = visitor;
  const fold = page.locator("hostwood-map .fold");
  if ((await fold.isVisible()) && (await fold.getAttribute("aria-expanded")) === "false") await fold.click();
  const buttons = page.getByRole("button", {
    name: say("ui.plan"),
    exact: true,
  });
  await buttons.filter({ visible: true }).first().click();
  const dialog = page.getByRole("dialog", { name: say("ui.plan.title") });
  await dialog.waitFor();
  return dialog;
}

/** Lets the planner work with the start and the distance that are chosen; gives back its stands. */
async function planned(dialog) {
  await dialog.getByRole("button", { name: say("ui.plan.show") }).click();
  const stands = dialog.locator("[data-stand]");
  await stands.first().waitFor();
  return stands;
}

for (const [look, options] of [
  ["light", { size: WIDE }],
  ["dark", { size: WIDE, scheme: "dark" }],
  ["phone", { size: NARROW, touch: true }],
  ["320 pixels", { size: { width: 320, height: 640 } }],
]) {
  visit(`the best stands of a day: ${look}`, options, async (visitor) => {
    const { page } = visitor;
    await visitor.openDemo();
    await visitor.drawn();
    const dialog = await openPlanner(visitor);
    await page.keyboard.press("Escape");
    await dialog.waitFor({ state: "hidden" });
    const back = await page
      .locator("hostwood-map")
      .evaluate((map) => map.shadowRoot.activeElement?.textContent);
    assert.equal(back, say("ui.plan"), "the focus does not return to where the planner was opened");
    await page.keyboard.press("Enter");
    await dialog.waitFor();
    await visitor.isAccessible("planner");
    await dialog.getByLabel(say("ui.plan.within"), { exact: true }).selectOption("10000");
    const stands = await planned(dialog);
    assert.equal(await stands.count(), 10);
    const answers = await stands
      .locator(".verdict")
      .evaluateAll((all) => all.map((one) => one.dataset.answer));
    assert.deepEqual(
      answers.filter((answer) => ["closed", "over", "breach"].includes(answer)),
      [],
    );
    const first = await visitor.read(stands.first());
    assert.match(first, /In season with these trees: /);
    assert.match(first, /Poisonous with the same trees: /);
    assert.match(first, /\d (k?m) away/);
    assert.ok((await visitor.read(dialog)).includes(say("sheet.danger.always")));
    await visitor.saysNothingRaw(dialog);
    await visitor.isAccessible("planned");
    const { scrollWidth, clientWidth } = await dialog.evaluate(({ scrollWidth, clientWidth }) => ({
      scrollWidth,
      clientWidth,
    }));
    assert.equal(scrollWidth, clientWidth, "the planner scrolls sideways");
    const name = await visitor.read(stands.first().getByRole("button"));
    await stands.first().getByRole("button").click();
    const heading = await visitor.opened();
    assert.equal((await visitor.read(heading)).toLowerCase(), name.toLowerCase());
    assert.equal(await page.getByRole("dialog").count(), 0);
  });
}

visit(
  "a day is planned from where the visitor is, which is asked only then and told to nobody",
  {},
  async (visitor) => {
    const { page } = visitor;
    const context = page.context();
    await context.setGeolocation({ longitude: 15.812345, latitude: 49.187654 });
    await visitor.openDemo();
    await visitor.drawn();
    const dialog = await openPlanner(visitor);
    const start = dialog.getByLabel(say("ui.plan.start"), { exact: true });
    await start.selectOption("own");
    await dialog.getByText(say("ui.start.kept")).waitFor();
    await dialog.getByRole("button", { name: say("ui.plan.show") }).click();
    await dialog
      .getByRole("alert")
      .filter({ hasText: say("ui.start.refused") })
      .waitFor();
    await context.grantPermissions(["geolocation"]);
    await dialog.getByLabel(say("ui.plan.within"), { exact: true }).selectOption("50000");
    const stands = await planned(dialog);
    assert.ok((await stands.count()) > 0);
    assert.ok(!/15\.8|49\.1/.test(page.url()), page.url());
  },
);

visit("the year of a stand is drawn, and told as a table", {}, async (visitor) => {
  const { sheet } = visitor;
  await visitor.openDemo();
  await visitor.change({ stand: "05-140" });
  await visitor.opened();
  const year = sheet.locator(".year-more");
  await year.locator("summary").first().click();
  await year.locator(".year-figure").waitFor();
  const rows = await year.locator(".year-row").count();
  assert.ok(rows > 5, `${rows} strips`);
  assert.ok((await year.locator('[data-tone="deadly"]').count()) > 0, "no deadly kind is drawn");
  await year.locator("summary").last().click();
  const table = year.getByRole("table");
  assert.equal(await table.getByRole("row").count(), 13);
  // By the demo's book this forest is closed from November on.
  const november = await visitor.read(table.getByRole("row").nth(11));
  assert.match(november, /^November 30 0/);
  await visitor.saysNothingRaw(year);
  await visitor.isAccessible("year");
  await visitor.page.emulateMedia({ forcedColors: "active" });
  await visitor.isAccessible("year in forced colours");
});

visit("the list measures from a chosen start", {}, async (visitor) => {
  const { page, list } = visitor;
  await visitor.openDemo();
  await visitor.openList();
  const from = list.getByLabel(say("ui.list.from"), { exact: true });
  const place = await from.locator("option").last().textContent();
  await from.selectOption({ label: place });
  const head = list.getByRole("columnheader", {
    name: say("ui.list.distance"),
  });
  await head.waitFor();
  assert.equal(await head.getAttribute("aria-sort"), "ascending");
  const metres = async () =>
    page.locator("hostwood-map .stands tbody tr td:last-child").evaluateAll((all) =>
      all.map((cell) => {
        const [, number, unit] = /([\d.,]+)\s*(k?m)/.exec(cell.innerText);
        return Number(number.replace(",", "")) * (unit === "km" ? 1000 : 1);
      }),
    );
  await visitor.until(async () => (await metres()).length > 10, "no distances");
  const told = await metres();
  assert.deepEqual(
    [...told].sort((one, other) => one - other),
    told,
  );
  await visitor.isAccessible("distances");
  await from.selectOption("");
  await head.waitFor({ state: "detached" });
});

for (const [look, options] of [
  ["wide", { size: WIDE }],
  ["phone", { size: NARROW, touch: true }],
]) {
  visit(`a stand, a kind and a place are found by typing: ${look}`, options, async (visitor) => {
    const { page } = visitor;
    await visitor.openDemo();
    await visitor.drawn();
    const field = page.getByRole("combobox", { name: say("ui.search") });
    const option = (name) => page.locator("hostwood-map .found li").filter({ hasText: name });
    await field.fill("05-140");
    await option(/05-140/)
      .first()
      .waitFor();
    assert.equal(await field.getAttribute("aria-expanded"), "true");
    await visitor.isAccessible("search");
    await field.press("ArrowDown");
    const active = await field.getAttribute("aria-activedescendant");
    assert.equal(await page.locator(`hostwood-map #${active}`).getAttribute("aria-selected"), "true");
    await field.press("Enter");
    await visitor.opened();
    const stand = await page.locator("hostwood-map").evaluate((map) => map.stand);
    assert.match(stand, /05-140/);
    await visitor.closeSheet();
    await field.fill("cantharellus cib");
    await option(/Cantharellus cibarius/)
      .first()
      .click();
    assert.equal(
      await page.locator("hostwood-map select.wish").evaluate((select) => select.value),
      "cantharellus_cibarius",
    );
    await field.fill("Pelmdorn");
    await option(/Pelmdorn/)
      .first()
      .waitFor();
    await field.press("Enter");
    await field.fill("zzzz");
    await page
      .locator("hostwood-map .search [role=status]")
      .filter({ hasText: say("ui.search.none") })
      .waitFor();
    await field.press("Escape");
    await field.press("Escape");
    assert.equal(await field.inputValue(), "");
  });
}
