/**
 * Keeps the page's address in step with the element, where the page's author asks for it.
 *
 * In: a name for the address, the session, where the map is. Out: on opening and whenever the visitor changes the
 * address, its stand, day, look and place are taken over; whatever the visitor then chooses is written back, in place of
 * the entry that is there, so that the history stays as it was. Left to others: the writing itself (deep-links.ts).
 */
import { isLinkName, readLink, writeLink, type Linked } from "./deep-links.ts";
import type { Session } from "./session.ts";

/** How long choices must rest before they are written, in milliseconds. Browsers refuse to be told too often. */
const REST = 300;

/** Middle of the map in degrees, and its zoom. */
export type MapPlace = [lng: number, lat: number, zoom: number];

/** What the address needs from the element. */
export interface AddressWants {
  /** Where the map is; null while there is none. */
  place: () => MapPlace | null;
  goTo: (place: MapPlace) => void;
  choose: (stand: string) => void;
}

/** The name that an attribute gives; null, with a warning, where it cannot be one. */
export function linkName(attribute: string | null): string | null {
  const name = attribute?.trim() ?? "";
  if (name === "") return null;
  if (isLinkName(name)) return name;
  warn(`\`deep-links\` is \`${name}\`, expected a word such as \`map\`; no links are made`);
  return null;
}

/** One element's part of the address. */
export class Address {
  readonly name: string;
  readonly #session: Session;
  readonly #wants: AddressWants;
  readonly #ending = new AbortController();
  #waiting: Linked | null;
  #moved = false;
  #resting: ReturnType<typeof setTimeout> | undefined;

  constructor(name: string, session: Session, wants: AddressWants) {
    this.name = name;
    this.#session = session;
    this.#wants = wants;
    this.#waiting = readLink(location.hash, name, warn);
    window.addEventListener(
      "hashchange",
      () => {
        this.#waiting = readLink(location.hash, name, warn);
        this.takeOver();
      },
      { signal: this.#ending.signal },
    );
  }

  /** Takes the day over before anything is worked out for another one. */
  takeDay(): void {
    const day = this.#waiting?.day;
    if (day !== undefined) this.#session.chooseDay(day);
  }

  /** Takes over what the address tells, as soon as there is a map. */
  takeOver(): void {
    const linked = this.#waiting;
    if (linked === null || !this.#session.drawable) return;
    this.#waiting = null;
    if (linked.day !== undefined) this.#session.chooseDay(linked.day);
    if (linked.wish !== undefined) {
      this.#session.chooseWish(linked.wish);
      if (this.#session.wish !== linked.wish) warn(`in the address, no kind has the id \`${linked.wish}\``);
    } else if (linked.view !== undefined) this.#session.chooseView(linked.view);
    if (linked.stand !== undefined) this.#wants.choose(linked.stand);
    if (linked.place !== undefined) {
      this.#moved = true;
      this.#wants.goTo(linked.place);
    }
  }

  /** The visitor has chosen something. */
  changed(): void {
    if (this.#waiting !== null || this.#ending.signal.aborted) return;
    clearTimeout(this.#resting);
    this.#resting = setTimeout(() => {
      this.#write();
    }, REST);
  }

  /** The visitor has moved the map. */
  moved(): void {
    this.#moved = true;
    this.changed();
  }

  /** The address that leads back to what is on the screen. */
  link(): string {
    const place = this.#wants.place();
    return this.#with({
      ...this.#state(),
      day: this.#session.day,
      ...(place === null ? {} : { place }),
    });
  }

  /** Leaves the address as it is. */
  close(): void {
    clearTimeout(this.#resting);
    this.#ending.abort();
  }

  /** What the visitor has chosen; what nobody has chosen needs no address. */
  #state(): Linked {
    const { chosen, view, wish, ownDay } = this.#session;
    const place = this.#moved ? this.#wants.place() : null;
    return {
      ...(chosen === null ? {} : { stand: chosen }),
      ...(ownDay === null ? {} : { day: ownDay }),
      ...(view === "roots" ? {} : { view }),
      ...(wish === null ? {} : { wish }),
      ...(place === null ? {} : { place }),
    };
  }

  #with(linked: Linked): string {
    const address = new URL(location.href);
    address.hash = writeLink(address.hash, this.name, linked);
    // An address that ends in a bare sign would scroll a page to its top.
    return address.href.replace(/#$/, "");
  }

  #write(): void {
    const address = this.#with(this.#state());
    if (address === location.href) return;
    try {
      history.replaceState(history.state, "", address);
    } catch (error) {
      // Some pages may not change their address, such as those written into a frame.
      console.warn("hostwood: the address could not be kept in step", error);
    }
  }
}

function warn(message: string): void {
  console.warn(`hostwood: ${message}`);
}
