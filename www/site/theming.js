/*
 * The values of the page on colours and type.
 *
 * In: the element's manifest, which lists the custom properties; what the visitor writes. Out: the same on the map of
 * the page, and the lines of a style sheet that do it.
 */
const map = document.querySelector("hostwood-map");
const lines = document.getElementById("lines");
const form = document.getElementById("values");

const { modules } = await (await fetch("hostwood/custom-elements.json")).json();
for (const { name, default: value, description } of modules[0].declarations[0].cssProperties) {
  const label = document.createElement("label");
  const input = document.createElement("input");
  input.name = name;
  input.placeholder = value;
  input.title = description;
  input.autocomplete = "off";
  label.append(name.replace("--hostwood-", "").replaceAll("-", " "), input);
  form.append(label);
}

form.addEventListener("submit", (event) => event.preventDefault());
form.addEventListener("input", () => {
  const set = [...form.elements].filter((input) => input.value.trim() !== "");
  for (const input of form.elements) map.style.setProperty(input.name, input.value.trim());
  const told = set.map((input) => `  ${input.name}: ${input.value.trim()};\n`);
  lines.textContent = `hostwood-map {\n${told.join("")}}`;
});
