/**
 * The custom element `<hostwood-map>`: attributes, properties, methods, events, slots, and the element's life on a page.
 *
 * In: what the page's author writes. Out: a session with its screen in an open shadow root, and events, all bubbling
 * and composed. What a page's author can use stands in surface.json, each with its meaning; from it the manifest and the
 * tables of the site's pages are made, and a test holds it against this file. Left to others: reading the attributes
 * (author.ts), the state (session.ts) and everything shown (screen.ts).
 */
import { Address, linkName } from "./address.ts";
import { Author, propertyOf, type Loading, type Warning } from "./author.ts";
import { ENGLISH, findWording, type Wording } from "./catalogues.ts";
import { FullScreen } from "./full-screen.ts";
import { make } from "./make.ts";
import type {
  Answer,
  BookCheck,
  BookText,
  CrosswalkTrial,
  Finding,
  Fault,
  ListedReport,
  Mistake,
  Progress,
  YearOfStand,
} from "./protocol.ts";
import { Screen } from "./screen.ts";
import { Session, type Topic } from "./session.ts";
import { invitation, whenNear } from "./start-when.ts";
import { styleSheet } from "./styles.ts";
import { Words } from "./words.ts";

/** The element's attributes; each is a property of the same meaning. */
export const ATTRIBUTES = [
  "stands",
  "crosswalk",
  "rules",
  "day",
  "time",
  "context",
  "weather",
  "kinds",
  "basemap",
  "basemap-credit",
  "lang",
  "stand",
  "label",
  "loading",
  "asset-base",
  "deep-links",
  "heading-level",
  "max-bytes",
  "max-stands",
] as const;

/** Properties that take what no attribute can hold. */
export const FILES = ["standsFile", "crosswalkFile", "ruleBooks"] as const;

/** The details that the element's events carry. */
export interface HostwoodEvents {
  /** Stand map and rule books are read and the map can be drawn. */
  "hostwood-ready": CustomEvent<{ stands: number; day: string }>;
  /** Every stand has been assessed for a day and a visitor: how many stands have which answer. */
  "hostwood-visit": CustomEvent<{ day: string; answers: Partial<Record<Answer, number>> }>;
  /** The visitor has chosen a stand, or closed its sheet (`id` is null). */
  "hostwood-stand": CustomEvent<{ id: string | null }>;
  /** What was odd in the stand map, and wrong in rule books and tables of kinds. Sent once after each reading. */
  "hostwood-findings": CustomEvent<{ findings: Finding[]; mistakes: Mistake[] }>;
  /** Something could not be read or run; the message says what and what to do. */
  "hostwood-error": CustomEvent<Fault>;
  /** An attribute has a value that cannot be used; the message says what counts instead. */
  "hostwood-warning": CustomEvent<Warning>;
  /** How far the loading is. */
  "hostwood-progress": CustomEvent<Progress>;
  /** The map fills the screen from now on, or stands in its page again. */
  "hostwood-fullscreen": CustomEvent<{ full: boolean }>;
}

/** Importing the module where there is no document must not fail. */
const Base = (typeof HTMLElement === "undefined" ? class {} : HTMLElement) as typeof HTMLElement;

/** `<hostwood-map>`. */
export class HostwoodMap extends Base {
  static readonly observedAttributes: readonly string[] = ATTRIBUTES;

  readonly #session: Session;
  readonly #author: Author;
  readonly #full: FullScreen;
  #screen: Screen | null = null;
  /** The page's address, where it is to lead back here. */
  #place: Address | null = null;
  #alive = false;
  /** Whether loading has begun; a lazy element waits. */
  #begun = false;
  /** Ends the wait of a lazy element. */
  #unwait: (() => void) | null = null;
  /** Ends the wait for the words of a language; null until they are first asked for. */
  #unask: (() => void) | null = null;
  #pending = false;
  /** The button that began is gone; the screen takes the focus. */
  #focusNext = false;
  #watched: MutationObserver | null = null;
  #standsFile: Blob | null = null;
  #crosswalkFile: Blob | null = null;
  #ruleBooks: readonly BookText[] | null = null;

  constructor() {
    super();
    this.attachShadow({ mode: "open" });
    this.#session = new Session((topic) => {
      this.#onChange(topic);
    });
    this.#author = new Author(this, (warning) => {
      console.warn(`hostwood: ${warning.message}`);
      this.#send("hostwood-warning", warning);
    });
    this.#full = new FullScreen(this, this.attachInternals(), () => {
      this.#screen?.showFull(this.#full.on);
      this.#send("hostwood-fullscreen", { full: this.#full.on });
    });
  }

  /** URL of the stand map, a GeoJSON file. */
  get stands(): string | null {
    return this.getAttribute("stands");
  }
  set stands(value: string | null) {
    this.#reflect("stands", value);
  }

  /** URL of the crosswalk that says which property of the stand map means what. */
  get crosswalk(): string | null {
    return this.getAttribute("crosswalk");
  }
  set crosswalk(value: string | null) {
    this.#reflect("crosswalk", value);
  }

  /** URLs of the rule books, separated by spaces. */
  get rules(): string | null {
    return this.getAttribute("rules");
  }
  set rules(value: string | null) {
    this.#reflect("rules", value);
  }

  /** ISO day of the visit; today where the forest is, if absent. */
  get day(): string | null {
    return this.getAttribute("day");
  }
  set day(value: string | null) {
    this.#reflect("day", value);
  }

  /** Time of the visit as `07:30`, if wanted. */
  get time(): string | null {
    return this.getAttribute("time");
  }
  set time(value: string | null) {
    this.#reflect("time", value);
  }

  /** URL of a GeoJSON with paths, car parks, water and names. */
  get context(): string | null {
    return this.getAttribute("context");
  }
  set context(value: string | null) {
    this.#reflect("context", value);
  }

  /** URL of daily rain and temperature, a JSON or CSV file. */
  get weather(): string | null {
    return this.getAttribute("weather");
  }
  set weather(value: string | null) {
    this.#reflect("weather", value);
  }

  /** URLs of the region's own tables of kinds, CSV files, separated by spaces. */
  get kinds(): string | null {
    return this.getAttribute("kinds");
  }
  set kinds(value: string | null) {
    this.#reflect("kinds", value);
  }

  /** URL template of a base map, with `{z}`, `{x}`, `{y}`. */
  get basemap(): string | null {
    return this.getAttribute("basemap");
  }
  set basemap(value: string | null) {
    this.#reflect("basemap", value);
  }

  /** The credit that the base map's publisher asks for. */
  get basemapCredit(): string | null {
    return this.getAttribute("basemap-credit");
  }
  set basemapCredit(value: string | null) {
    this.#reflect("basemap-credit", value);
  }

  /** Id of the stand whose sheet is open. */
  get stand(): string | null {
    return this.isConnected ? this.#session.chosen : this.getAttribute("stand");
  }
  set stand(value: string | null) {
    this.#reflect("stand", value);
  }

  /** What the map is called where several stand on one page; assistive technology reads it. */
  get label(): string | null {
    return this.getAttribute("label");
  }
  set label(value: string | null) {
    this.#reflect("label", value);
  }

  /** When to load: `eager`, at once; `lazy`, when near the part in view; `click`, when asked to. */
  get loading(): Loading {
    return this.#author.loading();
  }
  set loading(value: Loading | null) {
    this.#reflect("loading", value);
  }

  /** URL of the folder with worker and engine, where they do not lie beside the element's script. */
  get assetBase(): string | null {
    return this.getAttribute("asset-base");
  }
  set assetBase(value: string | null) {
    this.#reflect("asset-base", value);
  }

  /** Whether stand map and rule books are read and the map can be used. */
  get ready(): boolean {
    return this.#session.phase === "ready";
  }

  /**
   * A word under which the page's address keeps stand, day, look and place, such as `map`; without it the address is
   * left alone. Two elements on one page take two words.
   */
  get deepLinks(): string | null {
    return this.getAttribute("deep-links");
  }
  set deepLinks(value: string | null) {
    this.#reflect("deep-links", value);
  }

  /** The level at which the map's headings begin in the outline of the page, 1 to 5; 2 if absent. */
  get headingLevel(): string | null {
    return this.getAttribute("heading-level");
  }
  set headingLevel(value: string | number | null) {
    this.#reflect("heading-level", value);
  }

  /** How many bytes of the stand map are read at the most, unpacked. */
  get maxBytes(): string | null {
    return this.getAttribute("max-bytes");
  }
  set maxBytes(value: string | number | null) {
    this.#reflect("max-bytes", value);
  }

  /** How many stands of the stand map are read at the most. */
  get maxStands(): string | null {
    return this.getAttribute("max-stands");
  }
  set maxStands(value: string | number | null) {
    this.#reflect("max-stands", value);
  }

  /** A stand map as a file; while it is set, the attribute `stands` is not read. */
  get standsFile(): Blob | null {
    return this.#standsFile;
  }
  set standsFile(value: Blob | null) {
    this.#standsFile = value;
    this.#schedule();
  }

  /** A crosswalk as a file; while a stand map is set as a file, the attribute `crosswalk` is not read. */
  get crosswalkFile(): Blob | null {
    return this.#crosswalkFile;
  }
  set crosswalkFile(value: Blob | null) {
    this.#crosswalkFile = value;
    this.#schedule();
  }

  /** Rule books as texts, each with a name; while they are set, the attribute `rules` is not read. */
  get ruleBooks(): readonly BookText[] | null {
    return this.#ruleBooks;
  }
  set ruleBooks(value: readonly BookText[] | null) {
    this.#ruleBooks = value;
    this.#schedule();
  }

  /**
   * Reads a rule book and gives back what is wrong or odd in it, each with its line and column; nothing else changes.
   * @throws an Error where the element is not on a page
   */
  async checkRules(text: string): Promise<BookCheck> {
    return this.#session.ask("checkRules", { text });
  }

  /**
   * Reads a sample of a stand map by a crosswalk that is being written, and tells of up to `features` of its features
   * what each property became, with everything that was odd; nothing else changes. Both are addresses or files;
   * without a crosswalk the sample is read in the plain form. A sample has at most 16 MB.
   * @throws a Fault where the crosswalk has mistakes or the sample is no stand map; an Error where the element is not
   * on a page
   */
  async tryCrosswalk(
    sample: string | Blob,
    crosswalk: string | Blob | null = null,
    features = 5,
  ): Promise<CrosswalkTrial> {
    const given = (one: string | Blob): string | Blob =>
      typeof one === "string" ? new URL(one, this.baseURI).href : one;
    return this.#session.ask("tryCrosswalk", {
      sample: given(sample),
      crosswalk: crosswalk === null ? null : given(crosswalk),
      features,
    });
  }

  /**
   * The scientific names in an authority's list of fungi, a table of comma-separated values or the like.
   * @throws an Error where the element is not on a page
   */
  async readFungi(list: Uint8Array): Promise<ListedReport> {
    return this.#session.ask("fungi", { list });
  }

  /**
   * What the rules say of one stand on each day of the year in which the visit lies.
   * @throws an Error where there is no such stand, or the question was overtaken by another rule book or visit
   */
  async year(stand: string): Promise<YearOfStand> {
    return this.#session.ask("year", { id: stand });
  }

  /**
   * Asks which stand lies at a place in degrees; null where there is none, the smallest where several overlap.
   * @throws Error where no stand map has been read
   */
  async standAt(lng: number, lat: number): Promise<string | null> {
    return this.#session.ask("standAt", { lng, lat });
  }

  /** Loads every file anew, as after an update of the stand map; what the visitor has chosen stays. */
  refresh(): void {
    if (this.#begun) void this.#session.load();
  }

  connectedCallback(): void {
    for (const name of ATTRIBUTES) this.#upgrade(propertyOf(name));
    for (const name of FILES) this.#upgrade(name);
    // Moved within one task: everything is still running.
    if (this.#alive) return;
    this.#alive = true;
    if (this.shadowRoot !== null) this.shadowRoot.adoptedStyleSheets = [styleSheet()];
    this.#watchLanguage();
    this.#keepAddress();
    this.#full.watch();
    this.#arrange();
  }

  /** Begins at once, or waits and lets the page's own words stand until then. */
  #arrange(): void {
    this.#unwait?.();
    this.#unwait = null;
    const loading = this.#author.loading();
    if (loading === "eager") {
      this.#begin();
      return;
    }
    this.shadowRoot?.replaceChildren(make("slot"));
    if (loading === "lazy") {
      this.#unwait = whenNear(this, () => {
        this.#begin();
      });
    } else {
      this.#askForWords();
    }
  }

  #begin(): void {
    this.#begun = true;
    this.#unwait = null;
    this.#unask?.();
    this.#unask = null;
    this.#schedule();
    // The worker and the downloads are on their way before the screen is built, which is a task of its own.
    setTimeout(() => {
      if (this.#alive && this.#unask === null) this.#askForWords();
    }, 0);
  }

  disconnectedCallback(): void {
    // A move within the page disconnects and connects in one task; only what stays away is ended.
    queueMicrotask(() => {
      if (this.isConnected || !this.#alive) return;
      this.#alive = false;
      this.#begun = false;
      this.#unwait?.();
      this.#unwait = null;
      this.#unask?.();
      this.#unask = null;
      this.#watched?.disconnect();
      this.#watched = null;
      this.#full.close();
      this.#place?.close();
      this.#place = null;
      this.#screen?.close();
      this.#screen = null;
      this.#session.close();
      this.shadowRoot?.replaceChildren();
    });
  }

  attributeChangedCallback(name: string, before: string | null, now: string | null): void {
    if (before === now || !this.#alive) return;
    if (name === "lang" || name === "label" || name === "heading-level") this.#reword();
    if (name === "stand") this.#choose(now);
    if (name === "deep-links") this.#keepAddress();
    if (name === "loading" && !this.#begun) this.#arrange();
    if (name === "basemap" || name === "basemap-credit") this.#lay();
    this.#schedule();
  }

  /** Several attributes set one after the other are one change. */
  #schedule(): void {
    if (this.#pending) return;
    this.#pending = true;
    queueMicrotask(() => {
      this.#pending = false;
      if (!this.#alive || !this.#begun) return;
      const author = this.#author;
      this.#session.want({
        assets: author.address("asset-base"),
        stands: this.#standsFile ?? author.address("stands"),
        crosswalk: this.#standsFile === null ? author.address("crosswalk") : this.#crosswalkFile,
        rules: this.#ruleBooks?.map(({ name, text }) => ({ name, text })) ?? author.addresses("rules"),
        kinds: author.addresses("kinds"),
        day: author.day(),
        time: author.time(),
        context: author.address("context"),
        weather: author.address("weather"),
        languages: author.languages(),
        limits: author.limits(),
      });
      this.#place?.takeDay();
    });
  }

  /** Has the page's address lead back to what is on the screen, if it is wanted. */
  #keepAddress(): void {
    this.#place?.close();
    const name = linkName(this.deepLinks);
    this.#place =
      name === null
        ? null
        : new Address(name, this.#session, {
            place: () => this.#screen?.place() ?? null,
            goTo: (place) => this.#screen?.goTo(place),
            choose: (id) => {
              this.#choose(id);
            },
          });
    this.#place?.takeOver();
  }

  /** The screen is built when its words are there, and built again when others have come. */
  #askForWords(): void {
    this.#unask?.();
    // The first words may be there before this call is over.
    this.#unask = () => undefined;
    this.#unask = findWording(this.#author.languages(), (wording) => {
      if (this.#begun) this.#build(wording);
      else this.#invite(wording);
    });
  }

  /** A button that begins, below the page's own words. */
  #invite({ language, locale, catalogue }: Wording): void {
    const words = new Words(locale, catalogue, ENGLISH);
    const begin = (): void => {
      this.#focusNext = true;
      this.#begin();
    };
    this.shadowRoot?.replaceChildren(invitation(words, language, begin));
  }

  #build({ language, locale, catalogue }: Wording): void {
    const root = this.shadowRoot;
    if (root === null) return;
    const chosen = this.#screen === null ? this.getAttribute("stand") : this.#session.chosen;
    this.#screen?.close();
    const words = new Words(locale, catalogue, ENGLISH);
    words.headingLevel = this.#author.headingLevel();
    this.#screen = new Screen(root, this.#session, words, {
      language,
      label: this.label,
      full: this.#full,
      chosen: (id) => {
        this.#session.choose(id);
        this.#send("hostwood-stand", { id });
      },
      moved: () => this.#place?.moved(),
      link: () => this.#place?.link() ?? null,
    });
    this.#lay();
    this.#choose(chosen);
    if (this.#focusNext) this.#screen.focus();
    this.#focusNext = false;
  }

  #lay(): void {
    this.#screen?.setBasemap(this.#author.basemap(), this.basemapCredit ?? "");
  }

  #reword(): void {
    if (this.#unask === null) return;
    if (this.#begun) this.#session.speak(this.#author.languages());
    this.#askForWords();
  }

  #choose(id: string | null): void {
    this.#session.choose(id === "" ? null : id);
  }

  #watchLanguage(): void {
    this.#watched = new MutationObserver(() => {
      if (!this.hasAttribute("lang")) this.#reword();
    });
    this.#watched.observe(document.documentElement, { attributes: true, attributeFilter: ["lang"] });
  }

  #onChange(topic: Topic): void {
    this.#screen?.show(topic);
    if (topic === "progress" && this.#session.progress !== null) {
      this.#send("hostwood-progress", { ...this.#session.progress });
    }
    if (topic === "visit") this.#place?.takeOver();
    if (topic === "visit" || topic === "look" || topic === "chosen") this.#place?.changed();
    const { phase, stands, rules, visit, fault } = this.#session;
    if (topic === "phase" && phase === "ready" && stands !== null && visit !== null) {
      this.#send("hostwood-ready", { stands: stands.stands, day: visit.day });
    }
    if (topic === "visit" && visit !== null && this.#session.visitFault === null) {
      this.#send("hostwood-visit", { day: visit.day, answers: { ...visit.answers } });
    }
    if (
      topic === "phase" &&
      fault !== null &&
      (phase === "failed" || phase === "unable" || phase === "stopped")
    ) {
      this.#send("hostwood-error", fault);
    }
    if (topic === "context" && this.#session.contextFault !== null) {
      this.#send("hostwood-error", this.#session.contextFault);
    }
    if (topic === "weather" && this.#session.weatherFault !== null) {
      this.#send("hostwood-error", this.#session.weatherFault);
    }
    if ((topic === "rules" || topic === "findings") && rules !== null) {
      const odd = this.#session.kinds?.files.flatMap((file) => file.mistakes) ?? [];
      const mistakes = [...rules.mistakes, ...odd];
      this.#send("hostwood-findings", { findings: stands?.findings ?? [], mistakes });
    }
  }

  #send<K extends keyof HostwoodEvents>(name: K, detail: HostwoodEvents[K]["detail"]): void {
    this.dispatchEvent(new CustomEvent(name, { bubbles: true, composed: true, detail }));
  }

  #reflect(name: string, value: string | number | null): void {
    if (value === null || value === undefined) this.removeAttribute(name);
    else this.setAttribute(name, String(value));
  }

  /** A property that was set before the element was defined goes through its setter now. */
  #upgrade(name: string): void {
    if (!Object.hasOwn(this, name)) return;
    const own = this as unknown as Record<string, unknown>;
    const value = own[name];
    delete own[name];
    own[name] = value;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    "hostwood-map": HostwoodMap;
  }
  interface HTMLElementEventMap {
    "hostwood-ready": HostwoodEvents["hostwood-ready"];
    "hostwood-visit": HostwoodEvents["hostwood-visit"];
    "hostwood-stand": HostwoodEvents["hostwood-stand"];
    "hostwood-findings": HostwoodEvents["hostwood-findings"];
    "hostwood-error": HostwoodEvents["hostwood-error"];
    "hostwood-warning": HostwoodEvents["hostwood-warning"];
    "hostwood-progress": HostwoodEvents["hostwood-progress"];
    "hostwood-fullscreen": HostwoodEvents["hostwood-fullscreen"];
  }
}
