/**
 * The map on the screen: its surface, its keys, its own buttons, scale bar and credit.
 *
 * In: the session. Out: the chosen stand's id, whether chosen by pointer or by keys. The map itself is made only when
 * there is something to draw, after the first paint. Left to others: drawing (map-canvas.ts), the legend (legend.ts),
 * the sheet (sheet.ts).
 */
import { Dropped } from "./courier.ts";
import { fillsScreen } from "./full-screen.ts";
import { button, freshId, make } from "./make.ts";
import type { MapCanvas } from "./map-canvas.ts";
import type { Box, FlatOutline, Scheme, SheetNode, StandPlace } from "./protocol.ts";
import { ScaleBar } from "./scale-bar.ts";
import type { Session } from "./session.ts";
import type { Words } from "./words.ts";

/** How far an arrow key or button moves the map, as a part of its width and height. */
const STEP = 0.25;
/** How long a hint about the wheel stays, in milliseconds. */
const HINT = 2500;

/** What the map tells the screen. */
export interface MapViewNews {
  chosen: (id: string | null, at?: [lng: number, lat: number]) => void;
  announce: (text: string) => void;
  failed: (error: unknown) => void;
  /** The visitor has moved the map. */
  moved: () => void;
}

/** The map with everything that stands on it. */
export class MapView {
  readonly element: HTMLElement;
  readonly #words: Words;
  readonly #session: Session;
  readonly #news: MapViewNews;
  readonly #surface: HTMLElement;
  readonly #crosshair: HTMLElement;
  readonly #hint: HTMLElement;
  readonly #scale: ScaleBar;
  readonly #credit: HTMLElement;
  #canvas: MapCanvas | null = null;
  #making: Promise<MapCanvas | null> | null = null;
  #closed = false;
  #scheme: Scheme = "light";
  #basemap: string | null = null;
  #fitted: string | null = null;
  /** Where the map is to go as soon as it is there. */
  #wanted: { at: [number, number]; zoom: number | undefined } | null = null;
  /** Where the map was fitted: it is fitted anew to another size as long as it lies there. */
  #fittedAt = "";
  /** Where the map came to rest by itself, which is no choice of the visitor's. */
  #restsAt = "";
  #walked: StandPlace | null = null;
  #hinting: ReturnType<typeof setTimeout> | undefined;

  /**
   * @param legend stands on the map, where it is always in view
   * @param search stands on the map's upper edge
   */
  constructor(words: Words, session: Session, legend: HTMLElement, search: HTMLElement, news: MapViewNews) {
    this.#words = words;
    this.#session = session;
    this.#news = news;
    const hintId = freshId("hint");
    this.#hint = make("p", { class: "hint", id: hintId, hidden: true }, words.say("ui.map.keys"));
    this.#surface = make("div", {
      class: "surface",
      tabindex: 0,
      role: "application",
      "aria-label": words.say("ui.map.label"),
      "aria-describedby": hintId,
    });
    this.#crosshair = make("div", { class: "crosshair", "aria-hidden": "true", hidden: true });
    this.#scale = new ScaleBar(words);
    this.#credit = make("p", { class: "credit", hidden: true });
    this.element = make(
      "section",
      { class: "map", part: "map", "aria-label": words.say("ui.map.region") },
      make(
        "div",
        { class: "sight" },
        search,
        this.#surface,
        this.#crosshair,
        this.#hint,
        this.#buttons(),
        make(
          "div",
          { class: "foot" },
          this.#credit,
          make("slot", { name: "attribution" }),
          this.#scale.element,
        ),
      ),
      legend,
    );
    this.#surface.addEventListener("keydown", (event) => {
      this.#key(event);
    });
    this.#surface.addEventListener("focus", () => {
      if (this.#surface.matches(":focus-visible")) this.#keysInUse(true);
    });
    this.#surface.addEventListener("blur", () => {
      this.#keysInUse(false);
    });
    // The browser itself gives the focus to what is pressed, and knows that no keys are in use then.
    this.#surface.addEventListener("pointerdown", () => {
      this.#keysInUse(false);
    });
    for (const kind of ["touchstart", "touchmove"] as const) {
      // Two fingers are the map's; the browser would otherwise scroll the page with them.
      this.#surface.addEventListener(
        kind,
        (event) => {
          if (event.touches.length > 1 && event.cancelable) event.preventDefault();
        },
        { passive: false },
      );
    }
  }

  /** Draws what the session has: the map is made the first time, and fitted once for each stand map. */
  async show(): Promise<void> {
    if (!this.#session.drawable) return;
    let canvas: MapCanvas | null;
    try {
      // A map that is there already asks for its tiles at once, before the rest of the screen is filled.
      canvas = this.#canvas ?? (await this.#ready());
    } catch (error) {
      this.#making = null;
      const why = error instanceof Error ? error.message : String(error);
      const message = `The map's drawing part could not be loaded: ${why}.`;
      this.#session.fail({ about: "engine", code: "unreachable", message });
      return;
    }
    if (canvas === null || !this.#session.drawable) return;
    const { bounds } = this.#session.stands ?? {};
    const name = JSON.stringify(bounds ?? null);
    if (bounds !== undefined && bounds !== null && name !== this.#fitted) {
      this.#fitted = name;
      canvas.fit(bounds);
      this.#restsAt = this.#spot();
      this.#fittedAt = this.#restsAt;
    }
    if (this.#wanted !== null) {
      canvas.goTo(this.#wanted.at, this.#wanted.zoom);
      this.#wanted = null;
    }
    canvas.draw(this.#session.edition);
  }

  /** Whether there is a map to draw on. */
  get made(): boolean {
    return this.#canvas !== null;
  }

  /** Asks for the map library while the data are still on their way, and makes the map when it is there. */
  prepare(): void {
    // Whether it could be had is told where it is needed.
    this.#ready().catch(() => undefined);
  }

  /** Draws the context that has arrived. */
  showContext(): void {
    this.#canvas?.setContext(this.#session.context);
  }

  /** Light or dark. */
  setScheme(scheme: Scheme): void {
    this.#scheme = scheme;
    this.#canvas?.setScheme(scheme);
  }

  /** A base map under the shading, with its credit. */
  setBasemap(template: string | null, credit: string): void {
    this.#basemap = template;
    this.#canvas?.setBasemap(template);
    this.#credit.hidden = credit === "";
    this.#credit.textContent = credit;
  }

  /** Outlines the chosen stand and brings it into view beside what covers the map. */
  async mark(id: string | null, covered: { bottom: number }): Promise<void> {
    this.#walk(null, null);
    if (id === null) {
      this.#canvas?.setChosen(null);
      return;
    }
    try {
      const [place, outline] = await Promise.all([
        this.#session.ask("stand", { id }),
        this.#session.ask("outline", { id }),
      ]);
      if (this.#session.chosen !== id) return;
      this.#canvas?.setChosen(outline);
      const inside = place?.inside ?? null;
      if (inside !== null) this.#canvas?.reveal(inside, covered);
    } catch (error) {
      this.#stumble(error);
    }
  }

  /** The middle of the map in degrees; null while there is no map. */
  middle(): [number, number] | null {
    return this.#canvas?.middle() ?? null;
  }

  /** The middle of the map in degrees and its zoom; null while there is no map. */
  place(): [lng: number, lat: number, zoom: number] | null {
    const canvas = this.#canvas;
    return canvas === null ? null : [...canvas.middle(), canvas.zoomLevel()];
  }

  /** Goes to a place, at once or as soon as there is a map. */
  goTo(at: [number, number], zoom?: number): void {
    if (this.#canvas === null || this.#fitted === null) this.#wanted = { at, zoom };
    else this.#canvas.goTo(at, zoom);
  }

  /** Puts the focus on the map's surface. */
  focus(): void {
    this.#surface.focus();
  }

  /** Gives the map back. */
  close(): void {
    this.#closed = true;
    clearTimeout(this.#hinting);
    this.#canvas?.close();
    this.#canvas = null;
  }

  /** The drawn map; its library comes in a file of its own, which is asked for again where it could not be had. */
  async #ready(): Promise<MapCanvas | null> {
    this.#making ??= this.#make();
    return this.#making;
  }

  async #make(): Promise<MapCanvas | null> {
    const { MapCanvas } = await import("./map-canvas.ts");
    if (this.#closed) return null;
    const canvas = new MapCanvas(this.#surface, this.#session, this.#scheme, {
      pressed: (lng, lat) => {
        void this.#press(lng, lat);
      },
      moved: () => {
        this.#place();
        this.#scale.show(canvas.metresPerPixel());
        const spot = this.#spot();
        if (this.#fitted !== null && this.#restsAt !== "" && spot !== this.#restsAt) this.#news.moved();
        this.#restsAt = spot;
      },
      resized: () => {
        const { bounds } = this.#session.stands ?? {};
        if (bounds === undefined || bounds === null || this.#fittedAt === "") return;
        if (this.#spot() !== this.#fittedAt) return;
        canvas.fit(bounds);
        this.#restsAt = this.#spot();
        this.#fittedAt = this.#restsAt;
      },
      wheelRefused: () => {
        this.#tip(this.#words.say("ui.map.wheel"));
      },
      focused: () => this.#surface.matches(":focus"),
      full: () => fillsScreen(this.#surface),
    });
    this.#canvas = canvas;
    canvas.setContext(this.#session.context);
    canvas.setBasemap(this.#basemap);
    return canvas;
  }

  async #press(lng: number, lat: number): Promise<void> {
    try {
      this.#news.chosen(await this.#session.ask("standAt", { lng, lat }), [lng, lat]);
    } catch (error) {
      this.#stumble(error);
    }
  }

  #key(event: KeyboardEvent): void {
    const canvas = this.#canvas;
    if (canvas === null || event.ctrlKey || event.metaKey || event.altKey) return;
    const act = this.#action(event.key, canvas);
    if (act === undefined) return;
    event.preventDefault();
    if (event.key !== "Escape") this.#keysInUse(true);
    act();
  }

  #action(key: string, canvas: MapCanvas): (() => void) | undefined {
    const pan = (east: number, south: number) => (): void => {
      this.#walk(null, null);
      canvas.pan(east, south);
    };
    const zoom = (by: number) => (): void => {
      canvas.zoom(by);
    };
    const actions: Record<string, () => void> = {
      ArrowLeft: pan(-STEP, 0),
      ArrowRight: pan(STEP, 0),
      ArrowUp: pan(0, -STEP),
      ArrowDown: pan(0, STEP),
      "+": zoom(1),
      "=": zoom(1),
      "-": zoom(-1),
      Enter: () => {
        this.#enter(canvas);
      },
      " ": () => {
        this.#enter(canvas);
      },
      n: () => {
        void this.#step("next", canvas);
      },
      p: () => {
        void this.#step("previous", canvas);
      },
      Escape: () => {
        if (this.#walked !== null) this.#walk(null, null);
        else this.#news.chosen(null);
      },
    };
    return Object.hasOwn(actions, key) ? actions[key] : actions[key.toLowerCase()];
  }

  /** Opens the stand that was walked to, or the one under the crosshair. */
  #enter(canvas: MapCanvas): void {
    if (this.#walked !== null) {
      this.#news.chosen(this.#walked.id);
      return;
    }
    const [lng, lat] = canvas.middle();
    void this.#session
      .ask("standAt", { lng, lat })
      .then((id) => {
        if (id === null) this.#news.announce(this.#words.say("ui.map.nothing_here"));
        else this.#news.chosen(id, [lng, lat]);
      })
      .catch((error: unknown) => {
        this.#stumble(error);
      });
  }

  /** Walks to the next or previous stand in view and says what it is. */
  async #step(direction: "next" | "previous", canvas: MapCanvas): Promise<void> {
    const from = this.#walked?.id ?? this.#session.chosen;
    try {
      const id = await this.#session.ask("neighbour", { id: from, direction, box: canvas.box() });
      if (id === null) {
        this.#news.announce(this.#words.say("ui.map.none_in_view"));
        return;
      }
      const { languages } = this.#session;
      const [place, outline, tree] = await Promise.all([
        this.#session.ask("stand", { id }),
        this.#session.ask("outline", { id }),
        this.#session.ask("sheet", { id, languages, ...this.#session.look() }),
      ]);
      const inside = place?.inside ?? null;
      if (inside !== null) canvas.reveal(inside, { bottom: 0 });
      this.#walk(place, outline);
      this.#news.announce(this.#inShort(id, place, tree));
    } catch (error) {
      this.#stumble(error);
    }
  }

  /** Name, potential and verdict: what the map shows of a stand, in words. */
  #inShort(id: string, place: StandPlace | null, tree: readonly SheetNode[]): string {
    const words = this.#words;
    const name = place?.name ?? words.say("ui.stand_number", { id: { text: id } });
    const parts = tree.flatMap((one) => (one.node === "section" ? one.children : [one]));
    // The first gauge is that of the view on the map.
    const told = (["gauge", "verdict"] as const).flatMap((kind) => {
      const found = parts.find((one) => one.node === kind);
      return found !== undefined && "text" in found ? [words.plain(found.text)] : [];
    });
    return [name, ...told, words.say("ui.map.enter")].map((one) => one.replace(/[.\s]*$/, ".")).join(" ");
  }

  #walk(place: StandPlace | null, outline: FlatOutline | null): void {
    this.#walked = place;
    this.#canvas?.setWalked(outline);
    this.#place();
  }

  /** Where the map is, as text to compare. */
  #spot(): string {
    return (this.place() ?? []).map((one) => one.toFixed(5)).join(" ");
  }

  /** The crosshair stands on the stand that was walked to, else in the middle. */
  #place(): void {
    const inside = this.#walked?.inside ?? null;
    const at = inside === null ? null : (this.#canvas?.pixel(inside) ?? null);
    this.#crosshair.style.left = at === null ? "" : `${String(Math.round(at[0]))}px`;
    this.#crosshair.style.top = at === null ? "" : `${String(Math.round(at[1]))}px`;
  }

  #keysInUse(used: boolean): void {
    this.#crosshair.hidden = !used;
    clearTimeout(this.#hinting);
    this.#hint.textContent = this.#words.say("ui.map.keys");
    this.#hint.hidden = !used;
  }

  /** A hint that goes away by itself. */
  #tip(text: string): void {
    clearTimeout(this.#hinting);
    this.#hint.textContent = text;
    this.#hint.hidden = false;
    this.#hinting = setTimeout(() => {
      this.#hint.hidden = true;
      this.#hint.textContent = this.#words.say("ui.map.keys");
    }, HINT);
  }

  #buttons(): HTMLElement {
    const words = this.#words;
    const one = (key: string, sign: string, act: (canvas: MapCanvas) => void): HTMLButtonElement =>
      button(
        { class: "map-button", part: "button", "aria-label": words.say(key), title: words.say(key) },
        () => {
          if (this.#canvas !== null) act(this.#canvas);
        },
        make("span", { "aria-hidden": "true" }, sign),
      );
    const pads = make(
      "div",
      { class: "pads", hidden: true, id: freshId("pads") },
      one("ui.map.north", "↑", (canvas) => {
        canvas.pan(0, -STEP);
      }),
      one("ui.map.west", "←", (canvas) => {
        canvas.pan(-STEP, 0);
      }),
      one("ui.map.east", "→", (canvas) => {
        canvas.pan(STEP, 0);
      }),
      one("ui.map.south", "↓", (canvas) => {
        canvas.pan(0, STEP);
      }),
    );
    const move = button(
      {
        class: "map-button",
        part: "button",
        "aria-expanded": "false",
        "aria-controls": pads.id,
        "aria-label": words.say("ui.map.move"),
        title: words.say("ui.map.move"),
      },
      () => {
        pads.hidden = !pads.hidden;
        move.setAttribute("aria-expanded", String(!pads.hidden));
      },
      make("span", { "aria-hidden": "true" }, "✥"),
    );
    return make(
      "div",
      { class: "map-buttons", role: "group", "aria-label": words.say("ui.map.buttons") },
      one("ui.map.nearer", "+", (canvas) => {
        canvas.zoom(1);
      }),
      one("ui.map.farther", "−", (canvas) => {
        canvas.zoom(-1);
      }),
      one("ui.map.whole", "⤢", () => {
        this.#whole();
      }),
      move,
      pads,
    );
  }

  #whole(): void {
    const bounds: Box | null | undefined = this.#session.stands?.bounds;
    if (bounds !== null && bounds !== undefined) this.#canvas?.fit(bounds);
  }

  #stumble(error: unknown): void {
    if (!(error instanceof Dropped)) this.#news.failed(error);
  }
}
