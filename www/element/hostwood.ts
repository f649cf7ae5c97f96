/**
 * The door of the element: importing this file defines `<hostwood-map>`.
 *
 * In: nothing. Out: the defined element and its types. A second copy on the same page leaves the first in charge.
 */
import { HostwoodMap } from "./element.ts";

export { HostwoodMap };
export type { HostwoodEvents } from "./element.ts";
export type { Answer, Box, Fault, Finding, Mistake, View } from "./protocol.ts";

const NAME = "hostwood-map";

if (typeof customElements !== "undefined") {
  if (customElements.get(NAME) === undefined) customElements.define(NAME, HostwoodMap);
  else console.warn(`hostwood: \`${NAME}\` is defined already; this second copy stays out of its way`);
}
