/**
 * The whole screen: puts line, notices, map, list, legend and sheet together and keeps them in step with the session.
 *
 * In: a shadow root, the session, the words. Out: the elements in it. Focus moves to a sheet's head when it opens and
 * returns to where the stand was chosen when it closes; everything that must be heard goes through one live region.
 * Left to others: what each part does.
 */
import { Choices, type Place } from "./choices.ts";
import { Dropped, Faulted } from "./courier.ts";
import { pixelRatio, wantsContrast, watchContrast, watchScheme } from "./display.ts";
import type { FullScreen } from "./full-screen.ts";
import { Harvest } from "./harvest.ts";
import { Legend, stepColours } from "./legend.ts";
import { List } from "./list.ts";
import { FindReport } from "./find.ts";
import { button, fill, make } from "./make.ts";
import { MapView } from "./map.ts";
import { failure, findings, isLost, notices, progress, unable, type Remedies } from "./notices.ts";
import { Planner } from "./planner.ts";
import { STEPS, type Scheme } from "./protocol.ts";
import { Search } from "./search.ts";
import type { Session, Topic } from "./session.ts";
import { Sheet } from "./sheet.ts";
import { TakeAlong } from "./take.ts";
import type { Words } from "./words.ts";
import { YearDetails } from "./year.ts";

/** What the screen needs from the element. */
export interface ScreenWants {
  /** The language of the words. */
  language: string;
  /** What the page's author calls this map; the element's own words where nothing is given. */
  label: string | null;
  /** The element's full screen. */
  full: FullScreen;
  /** The visitor has chosen a stand, or closed its sheet. */
  chosen: (id: string | null) => void;
  /** The visitor has moved the map. */
  moved: () => void;
  /** The address that leads back to what is on the screen; null where none is wanted. */
  link: () => string | null;
}

/** The screen of one element. */
export class Screen {
  readonly #session: Session;
  readonly #words: Words;
  readonly #wants: ScreenWants;
  readonly #frame: HTMLElement;
  readonly #room: HTMLElement;
  readonly #notices: HTMLElement;
  readonly #findings: HTMLElement;
  readonly #cover: HTMLElement;
  readonly #live: HTMLElement;
  readonly #fallback: HTMLElement;
  readonly #fullButton: HTMLButtonElement;
  readonly #choices: Choices;
  readonly #legend: Legend;
  readonly #map: MapView;
  readonly #list: List;
  readonly #sheet: Sheet;
  readonly #harvest: Harvest;
  readonly #planner: Planner;
  readonly #find: FindReport;
  readonly #search: Search;
  readonly #ending = new AbortController();
  readonly #remedies: Remedies;
  #place: Place = "map";
  #scheme: Scheme = "light";
  #returnTo: HTMLElement | null = null;
  #asked: AbortController | null = null;
  #focusNext = false;
  /** Where on the map the chosen stand was pressed; a zone may cut it there. */
  #pressed: { id: string; at: [lng: number, lat: number] } | null = null;
  #shownNotices = "";
  #painted = false;
  #legendShown = false;
  /** The further try that was announced last. */
  #again = 0;

  constructor(root: ShadowRoot, session: Session, words: Words, wants: ScreenWants) {
    this.#session = session;
    this.#words = words;
    this.#wants = wants;
    this.#remedies = {
      load: () => void session.load(),
      loadRules: () => void session.loadRules(),
    };
    const announce = (text: string): void => {
      this.#announce(text);
    };
    const failed = (error: unknown): void => {
      this.#fail(error);
    };
    this.#legend = new Legend(words);
    this.#harvest = new Harvest(words, session);
    const middle = (): [number, number] | null => this.#map.middle();
    const look = (): string => this.#choices.lookWords();
    const plan = (): void => {
      this.#planner.open();
    };
    this.#find = new FindReport(words, session, middle);
    this.#search = new Search(words, session, {
      stand: (id) => {
        this.#choose(id, null);
      },
      kind: (id) => {
        session.chooseWish(id);
        announce(words.say("ui.legend.wish", { kind: { text: look() } }));
      },
      place: (at) => {
        this.#map.goTo(at);
        this.#map.focus();
      },
      failed,
    });
    this.#choices = new Choices(
      words,
      session,
      (place) => {
        this.#goTo(place);
      },
      () => {
        this.#harvest.open();
      },
      plan,
    );
    this.#map = new MapView(words, session, this.#legend.element, this.#search.element, {
      chosen: (id, at) => {
        this.#choose(id, null, at);
      },
      announce,
      failed,
      moved: wants.moved,
    });
    this.#planner = new Planner(words, session, {
      chosen: (id) => {
        this.#choose(id, null);
      },
      middle,
      look,
    });
    this.#list = new List(words, session, {
      chosen: (id, from) => {
        this.#choose(id, from);
      },
      announce,
      failed,
      middle,
    });
    const year = new YearDetails(words, session);
    const take = new TakeAlong(words, session, {
      language: wants.language,
      plan,
      find: () => {
        this.#find.open();
      },
      link: wants.link,
      direction: () => (getComputedStyle(this.#frame).direction === "rtl" ? "rtl" : "ltr"),
    });
    this.#sheet = new Sheet(
      words,
      () => {
        this.#choose(null, null);
      },
      {
        harvest: () =>
          session.rules?.books.some(({ state }) => state === "read") === true
            ? button(
                { class: "check-harvest", part: "button" },
                () => {
                  this.#harvest.open();
                },
                words.say("ui.harvest"),
              )
            : null,
        plan: () => button({ part: "button" }, plan, words.say("ui.plan")),
        year: () => year.element(),
        take: (name) => take.section(name),
      },
    );
    this.#notices = make("div", { class: "notices", part: "notices" });
    this.#cover = make("div", { class: "cover" });
    this.#fullButton = button({ class: "full", part: "button", hidden: !wants.full.possible }, () => {
      wants.full.toggle().catch(failed);
    });
    this.#choices.element.append(this.#fullButton);
    this.#nameFull(wants.full.on);
    this.#findings = make("div", { class: "findings-room" });
    this.#live = make("p", { class: "unseen", role: "status", "aria-live": "polite" });
    this.#room = make(
      "div",
      { class: "room", "data-place": "map" },
      make("div", { class: "main" }, this.#map.element, this.#list.element, this.#cover),
      this.#sheet.element,
    );
    this.#fallback = make("slot", { class: "fallback", hidden: true });
    this.#frame = make(
      "div",
      {
        class: "frame",
        part: "frame",
        role: "region",
        lang: wants.language,
        "aria-label": wants.label ?? words.say("ui.label"),
        tabindex: -1,
      },
      button(
        { class: "skip", part: "button" },
        () => {
          this.#goTo("list");
          this.#list.element.focus();
        },
        words.say("ui.skip"),
      ),
      make("slot", { name: "notice" }),
      this.#choices.element,
      this.#notices,
      this.#room,
      this.#findings,
      this.#live,
      this.#harvest.element,
      this.#planner.element,
      this.#find.element,
      make("slot", { name: "footer" }),
    );
    const probe = make("span", { class: "scheme-probe", "aria-hidden": "true" });
    root.replaceChildren(this.#frame, this.#fallback, probe);
    this.#afterPaint(() => {
      this.#scheme = watchScheme(probe, this.#ending.signal, (scheme) => {
        this.#scheme = scheme;
        this.#map.setScheme(scheme);
        void this.#showLegend();
      });
      watchContrast(this.#ending.signal, () => {
        void this.#map.show();
        void this.#showLegend();
      });
      this.#map.setScheme(this.#scheme);
      this.#painted = true;
      if (session.drawable) this.show("visit");
    });
    for (const kind of ["online", "offline"]) {
      window.addEventListener(
        kind,
        () => {
          this.#onConnection();
        },
        { signal: this.#ending.signal },
      );
    }
    this.#showPhase();
    if (session.drawable) this.show("rules");
  }

  /** Brings the screen in line with what has changed. */
  show(topic: Topic): void {
    switch (topic) {
      case "progress":
        if (this.#session.phase === "loading") this.#showProgress();
        return;
      case "phase":
        this.#showPhase();
        return;
      case "rules":
        this.#words.timeZone = this.#session.rules?.timeZone ?? undefined;
        this.#choices.show();
        this.#showNotices();
        this.#showFindings();
        return;
      case "findings":
        this.#showFindings();
        return;
      case "visit":
      case "look":
        if (!this.#painted) return;
        void this.#showMap();
        this.#choices.show();
        this.#showNotices();
        this.#list.refresh();
        this.#harvest.refresh();
        this.#planner.refresh();
        void this.#showSheet();
        return;
      case "chosen":
        this.#list.mark(this.#session.chosen);
        void this.#showSheet();
        void this.#map.mark(this.#session.chosen, { bottom: this.#covered() });
        return;
      case "context":
        this.#map.showContext();
        this.#list.showPlaces();
        this.#showNotices();
        return;
      case "weather":
      case "kept":
        this.#showNotices();
        return;
      case "midnight":
        this.#announce(this.#words.say("ui.midnight", { day: { date: this.#session.day } }));
    }
  }

  /** The map fills the screen from now on, or stands in its page again. */
  showFull(on: boolean): void {
    this.#nameFull(on);
    this.#announce(this.#words.say(on ? "ui.full.on" : "ui.full.off"));
  }

  /** Puts the focus on the whole. */
  focus(): void {
    this.#frame.focus();
  }

  #nameFull(on: boolean): void {
    const name = this.#words.say(on ? "ui.full.leave" : "ui.full.enter");
    this.#fullButton.ariaLabel = name;
    this.#fullButton.title = name;
    fill(this.#fullButton, make("span", { class: "full-sign", "data-on": on, "aria-hidden": "true" }));
  }

  /** A base map under the shading, with its credit. */
  setBasemap(template: string | null, credit: string): void {
    this.#map.setBasemap(template, credit);
  }

  /** Takes everything off the page again. */
  close(): void {
    this.#ending.abort();
    this.#asked?.abort();
    this.#list.close();
    this.#harvest.close();
    this.#planner.close();
    this.#find.close();
    this.#search.close();
    this.#map.close();
  }

  /** Middle and zoom of the map; null while there is none. */
  place(): [lng: number, lat: number, zoom: number] | null {
    return this.#map.place();
  }

  /** Shows a part of the map. */
  goTo([lng, lat, zoom]: [lng: number, lat: number, zoom: number]): void {
    this.#map.goTo([lng, lat], zoom);
  }

  #choose(id: string | null, from: HTMLElement | null, at?: [lng: number, lat: number]): void {
    this.#pressed = id === null || at === undefined ? null : { id, at };
    if (id === null) {
      const wasOpen = this.#session.chosen !== null;
      const last = this.#session.chosen;
      if (!wasOpen) return;
      this.#wants.chosen(null);
      const back =
        this.#place === "list"
          ? this.#returnTo?.isConnected === true
            ? this.#returnTo
            : last === null
              ? null
              : this.#list.buttonOf(last)
          : null;
      if (back === null) this.#map.focus();
      else back.focus();
      this.#returnTo = null;
      return;
    }
    this.#returnTo = from;
    if (id === this.#session.chosen) {
      this.#focusNext = true;
      void this.#showSheet();
      return;
    }
    this.#focusNext = true;
    this.#wants.chosen(id);
  }

  async #showSheet(): Promise<void> {
    const { chosen, drawable, visit } = this.#session;
    this.#asked?.abort();
    this.#room.dataset["sheet"] = String(chosen !== null);
    if (chosen === null) {
      this.#sheet.rest(drawable ? visit : null);
      return;
    }
    if (!drawable) return;
    const asked = new AbortController();
    this.#asked = asked;
    this.#sheet.wait();
    try {
      const { languages } = this.#session;
      const at = this.#pressed?.id === chosen ? { at: this.#pressed.at } : {};
      const tree = await this.#session.ask(
        "sheet",
        { id: chosen, languages, ...this.#session.look(), ...at },
        asked.signal,
      );
      const focus = this.#focusNext;
      this.#focusNext = false;
      this.#sheet.open(tree, focus);
    } catch (error) {
      if (error instanceof Dropped) return;
      this.#sheet.fail(error instanceof Faulted ? error.fault.message : String(error));
      if (!(error instanceof Faulted)) throw error;
    }
  }

  #showPhase(): void {
    const { phase, fault } = this.#session;
    this.#frame.dataset["phase"] = phase;
    this.#fallback.hidden = phase !== "unable" && phase !== "idle";
    this.#room.hidden = phase === "unable" || phase === "idle";
    this.#choices.element.hidden = this.#room.hidden;
    this.#cover.hidden = phase === "ready";
    this.#map.element.inert = phase !== "ready";
    this.#showNotices();
    switch (phase) {
      case "loading":
        this.#map.prepare();
        this.#showProgress();
        this.#announce(this.#words.say("ui.loading.label"));
        return;
      case "failed":
      case "stopped":
        fill(this.#cover, failure(this.#words, this.#session, this.#remedies));
        return;
      case "unable":
        fill(this.#notices, unable(this.#words, fault));
        return;
      case "ready":
        this.#showReady();
        return;
      case "idle":
        return;
    }
  }

  #showReady(): void {
    const { stands } = this.#session;
    const n = stands?.stands ?? 0;
    if (n === 0) {
      this.#cover.hidden = false;
      fill(
        this.#cover,
        make(
          "div",
          { class: "empty" },
          make("p", {}, this.#words.say("ui.empty")),
          make("slot", { name: "empty" }),
        ),
      );
    }
    this.#announce(this.#words.say("ui.ready", { n: { n } }));
    void this.#map.mark(this.#session.chosen, { bottom: this.#covered() });
  }

  #showProgress(): void {
    const { again = 0 } = this.#session.progress ?? {};
    if (again > 0 && again !== this.#again)
      this.#announce(this.#words.say("ui.loading.again", { n: { n: again } }));
    this.#again = again;
    const before = this.#cover.querySelector(".loading");
    const now = progress(this.#words, this.#session);
    // The bar itself stays in place while its numbers change.
    const bar = before?.querySelector("progress");
    const next = now.querySelector("progress");
    if (before === null || bar === null || bar === undefined || next === null) {
      fill(this.#cover, now);
      return;
    }
    if (next.hasAttribute("value")) {
      bar.max = next.max;
      bar.value = next.value;
    } else {
      bar.removeAttribute("value");
    }
    for (const name of [".loading-text", ".loading-count"]) {
      const text = before.querySelector(name);
      if (text !== null) text.textContent = now.querySelector(name)?.textContent ?? "";
    }
  }

  #showFindings(): void {
    this.#afterPaint(() => {
      const open = this.#findings.querySelector("details")?.open === true;
      fill(this.#findings, findings(this.#words, this.#session));
      const details = this.#findings.querySelector("details");
      if (details !== null) details.open = open;
    });
  }

  #showNotices(): void {
    if (this.#session.phase === "unable") return;
    const list = notices(this.#words, this.#session, this.#remedies);
    // A notice that has not changed stays as it is, with whatever the reader has opened in it.
    const texts = list.map((one) => one.textContent).join("\n");
    if (texts === this.#shownNotices && this.#notices.childElementCount === list.length) return;
    this.#shownNotices = texts;
    fill(this.#notices, ...list);
  }

  /**
   * The map first, so that tiles are drawn while the rest is shown; only the first legend comes before it, since the map
   * is fitted beside it. A map that is not made yet is made in a task of its own, after what is there has been painted.
   */
  async #showMap(): Promise<void> {
    if (!this.#legendShown) await this.#showLegend();
    if (this.#map.made) void this.#map.show();
    else this.#afterPaint(() => void this.#map.show());
    if (this.#legendShown) void this.#showLegend();
    this.#legendShown = true;
  }

  async #showLegend(): Promise<void> {
    if (!this.#session.drawable) return;
    const ratio = pixelRatio();
    const { view, wish } = this.#session;
    try {
      const entries = await this.#session.ask("swatches", {
        look: { scheme: this.#scheme, ratio, moreContrast: wantsContrast(), ...this.#session.look() },
      });
      const title =
        wish === null
          ? this.#words.say("ui.legend.view", { view: { key: `view.${view}` } })
          : this.#words.say("ui.legend.wish", { kind: { text: this.#choices.lookWords() } });
      this.#legend.show(title, entries, ratio);
      const colours = stepColours(entries);
      for (const step of STEPS) {
        const colour = colours.get(step);
        if (colour !== undefined) this.#frame.style.setProperty(`--step-${step}`, colour);
      }
    } catch (error) {
      this.#fail(error);
    }
  }

  /** What forces the browser to style or draw waits until it has painted what is there already. */
  #afterPaint(act: () => void): void {
    requestAnimationFrame(() => {
      setTimeout(() => {
        if (!this.#ending.signal.aborted) act();
      }, 0);
    });
  }

  #goTo(place: Place): void {
    this.#place = place;
    this.#room.dataset["place"] = place;
    // Kept at its size behind the list, so that it is there at once when it comes back.
    this.#map.element.dataset["away"] = String(place !== "map");
    this.#list.setShown(place === "list");
    this.#choices.setPlace(place);
  }

  /** How much of the map's lower edge the sheet covers, in CSS pixels. */
  #covered(): number {
    const room = this.#room.getBoundingClientRect();
    const narrow = getComputedStyle(this.#sheet.element).position === "absolute";
    return narrow && this.#session.chosen !== null ? room.height * 0.55 : 0;
  }

  #onConnection(): void {
    this.#showNotices();
    if (!navigator.onLine) {
      this.#announce(this.#words.say("ui.offline.title"));
      return;
    }
    if (this.#session.phase === "failed" && isLost(this.#session.fault)) this.#remedies.load();
  }

  #announce(text: string): void {
    this.#live.textContent = text;
  }

  /** A failed question to the worker is told where it was asked; what nobody expected is not hidden. */
  #fail(error: unknown): void {
    if (error instanceof Dropped) return;
    if (error instanceof Faulted) {
      console.error(`hostwood: ${error.fault.message}`);
      this.#announce(error.fault.message);
      return;
    }
    throw error;
  }
}
