/*
 * What the example pages have in common: the choices above the map and what is said of the stand that was clicked.
 *
 * In: an open stand map, and a shading that can be looked at otherwise. Out: the page's controls filled and answered.
 * Everything is written as text. Left to others: the map itself, which is each page's own script.
 */

/** The files of the invented region, and a day in its season. */
export const REGION = {
  stands: "../eskenvar/stands.geojson",
  crosswalk: "../eskenvar/crosswalk.json",
  rules: ["../eskenvar/eskenvar.rules.json"],
  lang: "en",
};
export const VISIT = { day: "2026-09-12" };

const view = document.querySelector("#view");
const day = document.querySelector("#day");
const list = document.querySelector("#stand");
const told = document.querySelector("#told");

/** Wires the controls up. `shading` has `look` and `select`. */
export async function converse(stands, shading) {
  const look = () => ({ view: view.value });
  day.value = stands.visit.day;
  const legend = async () => {
    const entries = await stands.legend(look());
    document.querySelector("#legend").replaceChildren(
      ...entries.map(({ text, pixels, width, height }) => {
        const swatch = Object.assign(document.createElement("canvas"), { width, height });
        swatch.getContext("2d").putImageData(new ImageData(pixels, width, height), 0, 0);
        const item = document.createElement("li");
        item.append(swatch, ` ${text}`);
        return item;
      }),
    );
  };
  await legend();
  // The list tells the same as the map, to those who do not point.
  const { rows } = await stands.list({ sort: "name", descending: false, limit: 200 });
  list.append(...rows.map(({ id, name }) => new Option(name ?? id, id)));

  view.addEventListener("change", () => {
    shading.look(look());
    void legend();
    void tell(stands, shading, list.value);
  });
  day.addEventListener("change", async () => {
    await stands.setVisit({ day: day.value });
    await tell(stands, shading, list.value);
  });
  list.addEventListener("change", () => tell(stands, shading, list.value));
  stands.addEventListener("fault", ({ detail }) => {
    told.textContent = detail.message;
  });
}

/** Says what is worked out for one stand, and outlines it; `place` is where it was clicked. */
export async function tell(stands, shading, id, place = null) {
  shading.select(id === "" ? null : id);
  delete told.dataset.stand;
  told.dataset.place = place === null ? "" : `${place.lng},${place.lat}`;
  if (id === null || id === "") {
    told.textContent = "No stand is chosen.";
    return;
  }
  if (![...list.options].some(({ value }) => value === id)) list.append(new Option(id, id));
  list.value = id;
  const { name, potential, verdict } = await stands.inShort(id, { view: view.value });
  const sentences = [`${name}: ${potential}`, verdict];
  told.textContent = sentences.map((one) => one.replace(/[.\s]*$/, ".")).join(" ");
  told.dataset.stand = id;
}
