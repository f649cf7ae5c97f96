/**
 * Which addresses from data may become links.
 *
 * In: an address from a stand map or rule book. Out: a safe absolute address and the words that name where it leads,
 * or null. Left to others: making the link (make.ts).
 */

const SCHEMES = new Set(["https:", "http:", "mailto:", "tel:"]);

/** A link that may be followed. */
export interface SafeLink {
  href: string;
  /** The host, mail address or number, to be shown beside the link's own words. */
  leads: string;
}

/** The link, if its scheme is one of https, http, mailto, tel and it hides no user name. */
export function safeLink(address: string): SafeLink | null {
  // An address that needs cleaning first is not followed: tabs and line ends inside a scheme are a known disguise.
  if ([...address.trim()].some((sign) => sign <= " " || sign === "\\")) return null;
  let url: URL;
  try {
    url = new URL(address.trim());
  } catch {
    return null;
  }
  if (!SCHEMES.has(url.protocol) || url.username !== "" || url.password !== "") return null;
  if (url.protocol === "mailto:" || url.protocol === "tel:")
    return { href: url.href, leads: decode(url.pathname) };
  return { href: url.href, leads: url.hostname };
}

function decode(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
