/**
 * A stand map for pages that have a map of their own: the engine in its worker, behind one handle.
 *
 * In: the same files as the element takes, a day, what the visitor told. Out: a handle that gives tiles as bitmaps,
 * the stand at a place, sheets, lists, the legend and the assessed map; it tells of itself when something changed, so
 * that layers are drawn anew. Nothing is put on the page. Left to others: the session with the worker
 * (element/session.ts), laying tiles into a map library (hostwood-leaflet.ts and its neighbours).
 */
import { ENGLISH, findWording, type Wording } from "../element/catalogues.ts";
import { Faulted } from "../element/courier.ts";
import { keyOf } from "../element/legend.ts";
import type {
  BasketEntry,
  BookText,
  Box,
  Fault,
  Finding,
  Kept,
  LegendEntry,
  ListPage,
  ListQuery,
  Mistake,
  Progress,
  Scheme,
  SheetNode,
  StandPlace,
  TaskKind,
  Tasks,
  Text,
  View,
  VisitorAnswers,
  VisitReport,
  Wish,
  YearOfStand,
} from "../element/protocol.ts";
import { Session, type Topic, type Wanted } from "../element/session.ts";
import { Words } from "../element/words.ts";

export type {
  BasketEntry,
  BookText,
  Box,
  Fault,
  Finding,
  Kept,
  LegendEntry,
  ListPage,
  ListQuery,
  Mistake,
  Progress,
  Scheme,
  SheetNode,
  StandPlace,
  Text,
  View,
  VisitorAnswers,
  VisitReport,
  Wish,
  YearOfStand,
};

/** What is to be opened. Addresses are read against the page's own. */
export interface StandMapFiles {
  /** The stand map: an address, or a file that was handed over. */
  stands: string | Blob;
  /** What the columns of the stand map mean. */
  crosswalk?: string | Blob;
  /** Addresses of the rule books, or their texts. Without any, what the rules say is not known. */
  rules?: readonly (string | BookText)[];
  /** Address of daily weather. */
  weather?: string;
  /** Addresses of the region's own tables of kinds. */
  kinds?: readonly string[];
  /** Language of words, names and rule texts (BCP 47); else the page's, then the visitor's. */
  lang?: string;
  /** Address of the folder with worker and engine, where they do not lie beside this script. */
  assets?: string;
}

/** Who comes when. What is left out: today where the forest is, no time told, nothing said of the visitor. */
export interface VisitWanted {
  /** ISO day, such as `2026-09-12`. */
  day?: string;
  /** Clock time where the forest is, such as `07:30`. */
  time?: string;
  visitor?: VisitorAnswers;
}

/** How tiles and legend are to look. `wish` is the id of a kind or group, and goes before `view`. */
export interface Look {
  view?: View;
  wish?: string;
  scheme?: Scheme;
  moreContrast?: boolean;
}

/** One tile of the Web Mercator pyramid, as it is wanted. `size` in CSS pixels, `ratio` in device pixels to one. */
export interface TileWanted extends Look {
  size?: number;
  ratio?: number;
  /** Id of the stand that is to be outlined. */
  selected?: string;
}

/** A look with nothing left out. */
type Drawn = Required<Omit<Look, "wish">> & Pick<Look, "wish">;

/** One entry of the legend, worded, with its swatch as RGBA pixels. */
export interface WordedEntry extends LegendEntry {
  text: string;
}

/** What a label or a list says of a stand: its name or number, its potential in the view, what the rules say. */
export interface StandInShort {
  name: string;
  potential: string;
  verdict: string;
}

/** Thrown where a stand map cannot be opened, or a question cannot be answered. */
export class StandMapError extends Error {
  readonly fault: Fault;
  constructor(fault: Fault) {
    super(fault.message);
    this.name = "StandMapError";
    this.fault = fault;
  }
}

/** What a stand map tells of its own accord. */
export interface StandMapEvents {
  /** Stands were assessed anew: for another day, another visitor, other rules. Tiles, sheets and lists are out of date. */
  change: CustomEvent<VisitReport>;
  /** The engine stopped, or a file could not be had. After `stopped` nothing answers until `reopen`. */
  fault: CustomEvent<Fault>;
  /** How far the reading is. */
  progress: CustomEvent<Progress>;
}

/**
 * Opens a stand map in a worker of its own and assesses every stand.
 *
 * The file `hostwood-worker.js` and the engine are looked for beside this file. `progress` is called while reading.
 * @throws StandMapError where the stand map cannot be had or read, or no worker or engine can run here
 */
export async function openStandMap(
  files: StandMapFiles,
  visit: VisitWanted = {},
  progress?: (progress: Progress) => void,
): Promise<StandMap> {
  const map = new StandMap(files, visit);
  const told = (event: Event): void => {
    progress?.((event as StandMapEvents["progress"]).detail);
  };
  map.addEventListener("progress", told);
  try {
    await map.reopen();
  } catch (error) {
    map.close();
    throw error;
  } finally {
    map.removeEventListener("progress", told);
  }
  return map;
}

/** One open stand map. Made by `openStandMap`. */
export class StandMap extends EventTarget {
  readonly #session: Session;
  #wanted: Wanted;
  #words: Words;
  #heard = new Set<(topic: Topic) => void>();

  constructor(files: StandMapFiles, visit: VisitWanted) {
    super();
    this.#wanted = wantedOf(files, visit);
    this.#words = new Words("en", ENGLISH, ENGLISH);
    this.#session = new Session((topic) => {
      this.#hear(topic);
    });
    this.#session.visitor = { ...visit.visitor };
  }

  /**
   * Reads everything anew, in the worker that runs or in a new one: after the engine stopped, or when files changed.
   * @throws StandMapError as `openStandMap` does
   */
  async reopen(): Promise<void> {
    const words = wordsFor(this.#wanted.languages);
    await new Promise<void>((resolve, reject) => {
      const listen = (topic: Topic): void => {
        if (topic !== "phase") return;
        const { phase, fault } = this.#session;
        if (phase === "loading") return;
        this.#heard.delete(listen);
        if (phase === "ready") resolve();
        else if (phase === "idle") reject(overtaken());
        else reject(new StandMapError(fault ?? NOT_OPEN));
      };
      this.#heard.add(listen);
      if (this.#session.phase === "idle") this.#session.want(this.#wanted);
      else void this.#session.load();
    });
    this.#words = await words;
    this.#words.timeZone = this.#session.rules?.timeZone ?? undefined;
  }

  /** Assesses every stand for another visit; what is left out goes back to what nobody told. */
  async setVisit(visit: VisitWanted): Promise<VisitReport> {
    this.#wanted = { ...this.#wanted, day: visit.day ?? null, time: visit.time ?? null };
    this.#session.want(this.#wanted);
    await this.#session.tell({ ...visit.visitor });
    const { visit: report, visitFault } = this.#session;
    if (visitFault !== null) throw new StandMapError(visitFault);
    if (report === null) throw new StandMapError(NOT_OPEN);
    return report;
  }

  /**
   * One tile as a bitmap, to be closed by the one who asked.
   * @throws StandMapError; or the reason of the signal, or an `AbortError` where the tile was overtaken by a change
   */
  tile(z: number, x: number, y: number, look: TileWanted = {}, signal?: AbortSignal): Promise<ImageBitmap> {
    const { size = 256, ratio = 1, selected } = look;
    const chosen = selected === undefined ? {} : { selected };
    return this.#ask("tile", { z, x, y, look: { size, ratio, ...this.#drawn(look), ...chosen } }, signal);
  }

  /** The id of the stand at a place in degrees, the smallest where several overlap; null where there is none. */
  standAt(lng: number, lat: number): Promise<string | null> {
    return this.#ask("standAt", { lng, lat });
  }

  /** Where a stand is; null where there is no such stand. */
  stand(id: string): Promise<StandPlace | null> {
    return this.#ask("stand", { id });
  }

  /** The whole sheet of a stand as a tree of messages and data; `say` words each. Poisonous kinds are part of it. */
  sheet(id: string, look: Look = {}): Promise<SheetNode[]> {
    const { view, wish } = this.#drawn(look);
    const wished = wish === undefined ? {} : { wish };
    return this.#ask("sheet", { id, languages: this.#wanted.languages, view, ...wished });
  }

  /** Name, potential and verdict of a stand in words, for a label. It names no kind. */
  async inShort(id: string, look: Look = {}): Promise<StandInShort> {
    const [place, tree] = await Promise.all([this.stand(id), this.sheet(id, look)]);
    const parts = tree.flatMap((one) => (one.node === "section" ? one.children : [one]));
    const worded = (kind: "gauge" | "verdict"): string => {
      const found = parts.find((one) => one.node === kind);
      return found !== undefined && "text" in found
        ? this.say(found.text)
        : this.say({ key: "answer.not_known" });
    };
    return {
      name: place?.name ?? this.say({ key: "ui.stand_number", args: { id: { text: id } } }),
      potential: worded("gauge"),
      verdict: worded("verdict"),
    };
  }

  /** One page of the list of all stands; by potential, best first, unless asked otherwise. */
  list(query: Partial<ListQuery> = {}): Promise<ListPage> {
    const usual: ListQuery = {
      sort: "potential",
      descending: true,
      view: "roots",
      offset: 0,
      limit: 50,
      languages: this.#wanted.languages,
    };
    return this.#ask("list", { query: { ...usual, ...query } });
  }

  /** How a basket stands to the rules, at one stand or, with null, in the region at large. */
  harvest(id: string | null, basket: BasketEntry[]): Promise<SheetNode[]> {
    return this.#ask("harvest", { id, basket, languages: this.#wanted.languages });
  }

  /** What the rules say of one stand on each day of the year of the visit. */
  year(id: string): Promise<YearOfStand> {
    return this.#ask("year", { id });
  }

  /** The stand map with what was worked out, as a GeoJSON file. */
  async toGeoJSON(): Promise<Blob> {
    return new Blob([await this.#ask("geojson", {})], { type: "application/geo+json" });
  }

  /** The legend of a look, in the order in which it is to be read. */
  async legend(look: Look = {}, ratio = 1): Promise<WordedEntry[]> {
    const entries = await this.#ask("swatches", { look: { ratio, ...this.#drawn(look) } });
    return entries.map((entry) => ({ ...entry, text: this.say({ key: keyOf(entry) }) }));
  }

  /** A message or a piece of data in the language of the stand map. It is text, never markup. */
  say(text: Text): string {
    return this.#words.plain(text);
  }

  /** The kinds and groups that can be looked for. */
  get wishes(): readonly Wish[] {
    return this.#session.wishes;
  }

  /** West, south, east, north in degrees; null where no stand has an outline. */
  get bounds(): Box | null {
    return this.#session.stands?.bounds ?? null;
  }

  /** What was odd in the stand map. */
  get findings(): readonly Finding[] {
    return this.#session.stands?.findings ?? [];
  }

  /** What is wrong in rule books and tables of kinds. */
  get mistakes(): readonly Mistake[] {
    const tables = this.#session.kinds?.files.flatMap((file) => file.mistakes) ?? [];
    return [...(this.#session.rules?.mistakes ?? []), ...tables];
  }

  /** Files that came from a copy on this device because the network gave none; a page should say how old they are. */
  get kept(): readonly Kept[] {
    return this.#session.kept;
  }

  /** The visit that holds, and how many stands have which answer; null before the first. */
  get visit(): VisitReport | null {
    return this.#session.visit;
  }

  /** Goes up with each assessment: names one state of the drawing. */
  get edition(): number {
    return this.#session.edition;
  }

  /** Ends the worker. What is out ends with an `AbortError`. */
  close(): void {
    this.#session.close();
    this.#hear("phase");
  }

  /** View and wish with what was left out: a kind is shown where it fruits. */
  #drawn({ view, wish, scheme = "light", moreContrast = false }: Look): Drawn {
    const fruits = this.#session.wishes.find(({ id }) => id === wish)?.view;
    return { view: view ?? fruits ?? "roots", scheme, moreContrast, ...(wish === undefined ? {} : { wish }) };
  }

  async #ask<K extends TaskKind>(
    kind: K,
    ask: Tasks[K]["ask"],
    signal?: AbortSignal,
  ): Promise<Tasks[K]["answer"]> {
    try {
      return await this.#session.ask(kind, ask, signal);
    } catch (error) {
      if (error instanceof Faulted) throw new StandMapError(error.fault);
      signal?.throwIfAborted();
      throw overtaken();
    }
  }

  #hear(topic: Topic): void {
    for (const listen of [...this.#heard]) listen(topic);
    const { phase, progress, visit, fault, visitFault, weatherFault } = this.#session;
    if (topic === "progress" && progress !== null) this.#tell("progress", progress);
    if (topic === "visit" && visit !== null && phase === "ready") this.#tell("change", visit);
    if (topic === "phase" && fault !== null && phase !== "loading" && phase !== "ready") {
      this.#tell("fault", fault);
    }
    if (topic === "visit" && visitFault !== null) this.#tell("fault", visitFault);
    if (topic === "weather" && weatherFault !== null) this.#tell("fault", weatherFault);
  }

  #tell<K extends keyof StandMapEvents>(name: K, detail: StandMapEvents[K]["detail"]): void {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}

const NOT_OPEN: Fault = { about: "engine", code: "closed", message: "The stand map is closed." };

function wantedOf(files: StandMapFiles, visit: VisitWanted): Wanted {
  const near = [files.lang, document.documentElement.lang, ...navigator.languages, "en"];
  return {
    assets: files.assets === undefined ? null : absolute(files.assets),
    stands: absolute(files.stands),
    crosswalk: files.crosswalk === undefined ? null : absolute(files.crosswalk),
    rules: (files.rules ?? []).map((one) => (typeof one === "string" ? absolute(one) : one)),
    kinds: (files.kinds ?? []).map((one) => absolute(one)),
    weather: files.weather === undefined ? null : absolute(files.weather),
    context: null,
    day: visit.day ?? null,
    time: visit.time ?? null,
    limits: {},
    languages: [...new Set(near.filter((tag) => tag !== undefined && tag !== ""))] as string[],
  };
}

/** @throws TypeError where the text is no address */
function absolute<T extends string | Blob>(place: T): T {
  return (typeof place === "string" ? new URL(place, document.baseURI).href : place) as T;
}

/** The answer is no longer wanted; nothing is wrong. */
function overtaken(): DOMException {
  return new DOMException("overtaken by a change, or closed", "AbortError");
}

function wordsFor(languages: readonly string[]): Promise<Words> {
  return new Promise((resolve) => {
    findWording(languages, ({ locale, catalogue }: Wording) => {
      resolve(new Words(locale, catalogue, ENGLISH));
    });
  });
}
