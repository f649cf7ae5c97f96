/**
 * What the page and the worker say to each other, and the shape of the engine behind the worker.
 *
 * In: nothing; these are types only. Out: the shapes of the Wasm class `Engine`, of its reports, of the sheet tree,
 * and of the messages between page and worker. Left to others: sending them (courier.ts), answering them
 * (worker/), wording them (words.ts).
 */

/** The three views of one map: kinds that live with roots, on wood, on litter and grass. */
export type View = "roots" | "wood" | "litter";

/** All views, in the order in which they are offered. */
export const VIEWS: readonly View[] = ["roots", "wood", "litter"];

/** What the rule books say of one stand, worst first. */
export type Answer = "closed" | "over" | "breach" | "need" | "not_known" | "limits" | "no_rule" | "free";

/** All answers, worst first. */
export const ANSWERS: readonly Answer[] = [
  "closed",
  "over",
  "breach",
  "need",
  "not_known",
  "limits",
  "no_rule",
  "free",
];

/** The five steps of fruiting potential, from least to most. */
export const STEPS: readonly string[] = ["bare", "slight", "fair", "good", "rich"];

/** West, south, east, north in degrees. */
export type Box = [number, number, number, number];

/** Light or dark drawing. */
export type Scheme = "light" | "dark";

/** One odd thing met while reading a stand map. `message` is whole English sentences. */
export interface Finding {
  code: string;
  severity: "error" | "warning" | "note";
  message: string;
  feature?: number;
  stand?: string;
  property?: string;
  count: number;
  examples: string[];
}

/** One thing wrong in a rule book or crosswalk. */
export interface Mistake {
  code: string;
  severity: "error" | "warning" | "note";
  message: string;
  line?: number;
  column?: number;
  pointer?: string;
  book?: string;
}

/** An address, or a file that the page was handed. */
export type Given = string | Blob;

/** A rule book that was handed over as text, with the name it is called by in messages. */
export interface BookText {
  name: string;
  text: string;
}

/** What came of reading the stand map. */
export interface StandsReport {
  stands: number;
  withoutOutline: number;
  bounds: Box | null;
  profiles: number;
  findings: Finding[];
  notAssessed: string[];
}

/** Whether one rule book may be relied on that day. */
export type BookState = "in_force" | "expired" | "not_yet" | "review_due" | "unreadable" | "missing";

/** One rule book, as far as the frame around the map needs it. `state` says whether it could be read at all. */
export interface BookReport {
  name: string;
  title: Record<string, string>;
  authority: Record<string, string>;
  link: string | null;
  phone: string | null;
  state: "read" | "unreadable" | "missing";
  checked: string | null;
  validTo: string | null;
  timeZone: string | null;
}

/** What the visitor may be asked, because some rule turns on it. */
export type Question =
  "resident" | "permit" | "owner" | "consent" | "commercial" | "age" | "escorted" | "party" | "family";

/** What a basket may be asked, because some rule turns on it. */
export type BasketFact = "mass" | "volume" | "pieces" | "cap" | "height" | "width" | "clump" | "cleaned";

/** What came of reading the rule books. */
export interface RulesReport {
  books: BookReport[];
  mistakes: Mistake[];
  timeZone: string | null;
  questions: Question[];
  /** What the rules need to be told of a basket. */
  basket: BasketFact[];
  emergency: string | null;
}

/** What became of the region's own tables of kinds: with a mistake in any file none of them counts. */
export interface KindsReport {
  files: { name: string; title: string; added: number; corrected: number; mistakes: Mistake[] }[];
}

/** What the visitor told of themselves; a missing member is "not said". */
export interface VisitorAnswers {
  resident?: boolean;
  permit?: boolean;
  owner?: boolean;
  consent?: boolean;
  commercial?: boolean;
  age?: number;
  escorted?: boolean;
  party?: number;
  family?: boolean;
}

/**
 * One visit: ISO day, clock time if told, and the visitor. `utcOffset` is the minutes by which the region's clock runs
 * before universal time at that time; rules that follow the sun need it.
 */
export interface VisitInput {
  day: string;
  time?: string;
  utcOffset?: number;
  visitor: VisitorAnswers;
}

/** What a file of daily weather held. */
export interface WeatherReport {
  days: number;
  from: string | null;
  to: string | null;
  station?: string;
  findings: Finding[];
}

/** Counts over all stands for one visit, and how each rule book stands on its day. */
export interface VisitReport {
  day: string;
  answers: Partial<Record<Answer, number>>;
  steps: Record<string, number>;
  books: BookState[];
}

/** One legend entry: an id, and its swatch as RGBA pixels drawn by the code that draws the tiles. */
export interface LegendEntry {
  id: string;
  pixels: Uint8ClampedArray<ArrayBuffer>;
  width: number;
  height: number;
}

/** One kind or group that a visitor can look for. */
export interface Wish {
  id: string;
  scientific: string;
  names: Record<string, string>;
  status: string;
  /** The view that shows where it fruits. */
  view: View;
}

/** Where a stand is; without an outline it has no place. */
export interface StandPlace {
  id: string;
  name: string | null;
  bounds: Box | null;
  inside: [number, number] | null;
}

/** How the list is sorted. */
export type SortBy = "potential" | "verdict" | "area" | "name" | "distance";

/** Which rows of the list are wanted. */
export interface ListQuery {
  sort: SortBy;
  descending: boolean;
  view: View;
  wish?: string;
  filter?: { text?: string; step?: string; answer?: string; genus?: string };
  offset: number;
  limit: number;
  start?: [number, number];
  /** Languages in which the trees are named, best first. */
  languages: string[];
}

/** One row of the list. Area in hectares, distance in metres, shares from 0 to 1. */
export interface ListRow {
  id: string;
  name: string | null;
  area: number | null;
  trees: { name: string; genus: string | null; group: string | null; share: number | null }[];
  step: string | null;
  value: number | null;
  low: number | null;
  high: number | null;
  wide: boolean;
  answer: Answer;
  distance: number | null;
}

/** One page of the list; `total` counts every row that passes the filter. */
export interface ListPage {
  total: number;
  rows: ListRow[];
}

/** Units that a number in a message may carry. `piece` is worded by the catalogue, the others by the browser. */
export type Unit =
  | "hectare"
  | "kilogram"
  | "gram"
  | "liter"
  | "year"
  | "meter"
  | "percent"
  | "piece"
  | "celsius"
  | (string & {});

/** One argument of a message. */
export type Arg =
  | { n: number; unit?: Unit; digits?: number }
  | { range: [number, number]; unit?: Unit; digits?: number }
  | { date: string }
  | { monthDay: string }
  | { time: string }
  | { utc: string; timeZone?: string }
  | { text: string; lang?: string }
  | { key: string; args?: Record<string, Arg> }
  | { list: Arg[] };

/** A message to be worded, or a piece of data to be shown as it is. */
export type Text = { key: string; args?: Record<string, Arg> } | { text: string; lang?: string };

/** How a tree's roots live with fungi. */
export type MycorrhizalType =
  "ectomycorrhizal" | "dual" | "arbuscular" | "ericoid" | "non_mycorrhizal" | "uncertain" | (string & {});

/** One tree of a mixture. `share` is a pair from 0 to 1, or null where it is not known. */
export interface MixturePart {
  name: Text;
  share: [number, number] | null;
  type: MycorrhizalType;
  layer: Text;
}

/** How a sentence, or something that opens, is meant. */
export type Tone =
  "for" | "against" | "open" | "caution" | "danger" | "quiet" | "deadly" | "poisonous" | "kind";

/** Units of amounts as rule books spell them. */
export type LawUnit = "kg" | "g" | "lb_av" | "L" | "gal_us" | "qt_us" | "piece";

/** How a limit stands: `not_known` where part of the basket could not be counted against it. */
export type FillLevel = "under" | "full" | "over" | "not_known";

/** One thing in the basket: a kind's id or scientific name; kilograms and litres as decimals in text, sizes in centimetres. */
export interface BasketEntry {
  kind: string;
  mass?: string;
  volume?: string;
  pieces?: number;
  cap?: number;
  height?: number;
  width?: number;
  /** Taken earlier in that time, not today: it counts only against limits over it. */
  earlier?: "day" | "week" | "season" | "year";
  cleaned?: boolean;
  clump?: boolean;
}

/** What was found while checking a rule book that somebody is writing. */
export interface BookCheck {
  usable: boolean;
  mistakes: Mistake[];
  title?: Record<string, string>;
}

/** The names in an authority's list of fungi; a name without kinds is not in the table of fungi. */
export interface ListedReport {
  names: { name: string; rank: "species" | "genus"; kinds: string[]; line: number }[];
  mistakes: Mistake[];
}

/** What became of the properties of one fact, in the units of the plain form. */
export interface SampledFact {
  fact: string;
  /** The property that was read, and what stands there. */
  property: string;
  raw: unknown;
  /** The value, or the ends of a range; null where it is not known. */
  value: unknown;
  low: unknown;
  high: unknown;
  middle: unknown;
  unit: string | null;
  tree: string | null;
  layer: "canopy" | "understorey" | "retained" | null;
  /** Why there is no value, in English. */
  why: string | null;
}

/** What a crosswalk makes of a sample: for some of its features, what each property became. */
export interface CrosswalkTrial {
  features: number;
  stands: number;
  withoutOutline: number;
  findings: Finding[];
  /** Properties that nothing reads, with the number of features that carry each. */
  unread: Record<string, number>;
  sampled: { feature: number; stand: string | null; leftOut: string | null; facts: SampledFact[] }[];
}

/** The year of a stand: one answer a day from 1 January of the visit's year. */
export interface YearOfStand {
  from: string;
  answers: Answer[];
  next?: { on: string; at?: string; becomes: Answer };
}

/** A question to the day planner: start in degrees, distance in metres. */
export interface PlanQuery {
  start: [number, number];
  within: number;
  most: number;
  view: View;
  wish?: string;
  languages: string[];
}

/** One stand of a plan; `says` is a tree like a sheet. */
export interface PlannedStand {
  id: string;
  name: string | null;
  distance: number;
  answer: Answer;
  inSeason: boolean;
  says: SheetNode[];
}

/** The best stands of a day, and how many near by were left out, and why. */
export interface PlanReport {
  stands: PlannedStand[];
  near: number;
  closed: number;
  notKnown: number;
}

/** The year of a stand with its kinds. Spans are pairs of days, counted from 0 for 1 January. */
export interface CalendarOfStand extends YearOfStand {
  kinds: { name: Text; tone: Tone; spans: [number, number][] }[];
  more: number;
  morePoisonous: number;
}

/** Stands whose outlines are wanted for a satellite receiver, with words in the visitor's language. */
export interface GpxQuery {
  stands: { id: string; name: string; description: string }[];
  title: string;
  caution: string;
  /** `{metres}` stands for the tolerance. */
  simplified: string;
}

/** A find to be reported; the position in degrees, the grid in metres. */
export interface FindInput {
  name: string;
  day: string;
  position: [number, number];
  grid: number;
  count?: number;
  stand?: string;
  finder: string;
  remarks: string;
  generalised: string;
}

/** What came of the weather: without an address both are null. A fault costs nothing but the weather. */
export interface WeatherTaken {
  report: WeatherReport | null;
  fault: Fault | null;
}

/** One day of weather: millimetres, degrees Celsius, water in the ground from 0 to 1; null where not told. */
export interface WeatherDay {
  date: string;
  rain: number | null;
  low: number | null;
  high: number | null;
  moisture: number | null;
  forecast: boolean;
}

/** One element of the sheet. Everything in it is a message or marked data; nothing is markup. */
export type SheetNode =
  | { node: "section"; id: string; title: Text; children: SheetNode[] }
  | { node: "heading"; text: Text; sub?: Text[] }
  | { node: "mixture"; parts: MixturePart[] }
  | { node: "verdict"; answer: Answer; text: Text }
  | {
      node: "gauge";
      step: string | null;
      low: number | null;
      high: number | null;
      value: number | null;
      text: Text;
    }
  | { node: "fill"; text: Text; used: string; limit: string; unit: LawUnit; share: number; level: FillLevel }
  | { node: "line"; tone?: Tone; text: Text }
  | { node: "list"; style: "plain" | "reasons" | "kinds"; items: SheetNode[][] }
  | { node: "more"; summary: Text[]; tone?: Tone; children: SheetNode[] }
  | { node: "source"; text: Text; link?: string; checked?: string }
  | {
      node: "weather";
      from: string;
      to: string;
      today: string;
      days: WeatherDay[];
      text: Text;
    }
  | { node: "facts"; rows: { term: Text; value: Text[] }[] };

/** How the legend is to be drawn: as the tiles are. */
export type LegendLook = Omit<TileLook, "size" | "selected">;

/** How a tile is to be drawn. `size` in CSS pixels, `ratio` in device pixels to one of them. */
export interface TileLook {
  size: number;
  ratio: number;
  view: View;
  wish?: string;
  scheme: Scheme;
  moreContrast: boolean;
  selected?: string;
  /** Nobody waits for it yet: it may take no room from what is shown. */
  ahead?: true;
}

/** How much of a stand map is read at the most; what is not said is as usual. */
export interface ReadLimits {
  bytes?: number;
  stands?: number;
}

/** The Wasm class. Every method may throw an `EngineError`, or a trap after which the instance is never used again. */
export interface Engine {
  crosswalkFiles(crosswalk: Uint8Array): string[];
  /** How much of the stand maps that follow is read; what is not said is as usual. */
  setLimits(limits: ReadLimits & { positions?: number }): void;
  tryCrosswalk(
    sample: Uint8Array,
    crosswalk?: Uint8Array,
    files?: { name: string; bytes: Uint8Array | null }[],
    features?: number,
  ): CrosswalkTrial;
  beginStands(crosswalk?: Uint8Array, files?: { name: string; bytes: Uint8Array | null }[]): void;
  pushStands(chunk: Uint8Array): { bytes: number; stands: number };
  finishStands(): StandsReport;
  setRules(books: { name: string; bytes: Uint8Array | null }[]): RulesReport;
  /** Daily weather (JSON or CSV), or null to take it away; `today` is the ISO day where the forest is. */
  setWeather(bytes?: Uint8Array | null, today?: string): WeatherReport;
  setKinds(files: { name: string; bytes: Uint8Array | null }[]): KindsReport;
  setVisit(visit: VisitInput): VisitReport;
  tile(z: number, x: number, y: number, look: TileLook): ImageData;
  swatches(look: LegendLook): LegendEntry[];
  standAt(lng: number, lat: number): string | null;
  stand(id: string): StandPlace | null;
  neighbour(id: string | null, direction: "next" | "previous", box: Box): string | null;
  /** Stands that lie on one another; reading leaves the search out. */
  overlaps(): Finding[];
  /** What the rules say at a place, where the stand there lies partly in a zone; else an empty list. */
  verdictAt(lng: number, lat: number, languages: string[]): SheetNode[];
  /** `at`: the place that was pressed; where a zone cuts the stand, the sheet says what holds there. */
  sheet(
    id: string,
    look: { languages: string[]; view: View; wish?: string; at?: [lng: number, lat: number] },
  ): SheetNode[];
  harvest(id: string | null | undefined, basket: BasketEntry[], languages: string[]): SheetNode[];
  year(id: string): YearOfStand;
  calendar(id: string, look: { languages: string[]; view: View; wish?: string }): CalendarOfStand;
  plan(query: PlanQuery): PlanReport;
  gpx(query: GpxQuery): Uint8Array<ArrayBuffer>;
  occurrence(find: FindInput): Uint8Array<ArrayBuffer>;
  checkRules(bytes: Uint8Array, day?: string): BookCheck;
  protectedFromCsv(bytes: Uint8Array): ListedReport;
  list(query: ListQuery): ListPage;
  wishes(languages: string[]): Wish[];
  toGeoJSON(): Uint8Array<ArrayBuffer>;
  outline(id: string): Uint8Array | null;
  free(): void;
}

/** What the engine throws when an input cannot be used. */
export interface EngineError {
  code: string;
  message: string;
  findings?: Finding[];
  mistakes?: Mistake[];
}

/** What went wrong, wherever it went wrong. `about` says which input; `message` is whole English sentences. */
export interface Fault extends EngineError {
  about: "stands" | "crosswalk" | "rules" | "weather" | "context" | "engine" | "connection";
  /** The address or file that could not be had, where that is what failed. */
  place?: string;
}

/** How far the reading is. `total` is missing where the server does not tell a usable length. */
export interface Progress {
  phase: "engine" | "stands" | "rules" | "assessing";
  bytes: number;
  total?: number;
  stands: number;
  /** The connection broke: which further try this is. */
  again?: number;
  /** Nothing has come for a while. */
  waiting?: true;
}

/** A file that came from a copy on this device, because the network gave none. `at` is the ISO moment it was kept. */
export interface Kept {
  about: Fault["about"];
  place: string;
  at: string;
}

/** A flat outline in map metres (EPSG:3857): coordinates x, y by turns, `ends` one list of ring ends a polygon. */
export interface FlatOutline {
  coordinates: Float64Array<ArrayBuffer>;
  ends: number[][];
}

/** One thing of the context file, in map metres (EPSG:3857). */
export interface ContextThing {
  role: string;
  name?: string;
  shape: "point" | "line" | "area";
  coordinates: Float64Array<ArrayBuffer>;
  ends: number[];
}

/** Every task the worker knows: what is asked, and what is answered. */
export interface Tasks {
  open: {
    ask: {
      stands: Given;
      crosswalk?: Given;
      rules: (string | BookText)[];
      weather?: string;
      /** Addresses of the region's own tables of kinds. */
      kinds: string[];
      languages: string[];
      limits?: ReadLimits;
    };
    answer: {
      stands: StandsReport;
      rules: RulesReport;
      wishes: Wish[];
      today: string;
      weather: WeatherTaken;
      kinds: KindsReport;
    };
  };
  /** `today` is the ISO day where the forest is. */
  rules: { ask: { rules: (string | BookText)[] }; answer: { rules: RulesReport; today: string } };
  weather: { ask: { weather: string | null }; answer: WeatherTaken };
  visit: { ask: { visit: VisitInput }; answer: VisitReport };
  tile: { ask: { z: number; x: number; y: number; look: TileLook }; answer: ImageBitmap };
  swatches: { ask: { look: LegendLook }; answer: LegendEntry[] };
  standAt: { ask: { lng: number; lat: number }; answer: string | null };
  stand: { ask: { id: string }; answer: StandPlace | null };
  neighbour: {
    ask: { id: string | null; direction: "next" | "previous"; box: Box };
    answer: string | null;
  };
  /** Stands that lie on one another. */
  overlaps: { ask: object; answer: Finding[] };
  sheet: {
    ask: { id: string; languages: string[]; view: View; wish?: string; at?: [lng: number, lat: number] };
    answer: SheetNode[];
  };
  list: { ask: { query: ListQuery }; answer: ListPage };
  wishes: { ask: { languages: string[] }; answer: Wish[] };
  outline: { ask: { id: string }; answer: FlatOutline | null };
  /** The stand map with what was worked out, as GeoJSON. */
  geojson: { ask: object; answer: Uint8Array<ArrayBuffer> };
  context: { ask: { url: string }; answer: ContextThing[] };
  checkRules: { ask: { text: string }; answer: BookCheck };
  tryCrosswalk: {
    ask: { sample: Given; crosswalk: Given | null; features: number };
    answer: CrosswalkTrial;
  };
  fungi: { ask: { list: Uint8Array }; answer: ListedReport };
  year: { ask: { id: string }; answer: YearOfStand };
  calendar: {
    ask: { id: string; languages: string[]; view: View; wish?: string };
    answer: CalendarOfStand;
  };
  plan: { ask: { query: PlanQuery }; answer: PlanReport };
  gpx: { ask: { query: GpxQuery }; answer: Uint8Array<ArrayBuffer> };
  occurrence: { ask: { find: FindInput }; answer: Uint8Array<ArrayBuffer> };
  harvest: { ask: { id: string | null; basket: BasketEntry[]; languages: string[] }; answer: SheetNode[] };
}

/** The name of a task. */
export type TaskKind = keyof Tasks;

/** One task with what it needs. */
export type Ask = { [K in TaskKind]: { kind: K } & Tasks[K]["ask"] }[TaskKind];

/** From the page: a numbered task of one generation, or the word that a task is no longer wanted. */
export type ToWorker = { call: number; generation: number; task: Ask } | { cancel: number };

/** From the worker. `dropped` answers a task that was cancelled or belongs to an older generation. */
export type FromWorker =
  | { call: number; answer: unknown }
  | { call: number; fault: Fault }
  | { call: number; dropped: true }
  | { progress: Progress }
  | { kept: Kept }
  | { awake: true }
  | { failed: Fault };
