/*
 * The language of the demo's map.
 *
 * In: `?lang=` of the page's address, and the visitor's choice. Out: the `lang` of the map, and the address that keeps
 * it. The page itself stays in English; the words of the map are left to the map.
 */
const choice = document.getElementById("language");
const map = document.querySelector("hostwood-map");
const offered = [...choice.options].map((option) => option.value);

const wanted = new URL(location.href).searchParams.get("lang");
if (wanted !== null && offered.includes(wanted)) {
  map.lang = wanted;
  choice.value = wanted;
}
choice.addEventListener("change", () => {
  map.lang = choice.value;
  const address = new URL(location.href);
  address.searchParams.set("lang", choice.value);
  history.replaceState(history.state, "", address);
});
choice.closest("[hidden]").hidden = false;
