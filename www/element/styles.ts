/**
 * The element's styles as one constructed sheet, shared by every element on the page.
 *
 * In: the texts of styles/. Out: a sheet to adopt; no style element and no style attribute is ever written.
 */
import ground from "../styles/ground.css";
import list from "../styles/list.css";
import map from "../styles/map.css";
import media from "../styles/media.css";
import sheet from "../styles/sheet.css";

let made: CSSStyleSheet | null = null;

/** The sheet, made once. */
export function styleSheet(): CSSStyleSheet {
  if (made === null) {
    made = new CSSStyleSheet();
    made.replaceSync([ground, map, sheet, list, media].join("\n"));
  }
  return made;
}
