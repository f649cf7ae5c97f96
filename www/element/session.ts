/**
 * One visitor's session with one stand map: what is loaded, for which visit, and how it is looked at.
 *
 * In: what the page's author wants (addresses, day, stand), what the visitor chooses. Out: the state as plain
 * members, a word on each change, and answers from the worker. It draws nothing. Left to others: the line to the
 * worker (courier.ts), everything on the screen (screen.ts), the element's attributes and events (element.ts).
 */
import { Courier, Dropped, Faulted } from "./courier.ts";
import { isClock, isDay, today, untilNextMinute, utcOffset } from "./today.ts";
import type {
  BookText,
  Fault,
  Given,
  Kept,
  KindsReport,
  Progress,
  ReadLimits,
  RulesReport,
  StandsReport,
  TaskKind,
  Tasks,
  View,
  VisitorAnswers,
  VisitReport,
  WeatherReport,
  WeatherTaken,
  Wish,
} from "./protocol.ts";

/** What the page's author asks for, addresses made absolute. */
export interface Wanted {
  /** Address of the folder with worker and engine; beside the element's script where none is given. */
  assets: string | null;
  stands: Given | null;
  crosswalk: Given | null;
  rules: (string | BookText)[];
  day: string | null;
  time: string | null;
  context: string | null;
  weather: string | null;
  kinds: string[];
  languages: string[];
  /** How much of the stand map is read at the most, where it is to be other than usual. */
  limits: ReadLimits;
}

/** Where the session stands. `unable`: no worker or no engine can run here. */
export type Phase = "idle" | "loading" | "ready" | "failed" | "unable" | "stopped";

/** What has changed. */
export type Topic =
  | "phase"
  | "progress"
  | "rules"
  | "findings"
  | "visit"
  | "look"
  | "chosen"
  | "context"
  | "weather"
  | "kept"
  | "midnight";

/** What nobody waits for is looked for when nothing has been asked for so long, in milliseconds. */
const AT_REST = 2_000;

/** One session; `changed` is called after each change. */
export class Session {
  phase: Phase = "idle";
  progress: Progress | null = null;
  /** Why the phase is `failed`, `unable` or `stopped`. */
  fault: Fault | null = null;
  stands: StandsReport | null = null;
  rules: RulesReport | null = null;
  /** What became of the region's own tables of kinds. */
  kinds: KindsReport | null = null;
  visit: VisitReport | null = null;
  wishes: Wish[] = [];
  /** The fault of the last visit that could not be worked out; the one before it stays on the screen. */
  visitFault: Fault | null = null;
  contextFault: Fault | null = null;
  weather: WeatherReport | null = null;
  /** Why the weather is missing; the rest stays. */
  weatherFault: Fault | null = null;
  /** Why part of the map could not be drawn. */
  drawFault: Fault | null = null;
  /** Files that came from a copy on this device, because the network gave none. */
  kept: Kept[] = [];
  /** How often the engine has stopped with the files that are wanted now. */
  stops = 0;
  context: Tasks["context"]["answer"] = [];
  view: View = "roots";
  wish: string | null = null;
  visitor: VisitorAnswers = {};
  chosen: string | null = null;
  /** The stands that the visitor has picked for the visit, in the order of picking. */
  picked: readonly { id: string; name: string }[] = [];
  /** Goes up with each assessment and each change of look: names one state of the drawing. */
  edition = 0;

  readonly #changed: (topic: Topic) => void;
  #wanted: Wanted = {
    assets: null,
    stands: null,
    crosswalk: null,
    rules: [],
    day: null,
    time: null,
    context: null,
    weather: null,
    kinds: [],
    languages: ["en"],
    limits: {},
  };
  #ownDay: string | null = null;
  #today = "";
  #courier: Courier | null = null;
  #clock: ReturnType<typeof setTimeout> | undefined;
  #resting: ReturnType<typeof setTimeout> | undefined;
  #askedAt = 0;

  constructor(changed: (topic: Topic) => void) {
    this.#changed = changed;
  }

  /**
   * The day of the visit: the visitor's choice, else the author's, else today where the forest is; empty until the
   * rule books have told where that is.
   */
  get day(): string {
    const { day } = this.#wanted;
    if (this.#ownDay !== null) return this.#ownDay;
    return day !== null && isDay(day) ? day : this.#today;
  }

  /** The day that the visitor has chosen, if they have. */
  get ownDay(): string | null {
    return this.#ownDay;
  }

  /** The time of the visit, if told. */
  get time(): string | null {
    const { time } = this.#wanted;
    return time !== null && isClock(time) ? time : null;
  }

  /** The languages to be tried for names and rule texts, best first. */
  get languages(): string[] {
    return this.#wanted.languages;
  }

  /** Whether a stand map and an assessment are there to be drawn. */
  get drawable(): boolean {
    return this.phase === "ready" && this.visit !== null;
  }

  /** Takes the author's wishes; loads what is new and leaves the rest alone. */
  want(wanted: Wanted): void {
    const before = this.#wanted;
    this.#wanted = wanted;
    if (wanted.day !== before.day) this.#ownDay = null;
    if (wanted.context !== before.context) void this.#loadContext();
    const maps =
      wanted.stands !== before.stands ||
      wanted.crosswalk !== before.crosswalk ||
      wanted.limits.bytes !== before.limits.bytes ||
      wanted.limits.stands !== before.limits.stands;
    if (maps) this.stops = 0;
    if (maps || wanted.kinds.join(" ") !== before.kinds.join(" ") || this.phase === "idle") {
      void this.load();
    } else if (!sameBooks(wanted.rules, before.rules)) {
      void this.loadRules();
      if (wanted.weather !== before.weather) void this.#loadWeather();
    } else if (wanted.weather !== before.weather) {
      void this.#loadWeather();
    } else if (wanted.day !== before.day || wanted.time !== before.time) {
      void this.#assess();
    }
  }

  /** Names and rule texts are wanted in other languages from now on. */
  speak(languages: string[]): void {
    this.#wanted = { ...this.#wanted, languages };
    if (this.stands !== null) void this.#nameWishes(languages);
  }

  async #nameWishes(languages: string[]): Promise<void> {
    try {
      this.wishes = await this.ask("wishes", { languages });
      this.#changed("rules");
    } catch (error) {
      this.#stumble(error);
    }
  }

  /** Loads everything anew, in the worker that runs or in a new one. */
  async load(): Promise<void> {
    const { stands, crosswalk, rules, weather, kinds, languages, limits } = this.#wanted;
    if (stands === null) {
      this.#enter("idle");
      return;
    }
    this.progress = null;
    this.fault = null;
    this.kept = [];
    this.stands = null;
    this.visit = null;
    this.picked = [];
    this.#enter("loading");
    try {
      const courier = this.#line();
      courier.turn();
      const opened = await courier.send("open", {
        stands,
        rules,
        kinds,
        languages,
        limits,
        ...(crosswalk === null ? {} : { crosswalk }),
        ...(weather === null ? {} : { weather }),
      });
      this.#takeWeather(opened.weather);
      this.stands = opened.stands;
      this.rules = opened.rules;
      this.kinds = opened.kinds;
      this.#today = opened.today;
      this.wishes = opened.wishes;
      if (this.wish !== null && !opened.wishes.some((one) => one.id === this.wish)) this.wish = null;
      // The worker works the visit out while the page shows the rules.
      const assessed = this.#assess();
      this.#changed("rules");
      await assessed;
      this.#watchClock();
      this.#lookForOverlaps(this.stands);
    } catch (error) {
      this.#stumble(error);
    }
  }

  /** Reads the rule books again and assesses anew; the stand map stays. */
  async loadRules(): Promise<void> {
    if (this.stands === null) {
      await this.load();
      return;
    }
    try {
      const courier = this.#line();
      courier.turn();
      this.kept = this.kept.filter(({ about }) => about !== "rules");
      const read = await courier.send("rules", { rules: this.#wanted.rules });
      this.rules = read.rules;
      this.#today = read.today;
      const assessed = this.#assess();
      this.#changed("rules");
      await assessed;
    } catch (error) {
      this.#stumble(error);
    }
  }

  /** The visitor chooses a day. */
  chooseDay(day: string): void {
    if (!isDay(day) || day === this.day) return;
    this.#ownDay = day;
    void this.#assess();
  }

  /** The visitor tells something of themselves. Ends when every stand has been assessed for it, or it was overtaken. */
  tell(visitor: VisitorAnswers): Promise<void> {
    this.visitor = visitor;
    return this.#assess();
  }

  /** The visitor chooses a view, which also ends the search for one kind. */
  chooseView(view: View): void {
    if (view === this.view && this.wish === null) return;
    this.view = view;
    this.wish = null;
    this.edition += 1;
    this.#changed("look");
  }

  /** The visitor looks for one kind, or for none in particular. */
  chooseWish(wish: string | null): void {
    if (wish === this.wish) return;
    const found = this.wishes.find((one) => one.id === wish);
    this.wish = found?.id ?? null;
    if (found !== undefined) this.view = found.view;
    this.edition += 1;
    this.#changed("look");
  }

  /** A stand is chosen, or none. */
  choose(id: string | null): void {
    if (id === this.chosen) return;
    this.chosen = id;
    this.#changed("chosen");
  }

  /** The visitor picks a stand for the visit, or takes it out again. */
  pick(stand: { id: string; name: string }): void {
    const others = this.picked.filter(({ id }) => id !== stand.id);
    this.picked = others.length < this.picked.length ? others : [...others, stand];
  }

  /** What view and wish are, as every task takes them. */
  look(): { view: View; wish?: string } {
    return this.wish === null ? { view: this.view } : { view: this.view, wish: this.wish };
  }

  /** Asks the worker something. */
  ask<K extends TaskKind>(kind: K, ask: Tasks[K]["ask"], signal?: AbortSignal): Promise<Tasks[K]["answer"]> {
    this.#askedAt = performance.now();
    return this.#courier === null ? Promise.reject(new Dropped()) : this.#courier.send(kind, ask, signal);
  }

  /** Asks the worker something that nobody waits for yet: it is no sign of a visitor at work. */
  askAhead<K extends TaskKind>(kind: K, ask: Tasks[K]["ask"]): Promise<Tasks[K]["answer"]> {
    return this.#courier === null ? Promise.reject(new Dropped()) : this.#courier.send(kind, ask);
  }

  /** For how many milliseconds the worker has been asked nothing that somebody waits for. */
  quietFor(): number {
    return performance.now() - this.#askedAt;
  }

  /** Part of the map could not be drawn; the rest stays. */
  blot(fault: Fault): void {
    if (this.drawFault !== null) return;
    this.drawFault = fault;
    this.#changed("context");
  }

  /** Something outside the worker has failed so that nothing can be shown. */
  fail(fault: Fault): void {
    this.fault = fault;
    this.#enter("failed");
  }

  /** Ends the worker. A later `want` begins anew. */
  close(): void {
    clearTimeout(this.#clock);
    this.#clock = undefined;
    clearTimeout(this.#resting);
    this.#courier?.close();
    this.#courier = null;
    this.phase = "idle";
  }

  async #assess(): Promise<void> {
    if (this.stands === null) return;
    const { time } = this;
    try {
      const courier = this.#line();
      courier.turn();
      const clock = time === null ? undefined : utcOffset(this.rules?.timeZone ?? null, this.day, time);
      const report = await courier.send("visit", {
        visit: {
          day: this.day,
          visitor: this.visitor,
          ...(time === null ? {} : { time }),
          ...(clock === undefined ? {} : { utcOffset: clock }),
        },
      });
      this.visit = report;
      this.visitFault = null;
      this.drawFault = null;
      this.edition += 1;
      if (this.phase !== "ready") this.#enter("ready");
      this.#changed("visit");
    } catch (error) {
      if (error instanceof Faulted && this.visit !== null) {
        this.visitFault = error.fault;
        // Tiles that were dropped on the way are asked for again.
        this.edition += 1;
        this.#changed("visit");
      } else {
        this.#stumble(error);
      }
    }
  }

  async #loadWeather(): Promise<void> {
    if (this.stands === null) return;
    try {
      const courier = this.#line();
      courier.turn();
      this.#takeWeather(await courier.send("weather", { weather: this.#wanted.weather }));
      await this.#assess();
    } catch (error) {
      this.#stumble(error);
    }
  }

  /**
   * Looks every minute whether it has become another day where the forest is, and also when a page that slept is
   * looked at again, since its timers slept too. A day that the author or the visitor named stays.
   */
  #watchClock(): void {
    clearTimeout(this.#clock);
    this.#clock = setTimeout(() => {
      this.#clock = undefined;
      if (this.phase !== "ready") return;
      this.#watchClock();
      void this.#lookAtClock();
    }, untilNextMinute());
  }

  async #lookAtClock(): Promise<void> {
    const now = today(this.rules?.timeZone ?? null);
    if (now === this.#today) return;
    const shown = this.day;
    this.#today = now;
    if (this.day === shown) return;
    // What counts as forecast turns on the day, too.
    if (this.#wanted.weather === null) await this.#assess();
    else await this.#loadWeather();
    this.#changed("midnight");
  }

  /** Has overlaps looked for once the map has come to rest, and adds them to the findings. */
  #lookForOverlaps(stands: StandsReport | null): void {
    clearTimeout(this.#resting);
    const rested = this.quietFor();
    this.#resting = setTimeout(
      () => {
        if (stands === null || this.stands !== stands || this.phase !== "ready") return;
        if (this.quietFor() < AT_REST) {
          this.#lookForOverlaps(stands);
          return;
        }
        this.ask("overlaps", {})
          .then((found) => {
            if (found.length === 0 || this.stands !== stands) return;
            this.stands = { ...stands, findings: [...stands.findings, ...found] };
            this.#changed("findings");
          })
          .catch((error: unknown) => {
            this.#stumble(error);
          });
      },
      Math.max(AT_REST - rested, 100),
    );
  }

  #takeWeather({ report, fault }: WeatherTaken): void {
    this.weather = report;
    this.weatherFault = fault;
    if (fault !== null) this.#changed("weather");
  }

  async #loadContext(): Promise<void> {
    const { context } = this.#wanted;
    this.context = [];
    this.contextFault = null;
    if (context !== null) {
      try {
        this.context = await this.#line().send("context", { url: context });
      } catch (error) {
        if (error instanceof Dropped) return;
        if (error instanceof Faulted) this.contextFault = error.fault;
        else throw error;
      }
    }
    this.#changed("context");
  }

  /** The worker that runs, or a new one. @throws Faulted where none can be started */
  #line(): Courier {
    this.#courier ??= new Courier(this.#wanted.assets, {
      progress: (progress) => {
        this.progress = progress;
        this.#changed("progress");
      },
      kept: (kept) => {
        this.kept = [...this.kept.filter(({ place }) => place !== kept.place), kept];
        this.#changed("kept");
      },
      failed: (fault) => {
        this.#courier = null;
        this.stops += 1;
        this.fault = fault;
        this.stands = null;
        this.#enter(isUnable(fault) ? "unable" : "stopped");
      },
    });
    return this.#courier;
  }

  #stumble(error: unknown): void {
    if (error instanceof Dropped) return;
    if (!(error instanceof Faulted)) throw error;
    this.fault = error.fault;
    this.#enter(isUnable(error.fault) ? "unable" : "failed");
  }

  #enter(phase: Phase): void {
    this.phase = phase;
    this.#changed("phase");
  }
}

/** Addresses are the same where they read the same; texts that were handed over, where nothing in them changed. */
function sameBooks(now: Wanted["rules"], before: Wanted["rules"]): boolean {
  return JSON.stringify(now) === JSON.stringify(before);
}

function isUnable(fault: Fault): boolean {
  return ["no_worker", "no_engine", "altered"].includes(fault.code);
}
