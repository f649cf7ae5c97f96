/**
 * The address that leads back to what is on the screen: stand, day, what is looked for, and the part of the map in view.
 *
 * In: a name of the embedder's choice, a fragment, a state. Out: the state that a fragment tells, with a word on what in
 * it makes no sense; the fragment that tells a state. Each element writes only what begins with its own name, so two on
 * one page, and the page's own anchors, do not collide. Where the visitor is never goes into it. Left to others: the
 * browser's history (element.ts).
 */
import { isDay } from "./today.ts";
import { VIEWS, type View } from "./protocol.ts";

/** What an address can lead back to. */
export interface Linked {
  stand?: string;
  day?: string;
  view?: View;
  wish?: string;
  /** Middle of the map in degrees, and its zoom. */
  place?: [lng: number, lat: number, zoom: number];
}

/** A name for the address: letters, digits and hyphens. */
export function isLinkName(name: string): boolean {
  return /^[A-Za-z][A-Za-z0-9-]{0,31}$/.test(name);
}

/** The longest id that is read from an address. */
const LONGEST = 200;

/** What a fragment tells under a name. What makes no sense is left out and told to `warn`. */
export function readLink(fragment: string, name: string, warn: (message: string) => void): Linked {
  const linked: Linked = {};
  for (const part of partsOf(fragment)) {
    if (!isOwn(part, name)) continue;
    const equals = part.indexOf("=");
    const key = part.slice(name.length + 1, equals === -1 ? undefined : equals);
    const value = decoded(equals === -1 ? "" : part.slice(equals + 1));
    const wrong = (expected: string): void => {
      warn(`in the address, \`${part}\` is left out; expected ${expected}`);
    };
    switch (key) {
      case "stand":
        if (value === null || value === "" || value.length > LONGEST) wrong("the id of a stand");
        else linked.stand = value;
        break;
      case "day":
        if (value === null || !isDay(value)) wrong(`a day such as \`${name}.day=2026-09-26\``);
        else linked.day = value;
        break;
      case "view": {
        const view = VIEWS.find((one) => one === value);
        if (view === undefined) wrong(`one of \`${VIEWS.join("`, `")}\``);
        else linked.view = view;
        break;
      }
      case "wish":
        if (value === null || !/^[a-z0-9_-]{1,80}$/.test(value)) wrong("the id of a kind");
        else linked.wish = value;
        break;
      case "at": {
        const place = value === null ? null : placeOf(value);
        if (place === null) wrong(`longitude, latitude and zoom such as \`${name}.at=14.3,48.3,12\``);
        else linked.place = place;
        break;
      }
      default:
        wrong("`stand`, `day`, `view`, `wish` or `at` after the name");
    }
  }
  return linked;
}

/** The fragment, without its `#`, that tells this state and keeps whatever is not ours. */
export function writeLink(fragment: string, name: string, linked: Linked): string {
  const foreign = partsOf(fragment).filter((part) => !isOwn(part, name));
  const own: string[] = [];
  const add = (key: string, value: string | undefined): void => {
    if (value !== undefined) own.push(`${name}.${key}=${encodeURIComponent(value).replaceAll("%2C", ",")}`);
  };
  add("stand", linked.stand);
  add("day", linked.day);
  add("view", linked.wish === undefined ? linked.view : undefined);
  add("wish", linked.wish);
  if (linked.place !== undefined) {
    const [lng, lat, zoom] = linked.place;
    add("at", [lng.toFixed(4), lat.toFixed(4), zoom.toFixed(1)].map(Number).join(","));
  }
  return [...foreign, ...own].join("&");
}

function partsOf(fragment: string): string[] {
  return fragment
    .replace(/^#/, "")
    .split("&")
    .filter((part) => part !== "");
}

function isOwn(part: string, name: string): boolean {
  return part.startsWith(`${name}.`);
}

function decoded(text: string): string | null {
  try {
    return decodeURIComponent(text);
  } catch {
    return null;
  }
}

function placeOf(text: string): [number, number, number] | null {
  const numbers = text.split(",").map((part) => (part.trim() === "" ? Number.NaN : Number(part)));
  const [lng, lat, zoom] = numbers;
  if (numbers.length !== 3 || lng === undefined || lat === undefined || zoom === undefined) return null;
  const sound = Math.abs(lng) <= 360 && Math.abs(lat) <= 85 && zoom >= 0 && zoom <= 22;
  return sound ? [lng, lat, zoom] : null;
}
