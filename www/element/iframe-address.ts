/**
 * What the address of the framed page asks for.
 *
 * In: the part of the address after the question mark, the page's own address, the other sites whose files it may
 * show. Out: the attributes of the element, and what was refused. Files of other sites are refused unless the one who
 * keeps the page has named the site, and then need https: otherwise any link could make an agency's page show rules
 * that somebody else wrote. Left to others: the page itself (iframe.ts).
 */

/** Parameters that name files, one or several parted by spaces; tiles of a base map by their template. */
const FILES = ["stands", "crosswalk", "rules", "context", "weather", "kinds", "basemap"];
/** The parameter from where scripts come: whatever other sites are named, these are the page's own. */
const SCRIPTS = ["asset-base"];
/** Parameters that are taken as they are. */
const WORDS = [
  "day",
  "time",
  "lang",
  "stand",
  "label",
  "loading",
  "basemap-credit",
  "deep-links",
  "heading-level",
  "max-bytes",
  "max-stands",
];

/** Every parameter: the element's attributes, all of them (`iframe.test.ts` holds them against `surface.json`). */
export const PARAMETERS: readonly string[] = [...FILES, ...SCRIPTS, ...WORDS];

/** The element's attributes, in the order in which they were given, and one English sentence for each refusal. */
export interface Asked {
  attributes: [name: string, value: string][];
  refused: string[];
}

/** Reads the address of the framed page. */
export function readAddress(search: string, page: string, sources: readonly string[]): Asked {
  const asked: Asked = { attributes: [], refused: [] };
  for (const [name, value] of new URLSearchParams(search)) {
    if (WORDS.includes(name)) {
      asked.attributes.push([name, value]);
    } else if (PARAMETERS.includes(name)) {
      const places = value.split(/\s+/).filter((one) => one !== "");
      const others = SCRIPTS.includes(name) ? [] : sources;
      const why = places.flatMap((one) => refusal(name, one, page, others) ?? []);
      if (why.length > 0) asked.refused.push(...why);
      else asked.attributes.push([name, places.join(" ")]);
    } else {
      const known = PARAMETERS.map((one) => `\`${one}\``).join(", ");
      asked.refused.push(`\`${name}\` is no parameter of this page; expected one of ${known}.`);
    }
  }
  if (!asked.attributes.some(([name]) => name === "stands") && asked.refused.length === 0) {
    asked.refused.push(
      "`stands` is missing; expected the address of a stand map, such as `?stands=/maps/stands.geojson`.",
    );
  }
  return asked;
}

function refusal(name: string, place: string, page: string, sources: readonly string[]): string | null {
  if (!URL.canParse(place, page))
    return `\`${name}\` is \`${place}\`, expected an address such as \`/maps/stands.geojson\`.`;
  const { origin, protocol } = new URL(place, page);
  if (origin === new URL(page).origin && origin !== "null") return null;
  if (SCRIPTS.includes(name)) return `\`${name}\` is \`${place}\`, expected a folder of this site.`;
  if (protocol !== "https:")
    return `\`${name}\` is \`${place}\`, expected a file of this site, or of another over https.`;
  if (sources.includes(origin)) return null;
  return `\`${name}\` lies on \`${origin}\`, expected a file of this site; whoever keeps this page can name other sites in its \`hostwood-sources\`.`;
}
