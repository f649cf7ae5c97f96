/**
 * Tiles drawn before anybody asks for them: those around what is shown, and those of the next zoom.
 *
 * In: which tiles may be wanted next, told when the map has come to rest; a way to draw one; how long nothing else has
 * been asked. Out: a tile that is there already, handed over once. One is drawn at a time, and only while the engine
 * has nothing else to do. Left to others: which tiles these are (map-canvas.ts).
 */

/** One tile of the map. */
export interface Spot {
  z: number;
  x: number;
  y: number;
}

/** The next tile waits until nothing has been asked for so long, in milliseconds. */
const QUIET = 150;
/** So many tiles that were handed over are remembered: the map keeps them for a while. */
const REMEMBERED = 64;

/** The part of a picture that is used here. */
interface Picture {
  close(): void;
}

/** Draws ahead and keeps what it has drawn, up to a number of tiles. */
export class Ahead<P extends Picture> {
  readonly #draw: (spot: Spot) => Promise<P>;
  readonly #quietFor: () => number;
  readonly #most: number;
  readonly #held = new Map<string, Promise<P | null>>();
  /** Names of tiles that were handed over or asked for: the map has them, and they are not drawn ahead. */
  readonly #given = new Set<string>();
  #wanted: Spot[] = [];
  #timer: ReturnType<typeof setTimeout> | undefined;
  #drawing = false;
  #closed = false;

  /**
   * @param quietFor milliseconds since the engine was last asked for anything else
   * @param most so many tiles are kept
   */
  constructor(draw: (spot: Spot) => Promise<P>, quietFor: () => number, most: number) {
    this.#draw = draw;
    this.#quietFor = quietFor;
    this.#most = most;
  }

  /** The tile that is wanted now, if it is drawn or being drawn; it is the caller's from then on. */
  take(spot: Spot): Promise<P | null> | undefined {
    const name = nameOf(spot);
    const held = this.#held.get(name);
    this.#held.delete(name);
    this.#remember(name);
    return held;
  }

  /** The map has come to rest: these tiles may be wanted next, the likeliest first. */
  rest(spots: readonly Spot[]): void {
    if (this.#closed) return;
    const likely = spots.filter((spot) => !this.#given.has(nameOf(spot))).slice(0, this.#most);
    const names = new Set(likely.map(nameOf));
    for (const [name, picture] of this.#held) {
      if (names.has(name)) continue;
      this.#held.delete(name);
      giveUp(picture);
    }
    this.#wanted = likely.filter((spot) => !this.#held.has(nameOf(spot)));
    this.#next();
  }

  /** The map moves: nothing further is drawn until it rests. */
  stop(): void {
    this.#wanted = [];
    clearTimeout(this.#timer);
    this.#timer = undefined;
  }

  /** All that was drawn is out of date. */
  clear(): void {
    this.stop();
    for (const picture of this.#held.values()) giveUp(picture);
    this.#held.clear();
    this.#given.clear();
  }

  /** Gives everything back. */
  close(): void {
    this.clear();
    this.#closed = true;
  }

  #remember(name: string): void {
    this.#given.delete(name);
    this.#given.add(name);
    for (const oldest of this.#given) {
      if (this.#given.size <= REMEMBERED) break;
      this.#given.delete(oldest);
    }
  }

  #next(): void {
    clearTimeout(this.#timer);
    this.#timer = undefined;
    if (this.#drawing || this.#wanted.length === 0) return;
    const wait = QUIET - this.#quietFor();
    if (wait > 0) {
      this.#timer = setTimeout(() => {
        this.#next();
      }, wait);
      return;
    }
    const spot = this.#wanted.shift();
    if (spot === undefined) return;
    this.#drawing = true;
    const picture = this.#draw(spot).catch(() => {
      // It is asked for again, and its fault told, where it is wanted.
      this.#wanted = [];
      return null;
    });
    const name = nameOf(spot);
    this.#held.set(name, picture);
    void picture.then((drawn) => {
      this.#drawing = false;
      if (drawn === null && this.#held.get(name) === picture) this.#held.delete(name);
      this.#next();
    });
  }
}

function nameOf({ z, x, y }: Spot): string {
  return `${String(z)}/${String(x)}/${String(y)}`;
}

/** A picture that nobody wants any more gives its memory back at once. */
function giveUp(held: Promise<Picture | null>): void {
  void held.then((picture) => picture?.close());
}
