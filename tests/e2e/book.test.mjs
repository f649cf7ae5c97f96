/*
 * The page on which a rule book is written, by somebody who has never seen JSON: a limit and a closed season are changed
 * in the form and seen on the map; mistakes are shown where they are; what was done can be taken back.
 */
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { NARROW, WIDE, visit } from "./visit.mjs";

const TEXT = "Text of the rule book";

/** The page with the invented region's book on it, checked and laid over the map. */
async function open(visitor) {
  await visitor.goTo("/rules.html");
  await visitor.ready();
  await says(visitor, "#status", /No mistakes|look at again/);
  await says(visitor, "#effect", /with limits/);
}

/** Waits until an element of the page says something like this; gives back what it says. */
async function says(visitor, selector, pattern) {
  let said = "";
  await visitor.until(
    async () => {
      said = (await visitor.page.locator(selector).innerText()).trim();
      return pattern.test(said);
    },
    () => `${selector} says \`${said}\`, expected ${pattern}`,
  );
  return said;
}

/** Opens a part of the form by the words of its head; gives it back. */
async function part(visitor, words) {
  const found = visitor.page.locator("#form details.part").filter({ hasText: words }).first();
  await found.locator(":scope > summary").click();
  return found;
}

/** The book as the text has it. */
async function book(visitor) {
  const [download] = await Promise.all([
    visitor.page.waitForEvent("download"),
    visitor.page.getByRole("button", { name: "Save the file" }).click(),
  ]);
  return {
    name: download.suggestedFilename(),
    text: await readFile(await download.path(), "utf8"),
  };
}

/** How many stands the line about the map counts as this. */
async function counted(visitor, words) {
  const said = await visitor.page.locator("#effect").innerText();
  return Number(new RegExp(`([\\d,]+) ${words}`).exec(said)?.[1].replaceAll(",", "") ?? 0);
}

visit("a limit is changed in the form and seen on the map", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  const rule = await part(visitor, "no more than 2 kg of mushrooms");
  const amount = rule.getByLabel("Amount", { exact: true });
  assert.equal(await amount.inputValue(), "2");
  await amount.fill("1.5");
  await amount.press("Enter");
  const before = await readFile(
    new URL("../../examples/region/eskenvar.rules.json", import.meta.url),
    "utf8",
  );
  const now = await book(visitor);
  assert.equal(now.name, "eskenvar.rules.json");
  assert.equal(now.text, before.replace('"amount": "2", "unit": "kg"', '"amount": "1.5", "unit": "kg"'));
  await visitor.openList();
  await visitor.filter("ui.list.answer", "limits");
  await visitor.rows.first().getByRole("button").click();
  await visitor.opened();
  await visitor.until(
    async () => /1\.5 kilograms/.test(await visitor.read(visitor.sheet.locator("[data-section=law]"))),
    "the sheet does not tell the new limit",
  );
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await visitor.until(async () => (await amount.inputValue()) === "2", "undo did not bring the amount back");
  await page.getByRole("button", { name: "Redo", exact: true }).click();
  await visitor.until(
    async () => (await amount.inputValue()) === "1.5",
    "redo did not bring the change back",
  );
});

visit("a closed season is written in the form and closes the map", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  const day = page.getByLabel("Day", { exact: true });
  await day.fill("2026-09-12");
  await says(visitor, "#effect", /12 September 2026/);
  const closed = await counted(visitor, "closed");
  await page.getByLabel("Add a rule about").selectOption({ label: "Open or closed season" });
  await page.getByRole("button", { name: "Add this rule" }).click();
  const rule = page.locator("#form details.part[open]").filter({ hasText: "Open or closed season" });
  await rule.getByLabel("From: day").fill("1");
  await rule.getByLabel("From: month").selectOption("September");
  await rule.getByLabel("To: day").fill("30");
  await rule.getByLabel("To: month").selectOption("September");
  await says(visitor, "#effect", /^Stands on 12 September 2026: [\d,]+ closed/);
  await visitor.until(
    async () => (await counted(visitor, "closed")) > closed + 500,
    "the closed season does not close the map",
  );
  await visitor.openList();
  await visitor.rows.first().getByRole("button").click();
  await visitor.opened();
  await says(visitor, "#calendar", /the year 2026/);
  await page.locator("#calendar summary").click();
  await says(visitor, "#calendar", /September: closed on every day/);
  await page.locator("#calendar").scrollIntoViewIfNeeded();
  await visitor.screenshot("calendar");
});

visit("a mistake is shown at its place in form, text and list", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  const rule = await part(visitor, "no more than 2 kg of mushrooms");
  const amount = rule.getByLabel("Amount", { exact: true });
  await amount.fill("1,5");
  await amount.press("Enter");
  await says(visitor, "#status", /1 mistake: the book is refused/);
  const entry = page.locator("#mistakes li").first();
  assert.match(await entry.innerText(), /expected a decimal such as `1\.5`/);
  assert.equal(await amount.getAttribute("aria-invalid"), "true");
  assert.match(await rule.locator(".note:visible").first().innerText(), /expected a decimal such as `1\.5`/);
  await visitor.banner("could not be read");
  await visitor.isAccessible("mistake");
  await entry.getByRole("button", { name: "Show in the text" }).click();
  assert.equal(
    await page.getByRole("textbox", { name: TEXT }).evaluate((one) => one.matches(":focus")),
    true,
  );
  assert.ok((await page.locator("#text .cm-lintRange-error").count()) > 0, "the text shows no mark");
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await says(visitor, "#status", /No mistakes|look at again/);
});

visit("a text that is no JSON stops the form, and says where", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  const text = page.getByRole("textbox", { name: TEXT });
  await text.press("Control+Home");
  await text.press("ArrowRight");
  await page.keyboard.type("x");
  await says(visitor, "#status", /1 mistake/);
  assert.match(await page.locator("#form .broken").innerText(), /cannot be read as it stands/);
  const closed = () => page.locator("#form fieldset.whole").evaluate((one) => one.disabled);
  assert.equal(await closed(), true);
  await page.keyboard.press("Control+z");
  await says(visitor, "#status", /No mistakes|look at again/);
  assert.equal(await closed(), false);
});

visit("a rule of every kind begins sound, or says what it still needs", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  const choice = page.getByLabel("Add a rule about");
  const kinds = await choice.locator("option").evaluateAll((all) => all.map((one) => one.value));
  assert.ok(kinds.length > 30);
  for (const kind of kinds) {
    await choice.selectOption(kind);
    await page.getByRole("button", { name: "Add this rule" }).click();
  }
  await says(visitor, "#status", /mistakes: the book is refused/);
  const told = await page
    .locator("#mistakes li[data-severity=error] > span")
    .evaluateAll((all) => all.map((one) => one.textContent));
  const unfilled = ["sub-limit", "side-by-side", "alternative", "exemption"];
  const odd = told.filter((message) => !unfilled.some((id) => message.includes(`rule \`${id}`)));
  assert.deepEqual(odd, [], "a new rule is refused for more than what only the officer can know");
  for (const id of unfilled)
    assert.ok(
      told.some((message) => message.includes(`rule \`${id}`)),
      id,
    );
});

visit("limits that add up, and who may collect, are written in the form", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  const add = async (label) => {
    await page.getByLabel("Add a rule about").selectOption({ label });
    await page.getByRole("button", { name: "Add this rule" }).click();
    const name = page.locator(".part-name").filter({ hasText: label });
    return page.locator("#form details.part[open]").filter({ has: name });
  };
  const limits = await add("Limits that add up");
  const first = limits.getByRole("group", { name: "The amounts, 1" });
  await first.getByLabel("Of these kinds").selectOption({ label: "protected fungi" });
  await first.getByLabel("Amount", { exact: true }).fill("1");
  await first.getByLabel("Amount", { exact: true }).press("Enter");
  await limits.getByRole("button", { name: "Add another" }).click();
  const second = limits.getByRole("group", { name: "The amounts, 2" });
  await second.getByLabel("Of these kinds").selectOption({ label: "all but protected fungi" });
  await second.getByLabel("Unit", { exact: true }).selectOption({ label: "litres" });
  await limits.getByText("When, where and for whom it holds").click();
  await limits.getByLabel("Lives there").selectOption({ label: "yes" });
  const may = await add("Who may collect");
  await may.getByRole("button", { name: "Add another" }).click();
  const other = may.getByRole("group", {
    name: "Only who is one of these, 2",
  });
  await other.getByLabel("Lives there").selectOption({ label: "–" });
  await other.getByLabel("This old or older").fill("18");
  await other.getByLabel("This old or older").press("Enter");
  await says(visitor, "#status", /No mistakes|look at again/);
  const { rules } = JSON.parse((await book(visitor)).text);
  const [sum, only] = rules.slice(-2);
  assert.deepEqual(sum.side_by_side, {
    parts: [
      { taxa: "protected", amount: "1", unit: "kg" },
      { taxa: { all_but: "protected" }, amount: "1", unit: "L" },
    ],
    per: "person",
    period: "day",
  });
  assert.deepEqual(sum.who, { resident: true });
  assert.deepEqual(only.who_may.only, [{ resident: true }, { age: { at_least: 18 } }]);
  await visitor.isAccessible("nested form");
});

visit("a rule for a harvest and for gear is written in the form", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  await page.getByLabel("Add a rule about").selectOption({ label: "What a breach costs" });
  await page.getByRole("button", { name: "Add this rule" }).click();
  const name = page.locator(".part-name").filter({ hasText: /^What a breach costs/ });
  const rule = page.locator("#form details.part[open]").filter({ has: name }).last();
  await rule.getByText("When, where and for whom it holds").click();
  const more = rule.getByRole("group", {
    name: "More than one of these amounts was taken",
  });
  await more.getByRole("button", { name: "Add another" }).click();
  const first = more.getByRole("group", {
    name: "More than one of these amounts was taken, 1",
  });
  await first.getByLabel("Amount", { exact: true }).fill("5");
  await first.getByLabel("Amount", { exact: true }).press("Enter");
  await first.getByLabel("Unit", { exact: true }).selectOption({ label: "litres" });
  await rule.getByLabel("There is a clump grown together among it").selectOption({ label: "no" });
  const tools = rule.getByRole("group", {
    name: "One of these tools is used or carried",
  });
  await tools.getByLabel("knife", { exact: true }).check();
  const containers = rule.getByRole("group", {
    name: "The container is one of these",
  });
  await containers.getByRole("button", { name: "Add another" }).click();
  await containers.getByLabel("Made of").selectOption({ label: "net" });
  await says(visitor, "#status", /No mistakes|look at again/);
  const added = JSON.parse((await book(visitor)).text).rules.at(-1);
  assert.deepEqual(added.harvest, {
    more_than: [{ amount: "5", unit: "L" }],
    clump: false,
  });
  assert.deepEqual(added.gear, {
    tools: ["knife"],
    container: [{ material: "net" }],
  });
  await visitor.isAccessible("harvest and gear");
});

visit("the text tells what a word means and offers what may stand there", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  await part(visitor, "no more than 2 kg of mushrooms");
  await page.locator("#form details.part[open]").getByRole("button", { name: "Show in the text" }).click();
  const text = page.locator("#text");
  await text.getByText('"kg"', { exact: true }).first().hover();
  await visitor.until(
    async () => /kg\s*Kilogram/.test(await text.locator(".meaning").first().innerText()),
    "the meaning of a unit is not told",
  );
  await page.getByRole("textbox", { name: TEXT }).press("ArrowRight");
  await page.keyboard.press("Control+Space");
  const offers = text.getByRole("listbox");
  await offers.waitFor();
  assert.match(await offers.innerText(), /valid_from/);
});

visit("a time zone that nobody knows is told", {}, async (visitor) => {
  await open(visitor);
  const head = await part(visitor, "Region, authority, dates");
  const zone = head.getByLabel("Time zone");
  await zone.fill("Europe/Vienn");
  await zone.press("Enter");
  await says(visitor, "#status", /look at again/);
  await says(visitor, "#mistakes", /`time_zone` is `Europe\/Vienn`, which this browser does not know/);
});

visit("a protected list is read from a spreadsheet", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  await part(visitor, "protected fungi (6)");
  // Its head counts the names, so it is found by its place in the book.
  const list = page.locator('#form details.part[data-way="/taxa/protected"]');
  await list.locator("input[type=file]").setInputFiles({
    name: "protected.csv",
    mimeType: "text/csv",
    buffer: Buffer.from(
      "no;scientific name;since\n1;Boletus edulis Bull.;2026\n2;Morchella esculenta;2026\n3;=SUM(1);2026\n",
    ),
  });
  await visitor.until(
    async () =>
      (await list.getByLabel("Scientific names").inputValue()) ===
      "Boletus edulis Bull.\nMorchella esculenta",
    "the names were not read",
  );
  const told = await list.getByRole("status").innerText();
  assert.match(told, /2 names were read from protected\.csv/);
  assert.match(told, /`=SUM\(1\)`, expected a scientific name .*; the line is left out/);
  const { taxa } = JSON.parse((await book(visitor)).text);
  assert.deepEqual(
    taxa.protected.members.map((one) => one.scientific_name),
    ["Boletus edulis Bull.", "Morchella esculenta"],
  );
  await page.getByRole("button", { name: "New book" }).click();
  await says(visitor, "#status", /mistakes?: the book is refused/);
});

visit("a protected list is pasted out of a spreadsheet", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  await part(visitor, "protected fungi (6)");
  const list = page.locator('#form details.part[data-way="/taxa/protected"]');
  const names = list.getByLabel("Scientific names");
  await names.fill("no\tname\n1\tBoletus edulis Bull.\n2\tMorchella esculenta");
  await names.blur();
  await visitor.until(
    async () => (await names.inputValue()) === "Boletus edulis Bull.\nMorchella esculenta",
    "the names were not read",
  );
  assert.match(await list.getByRole("status").innerText(), /2 names were read from what was pasted/);
  const { taxa } = JSON.parse((await book(visitor)).text);
  assert.equal(taxa.protected.members.length, 2);
});

visit("a limit is changed with the keyboard alone, and taken back", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  const summary = page
    .locator("#form details.part")
    .filter({ hasText: "no more than 2 kg of mushrooms" })
    .first()
    .locator(":scope > summary");
  const focused = (locator) => locator.evaluate((one) => one.matches(":focus"));
  const tabTo = async (locator, told) => {
    for (let step = 0; step < 200; step += 1) {
      if ((await locator.count()) === 1 && (await focused(locator))) return;
      await page.keyboard.press("Tab");
    }
    assert.fail(`the keyboard does not get to ${told}`);
  };
  await page.locator("h1").first().click();
  await tabTo(summary, "the rule");
  await page.keyboard.press("Enter");
  const rule = page.locator("#form details.part[open]").first();
  const amount = rule.getByLabel("Amount", { exact: true });
  await tabTo(amount, "its amount");
  await page.keyboard.press("Control+a");
  await page.keyboard.type("1.25");
  await page.keyboard.press("Enter");
  await says(visitor, "#status", /No mistakes|look at again/);
  const changed = JSON.parse((await book(visitor)).text).rules.some((one) => one.quantity?.amount === "1.25");
  assert.ok(changed, "the change did not come to the book");
  const undo = page.getByRole("button", { name: "Undo", exact: true });
  await undo.focus();
  await page.keyboard.press("Enter");
  await visitor.until(async () => (await amount.inputValue()) === "2", "undo did not bring the amount back");
});

visit("a book is opened from a file, and tried on another map", {}, async (visitor) => {
  const { page } = visitor;
  await open(visitor);
  const fixtures = new URL("./fixtures/", import.meta.url);
  const file = async (path, mimeType) => ({
    name: path.split("/").pop(),
    mimeType,
    buffer: await readFile(new URL(path, fixtures)),
  });
  await page
    .locator("#tools input[type=file]")
    .setInputFiles(await file("rules/south-tyrol.rules.json", "application/json"));
  await says(visitor, "#file-name", /south-tyrol\.rules\.json/);
  await page.getByText("Try it on your own stand map").click();
  await page.getByLabel("Crosswalk").setInputFiles(await file("codes/crosswalk.json", "application/json"));
  await page
    .getByLabel("Stand map (GeoJSON)")
    .setInputFiles(await file("codes/stands.geojson", "application/geo+json"));
  await visitor.until(
    async () => /: \d closed|: \d with/.test(await page.locator("#effect").innerText()),
    "the other map is not counted",
  );
  await visitor.openList();
  assert.equal((await visitor.tableRows()).length, 5);
});

for (const [look, options] of [
  ["light", { size: WIDE }],
  ["dark", { size: WIDE, scheme: "dark" }],
  ["phone", { size: NARROW, touch: true }],
]) {
  visit(`the form is accessible with everything open: ${look}`, options, async (visitor) => {
    await open(visitor);
    // The editor and the whole form are built at once when the page opens: one task of up to half a second on a busy
    // machine. This page is for officers; the map itself is held to less.
    await visitor.isNotHeldUp(600, () => open(visitor));
    for (const words of [
      "no more than 2 kg",
      "1 November to 31 March",
      "Plastic bags",
      "protected fungi (6)",
    ]) {
      await part(visitor, words);
    }
    await visitor.isAccessible("form open");
  });
}
