/**
 * A year of answers, month by month, and each month in words.
 *
 * In: the first day of a year and an answer a day. Out: its months, and sentences about them. Left to others: showing
 * them (year.ts).
 */
import type { Answer, YearOfStand } from "../element/protocol.ts";

/** Each answer in a word or two. */
export const WORDS: Record<Answer, string> = {
  closed: "closed",
  over: "over a limit",
  breach: "against a rule",
  need: "permit or consent first",
  not_known: "not known",
  limits: "with limits",
  no_rule: "no rule found",
  free: "free by a written rule",
};

/** One month: its name, its first day, and the answers of its days. */
export interface Month {
  label: string;
  first: string;
  answers: Answer[];
}

/** The months of a year with the answers of their days. */
export function monthsOf(year: YearOfStand): Month[] {
  const name = new Intl.DateTimeFormat("en-GB", { month: "long", timeZone: "UTC" });
  const months: Month[] = [];
  const date = new Date(`${year.from}T00:00:00Z`);
  for (const answer of year.answers) {
    const label = name.format(date);
    const last = months.at(-1);
    if (last?.label === label) last.answers.push(answer);
    else months.push({ label, first: date.toISOString().slice(0, 10), answers: [answer] });
    date.setUTCDate(date.getUTCDate() + 1);
  }
  return months;
}

/** What a month's days are like: `closed on 1–7 and 14, with limits on the other days`. */
export function sentence(answers: readonly Answer[]): string {
  const kinds = [...new Set(answers)];
  const [only] = kinds;
  if (kinds.length === 1 && only !== undefined) return `${WORDS[only]} on every day`;
  const count = (kind: Answer): number => answers.filter((one) => one === kind).length;
  // What holds on most days comes last and needs no list of days.
  kinds.sort((one, other) => count(one) - count(other));
  return kinds
    .map((kind, place) =>
      place === kinds.length - 1
        ? `${WORDS[kind]} on the other days`
        : `${WORDS[kind]} on ${stretches(answers, kind)}`,
    )
    .join(", ");
}

/** The days with one answer, in stretches: `1–7 and 14`. */
function stretches(answers: readonly Answer[], kind: Answer): string {
  const found: string[] = [];
  for (let from = 0; from < answers.length; from += 1) {
    if (answers[from] !== kind) continue;
    let to = from;
    while (answers[to + 1] === kind) to += 1;
    found.push(from === to ? String(from + 1) : `${String(from + 1)}–${String(to + 1)}`);
    from = to;
  }
  return new Intl.ListFormat("en-GB", { type: "conjunction" }).format(found);
}
