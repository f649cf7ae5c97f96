/**
 * What the visitor must be told beside the map: no rule book, an expired one, mistakes and findings, a lost
 * connection, a reading that failed, an engine that stopped.
 *
 * In: the session's state. Out: notices, each with what to do where something can be done. Left to others: when to
 * show them (screen.ts).
 */
import { button, english, heading, link, make, written, type Child } from "./make.ts";
import type { BookReport, BookState, Fault, Finding, Mistake } from "./protocol.ts";
import type { Session } from "./session.ts";
import { today } from "./today.ts";
import { pick, type Words } from "./words.ts";

/** What a notice can set off. */
export interface Remedies {
  load: () => void;
  loadRules: () => void;
}

/** So many mistakes are shown without being asked for. */
const FEW = 2;
/** The most findings of one kind that are listed; the rest is counted. */
const MOST_LISTED = 100;

/** The notices that hold for this state of the session, the gravest first. */
export function notices(words: Words, session: Session, remedies: Remedies): HTMLElement[] {
  const list: HTMLElement[] = [];
  const { rules, visitFault, contextFault, weatherFault, drawFault } = session;
  if (!navigator.onLine)
    list.push(notice("open", words.say("ui.offline.title"), [words.say("ui.offline.text")]));
  if (session.kept.length > 0) {
    const oldest = session.kept.map(({ at }) => at).sort()[0] ?? "";
    const day = today(words.timeZone ?? null, new Date(oldest));
    const args = { day: { date: day }, when: { utc: oldest } };
    list.push(
      notice("caution", words.say("ui.kept.title"), [written(words.pieces({ key: "ui.kept.text", args }))]),
    );
  }
  if (visitFault !== null)
    list.push(notice("caution", words.say("ui.visit_failed"), [english(visitFault.message)]));
  if (rules !== null) list.push(...ruleNotices(words, session, remedies));
  const odd = session.kinds?.files.flatMap((file) => file.mistakes) ?? [];
  if (odd.some(({ severity }) => severity === "error"))
    list.push(notice("caution", words.say("ui.kinds_failed"), [], [], mistakeList(words, odd)));
  if (drawFault !== null)
    list.push(notice("caution", words.say("ui.draw_failed"), [english(drawFault.message)]));
  if (contextFault !== null)
    list.push(notice("open", words.say("ui.context_failed"), [english(contextFault.message)]));
  if (weatherFault !== null)
    list.push(notice("open", words.say("ui.weather_failed"), [english(weatherFault.message)]));
  return list;
}

function ruleNotices(words: Words, session: Session, remedies: Remedies): HTMLElement[] {
  const rules = session.rules;
  if (rules === null) return [];
  if (rules.books.length === 0) {
    return [notice("caution", words.say("ui.rules.none.title"), [words.say("ui.rules.none.text")])];
  }
  return rules.books.flatMap((book, index) => {
    const state = stateOf(session, book, index);
    const told = BOOK_NOTICES[state];
    if (told === null) return [];
    const name = pick(book.title, session.languages);
    const args = {
      book: { text: name?.text ?? book.name, ...(name === null ? {} : { lang: name.lang }) },
      day: { date: book.validTo ?? book.checked ?? "" },
    };
    const broken = state === "unreadable" || state === "missing";
    const mistakes = rules.mistakes.filter((one) => one.book === undefined || one.book === book.name);
    return [
      notice(
        told,
        written(words.pieces({ key: `ui.rules.${state}.title`, args })),
        [
          written(words.pieces({ key: `ui.rules.${state}.text`, args })),
          contact(words, book, session.languages),
        ],
        broken ? [button({ part: "button" }, remedies.loadRules, words.say("ui.again"))] : [],
        mistakes.length === 0 ? null : mistakeList(words, mistakes),
      ),
    ];
  });
}

/** Whether the book could be read decides first, then whether it holds on the day. */
function stateOf(session: Session, book: BookReport, index: number): BookState {
  if (book.state !== "read") return book.state;
  return session.visit?.books[index] ?? "in_force";
}

/** How grave each state of a rule book is; null where there is nothing to tell. */
const BOOK_NOTICES: Record<BookState, "caution" | "open" | null> = {
  in_force: null,
  expired: "caution",
  not_yet: "caution",
  review_due: "open",
  unreadable: "caution",
  missing: "caution",
};

/** Whom to ask instead of the map. */
function contact(words: Words, book: BookReport, languages: readonly string[]): HTMLElement | null {
  const authority = pick(book.authority, languages);
  if (authority === null) return null;
  const name = make("bdi", { lang: authority.lang }, authority.text);
  return make(
    "span",
    { class: "contact" },
    " ",
    words.say("ui.rules.ask"),
    " ",
    book.link === null ? name : link(book.link, name),
    book.phone === null ? "" : ", ",
    book.phone === null ? null : link(`tel:${book.phone.replaceAll(/[^+\d]/g, "")}`, book.phone),
    ".",
  );
}

/** What was odd in the stand map, for those who publish it; null where nothing was. */
export function findings(words: Words, session: Session): HTMLElement | null {
  const list: readonly Finding[] = session.stands?.findings ?? [];
  if (list.length === 0) return null;
  const n = list.reduce((sum, one) => sum + Math.max(1, one.count), 0);
  return make(
    "details",
    { class: "findings", part: "findings" },
    make("summary", {}, words.say("ui.findings.title", { n: { n } })),
    make("p", {}, words.say("ui.findings.text")),
    messages(words, list),
  );
}

/** A few mistakes stand there as they are; many open. */
function mistakeList(words: Words, list: readonly Mistake[]): HTMLElement {
  if (list.length <= FEW) return messages(words, list);
  return make(
    "details",
    { class: "mistakes" },
    make("summary", {}, words.say("ui.mistakes.title", { n: { n: list.length } })),
    messages(words, list),
  );
}

/** Messages for the people who keep the files; they are in English whatever the page's language. */
function messages(words: Words, list: readonly { message: string; severity: string }[]): HTMLElement {
  const shown = list.slice(0, MOST_LISTED);
  const rest = list.length - shown.length;
  return make(
    "ul",
    { class: "messages", tabindex: 0, role: "list", "aria-label": words.say("ui.messages") },
    ...shown.map((one) => make("li", { "data-severity": one.severity }, english(one.message))),
    rest === 0 ? null : make("li", {}, words.say("ui.more_messages", { n: { n: rest } })),
  );
}

/** The panel in the map's place when the stand map could not be read, or the engine stopped. */
export function failure(words: Words, session: Session, remedies: Remedies): HTMLElement {
  const fault = session.fault;
  const stopped = session.phase === "stopped";
  const about = fault?.about ?? "engine";
  const title = stopped ? "ui.stopped.title" : `ui.failed.${about}`;
  // What the message says already is not said twice.
  const list = [...(fault?.findings ?? []), ...(fault?.mistakes ?? [])].filter(
    (one) => fault?.message.includes(one.message) !== true,
  );
  return make(
    "div",
    { class: "failure", part: "error", role: "alert" },
    heading(words, "h2", {}, words.say(title)),
    fault === null ? null : make("p", {}, english(fault.message)),
    list.length === 0 ? null : messages(words, list),
    isLost(fault) ? make("p", {}, words.say("ui.offline.retry")) : null,
    stopped && session.stops > 1 ? make("p", {}, words.say("ui.stopped.twice")) : null,
    button(
      { part: "button", class: "main-button" },
      remedies.load,
      words.say(stopped ? "ui.start_again" : "ui.again"),
    ),
    fault === null
      ? null
      : make("p", { class: "quiet" }, words.say("ui.code", { code: { text: fault.code } })),
    make("slot", { name: "error" }),
  );
}

/** Faults of the connection. */
const LOST = new Set(["unreachable", "silent", "cut"]);

/** Whether the trouble was the connection, so that trying again may help. */
export function isLost(fault: Fault | null): boolean {
  return fault !== null && LOST.has(fault.code);
}

/** Why the map cannot run here at all; the page's own fallback stands below it. */
export function unable(words: Words, fault: Fault | null): HTMLElement {
  return make(
    "div",
    { class: "notice", "data-tone": "caution", role: "alert" },
    make("strong", {}, words.say("ui.unable.title")),
    make("p", {}, words.say("ui.unable.text")),
    fault === null ? null : make("p", { class: "quiet" }, english(fault.message)),
  );
}

/** How far the reading is, in numbers and as a bar. */
export function progress(words: Words, session: Session): HTMLElement {
  const now = session.progress;
  const bar = make("progress", { "aria-label": words.say("ui.loading.label") });
  if (now?.phase === "stands" && now.total !== undefined && now.total > 0) {
    bar.max = now.total;
    bar.value = Math.min(now.bytes, now.total);
  }
  return make(
    "div",
    { class: "loading", part: "status" },
    make("p", { class: "loading-text" }, underWay(words, now)),
    bar,
    make("p", { class: "quiet loading-count" }, now === null ? "" : counted(words, now)),
  );
}

/** What is being done, or what keeps it from going on. */
function underWay(words: Words, now: Session["progress"]): string {
  if (now?.again !== undefined) return words.say("ui.loading.again", { n: { n: now.again } });
  if (now?.waiting === true) return words.say("ui.loading.waiting");
  return words.say(`ui.loading.${now?.phase ?? "engine"}`);
}

function counted(words: Words, now: NonNullable<Session["progress"]>): string {
  if (now.phase !== "stands") return now.stands > 0 ? words.say("ui.stands", { n: { n: now.stands } }) : "";
  const megabytes = (bytes: number): string => words.number(bytes / 1_000_000, "megabyte", 1, true);
  const args = {
    bytes: { text: megabytes(now.bytes) },
    total: { text: megabytes(now.total ?? now.bytes) },
    stands: { key: "ui.stands", args: { n: { n: now.stands } } },
  };
  return words.say(now.total === undefined ? "ui.loading.read" : "ui.loading.read_of", args);
}

function notice(
  tone: "caution" | "open",
  title: Child,
  text: Child[],
  actions: HTMLElement[] = [],
  below: HTMLElement | null = null,
): HTMLElement {
  return make(
    "div",
    { class: "notice", "data-tone": tone },
    make("strong", {}, title),
    " ",
    make("span", {}, ...text),
    ...(actions.length === 0 ? [] : [" ", make("span", { class: "actions" }, ...actions)]),
    below,
  );
}
