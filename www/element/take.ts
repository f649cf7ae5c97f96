/**
 * What a visitor takes along from a stand: the last section of its sheet.
 *
 * In: the session with the stands picked for the visit, and what the screen offers. Out: the section's element, and files
 * and links on request: visit sheet, outlines, a `geo:` address, a link back to the stand. Nothing leaves the device.
 * Left to others: the visit sheet's page (visit-sheet.ts), its picture (map-picture.ts), outlines (the engine).
 */
import { Dropped, Faulted } from "./courier.ts";
import { geoLink } from "./geo-link.ts";
import { button, english, fill, heading, make } from "./make.ts";
import type { PicturedStand } from "./map-picture.ts";
import type { Box, SheetNode, StandPlace } from "./protocol.ts";
import { canShare, copy, fileName, save, share, type Handed } from "./save.ts";
import type { Session } from "./session.ts";
import { today } from "./today.ts";
import type { Words } from "./words.ts";

/** The most stands of one visit: more would be no day's walk, and no page or two. */
export const MOST_PICKED = 8;

/** What the section needs from the screen. */
export interface TakeNews {
  language: string;
  plan: () => void;
  find: () => void;
  /** The address that leads back to what is on the screen; null where the page's author wants none. */
  link: () => string | null;
  direction: () => "ltr" | "rtl";
}

/** One stand with all that files say of it. */
interface Packed {
  id: string;
  name: string;
  place: StandPlace;
  tree: SheetNode[];
  verdict: string;
}

/** Makes the section for the stand whose sheet is open. */
export class TakeAlong {
  readonly #words: Words;
  readonly #session: Session;
  readonly #news: TakeNews;

  constructor(words: Words, session: Session, news: TakeNews) {
    this.#words = words;
    this.#session = session;
    this.#news = news;
  }

  /** The section for a stand of this name; null where none is chosen. */
  section(name: string): HTMLElement | null {
    const id = this.#session.chosen;
    if (id === null) return null;
    const words = this.#words;
    const told = make("div", { class: "take-told", role: "status" });
    const visit = make("p", { class: "quiet", hidden: true });
    const pick = button({ part: "button" }, () => {
      this.#session.pick({ id, name });
      show();
    });
    const show = (): void => {
      const { picked } = this.#session;
      const here = picked.some((one) => one.id === id);
      fill(pick, words.say(here ? "ui.take.remove" : "ui.take.add"));
      pick.hidden = !here && picked.length >= MOST_PICKED;
      visit.hidden = picked.length === 0;
      visit.textContent = words.say("ui.take.visit", {
        stands: { list: picked.map((one) => ({ text: one.name })) },
      });
    };
    show();
    const working = (act: () => Promise<string>) => (): void => {
      void this.#work(told, act);
    };
    const act = (key: string, then: () => void): HTMLButtonElement =>
      button({ part: "button" }, then, words.say(`ui.take.${key}`));
    const offers = make(
      "div",
      { class: "take-offers" },
      act(
        "visit_sheet",
        working(() => this.#saveSheet(id)),
      ),
      act(
        "gpx",
        working(() => this.#saveOutlines(id)),
      ),
      this.#link(told),
      act("plan", this.#news.plan),
      act("find", this.#news.find),
    );
    void this.#addPlace(id, offers);
    return make(
      "section",
      { class: "part take", "data-section": "take", "aria-labelledby": "section-take" },
      heading(words, "h3", { id: "section-take" }, words.say("ui.take.title")),
      pick,
      visit,
      offers,
      told,
    );
  }

  /** A `geo:` link to a point inside the stand, once it is known; none for a stand without an outline. */
  async #addPlace(id: string, offers: HTMLElement): Promise<void> {
    try {
      const place = await this.#session.ask("stand", { id });
      const inside = place?.inside ?? null;
      if (inside === null) return;
      offers.append(
        make("a", { class: "take-link", href: geoLink(inside) }, this.#words.say("ui.take.open_place")),
      );
    } catch (error) {
      if (!(error instanceof Dropped || error instanceof Faulted)) throw error;
    }
  }

  #link(told: HTMLElement): HTMLButtonElement | null {
    if (this.#news.link() === null) return null;
    const words = this.#words;
    const sharing = canShare();
    return button(
      { part: "button" },
      () => {
        const url = this.#news.link();
        if (url === null) return;
        const handed = sharing ? share(words.say("ui.take.link"), url) : copy(url);
        void handed.then((how) => {
          this.#sayHanded(told, how, url);
        });
      },
      words.say(sharing ? "ui.take.share" : "ui.take.copy"),
    );
  }

  #sayHanded(told: HTMLElement, how: Handed, url: string): void {
    const words = this.#words;
    if (how === "dismissed") return;
    if (how !== "not_copied") {
      fill(told, make("p", {}, words.say(how === "shared" ? "ui.take.shared" : "ui.take.copied")));
      return;
    }
    const field = make("input", {
      type: "text",
      readonly: true,
      value: url,
      "aria-label": words.say("ui.take.link"),
    });
    fill(told, make("p", {}, words.say("ui.take.copy_failed")), field);
    field.focus();
    field.select();
  }

  /** Does something that ends in a file, and says how it went. */
  async #work(told: HTMLElement, act: () => Promise<string>): Promise<void> {
    const words = this.#words;
    fill(told, make("p", {}, words.say("ui.take.working")));
    try {
      const file = await act();
      fill(told, make("p", {}, words.say("ui.take.saved", { file: { text: file } })));
    } catch (error) {
      if (!(error instanceof Faulted || error instanceof Dropped)) throw error;
      const text = error instanceof Faulted ? english(error.fault.message) : words.say("ui.visit_failed");
      fill(told, make("p", { class: "line-of", "data-tone": "caution" }, text));
    }
  }

  async #saveSheet(id: string): Promise<string> {
    const words = this.#words;
    const { day, rules } = this.#session;
    const stands = await this.#pack(id);
    // Both come in files of their own: most visitors never ask for them.
    const [{ visitSheet }, { mapPicture }] = await Promise.all([
      import("./visit-sheet.ts"),
      import("./map-picture.ts"),
    ]);
    const pictured = await this.#pictured(stands);
    const box = around(stands);
    const picture = box === null ? null : await mapPicture(this.#session, words, box, pictured);
    const text = visitSheet(words, {
      language: this.#news.language,
      direction: this.#news.direction(),
      day,
      made: today(rules?.timeZone ?? null),
      stands,
      picture,
    });
    const file = fileName([stands[0]?.name ?? "", day], "html");
    save([text], "text/html;charset=utf-8", file);
    return file;
  }

  async #saveOutlines(id: string): Promise<string> {
    const words = this.#words;
    const { day } = this.#session;
    const stands = await this.#pack(id);
    const bytes = await this.#session.ask("gpx", {
      query: {
        stands: stands.map(({ id, name, verdict }) => ({ id, name, description: verdict })),
        title: words.say("gpx.title", { day: { date: day } }),
        caution: words.say("gpx.caution"),
        simplified: words.say("gpx.simplified", { metres: { text: "{metres}" } }),
      },
    });
    const file = fileName([stands[0]?.name ?? "", day], "gpx");
    save([bytes], "application/gpx+xml", file);
    return file;
  }

  /** The stands of the visit, the open one first. */
  async #pack(id: string): Promise<Packed[]> {
    const words = this.#words;
    const { languages, picked } = this.#session;
    const others = picked.map((one) => one.id).filter((one) => one !== id);
    const ids = [id, ...others].slice(0, MOST_PICKED);
    const packed = await Promise.all(
      ids.map(async (one): Promise<Packed[]> => {
        const [place, tree] = await Promise.all([
          this.#session.ask("stand", { id: one }),
          this.#session.ask("sheet", { id: one, languages, ...this.#session.look() }),
        ]);
        if (place === null) return [];
        const parts = tree.flatMap((node) => (node.node === "section" ? node.children : [node]));
        const verdict = parts.find((node) => node.node === "verdict");
        const said = verdict === undefined ? "" : words.plain(verdict.text);
        const name = place.name ?? words.say("ui.stand_number", { id: { text: one } });
        return [{ id: one, name, place, tree, verdict: said }];
      }),
    );
    return packed.flat();
  }

  async #pictured(stands: readonly Packed[]): Promise<PicturedStand[]> {
    const outlines = await Promise.all(
      stands.map(async ({ id, name, place }): Promise<PicturedStand[]> => {
        const outline = await this.#session.ask("outline", { id });
        return outline === null || place.inside === null
          ? []
          : [{ label: name, inside: place.inside, outline }];
      }),
    );
    return outlines.flat();
  }
}

/** The box around all stands that have a place. */
function around(stands: readonly Packed[]): Box | null {
  return stands.reduce<Box | null>((all, { place: { bounds } }) => {
    if (bounds === null) return all;
    if (all === null) return bounds;
    return [
      Math.min(all[0], bounds[0]),
      Math.min(all[1], bounds[1]),
      Math.max(all[2], bounds[2]),
      Math.max(all[3], bounds[3]),
    ];
  }, null);
}
