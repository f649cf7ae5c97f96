/**
 * The kinds of rule in plain words, in the groups in which they are offered.
 *
 * In: nothing; these are tables. Out: for each kind its name, what it is for, and how a new rule of that kind begins.
 * Left to others: which fields a kind has (schema.ts), what the form calls them (labels.ts).
 */
import type { Json } from "./reading.ts";

/** One kind of rule. */
export interface RuleKind {
  word: string;
  label: string;
  says: string;
  /** What a new rule of this kind holds under the kind's own name; none where its text says all. */
  start?: { [key: string]: Json };
}

/** A group of kinds in the list from which a new rule is chosen. */
export interface KindGroup {
  label: string;
  kinds: readonly RuleKind[];
}

const words = (word: string, label: string, says: string): RuleKind => ({ word, label, says });

/** All kinds, in the groups in which they are offered. */
export const KIND_GROUPS: readonly KindGroup[] = [
  {
    label: "Amounts",
    kinds: [
      {
        word: "quantity",
        label: "Most that may be taken",
        says: "An amount for each person or group, over a day or another time.",
        start: { amount: "2", unit: "kg", per: "person", period: "day" },
      },
      {
        word: "sub_limit",
        label: "A part of another limit",
        says: "Of the amount of another rule, only so much may be of these kinds together.",
        start: { of: "", taxa: "", amount: "1", unit: "kg" },
      },
      {
        word: "side_by_side",
        label: "Limits that add up",
        says: "Several amounts for several kinds, each by itself; together they add up.",
        start: { parts: [{ taxa: "", amount: "1", unit: "kg" }], per: "person", period: "day" },
      },
      {
        word: "alternative",
        label: "One of several amounts",
        says: "Either one amount or another; the law does not say whether they add up.",
        start: { parts: [{ taxa: "", amount: "1", unit: "kg" }], per: "person", period: "day" },
      },
      words("unlimited", "No limit", "The law says in writing that there is no limit."),
      {
        word: "count",
        label: "Number of fruit bodies or kinds",
        says: "So many fruit bodies, kinds or days, and no more.",
        start: { most: 20, counts: "pieces", per: "person", period: "day" },
      },
      words("qualitative", "An amount in words", "Such as “for one's own need”."),
      {
        word: "fraction_left",
        label: "A share must stay",
        says: "Of what stands in one place, a share must be left.",
        start: { leave: "1/3" },
      },
      {
        word: "overweight_exception",
        label: "One big fruit body may weigh more",
        says: "A single fruit body, or a clump, may be heavier than the limit.",
        start: { trigger: "specimen", alone: true },
      },
      {
        word: "group_quota",
        label: "An amount for a group",
        says: "What a group may take together, or each in a group up to a sum.",
        start: { amount: "5", unit: "kg", period: "day" },
      },
    ],
  },
  {
    label: "Days, hours and times of the year",
    kinds: [
      {
        word: "season",
        label: "Open or closed season",
        says: "A time of the year with or without collecting.",
        start: { closed: { from: "04-01", to: "06-30" } },
      },
      {
        word: "closed_days",
        label: "Closed days",
        says: "Days without collecting: of the week, of the month, or single dates.",
        start: { weekdays: ["sunday"] },
      },
      {
        word: "hours",
        label: "Hours of the day",
        says: "Times of the day with or without collecting, by the clock or by the sun.",
        start: { open: { from: "07:00", to: "19:00" } },
      },
      {
        word: "suspension",
        label: "Closed by announcement",
        says: "Closed on days that the authority announces, such as hunts or fire risk.",
        start: {},
      },
    ],
  },
  {
    label: "Places",
    kinds: [
      {
        word: "closed_zone",
        label: "Closed place",
        says: "A place in which nobody may collect, or which nobody may enter.",
        start: { forbids: ["collect"] },
      },
      {
        word: "distance",
        label: "A distance to keep",
        says: "No farther than, or no nearer than, so many metres from a place.",
        start: { within: 50 },
      },
    ],
  },
  {
    label: "Kinds of fungi",
    kinds: [
      {
        word: "protected_taxon",
        label: "Protected kinds",
        says: "Kinds that must stay where they are.",
        start: { forbids: ["collect"] },
      },
      words("allow_list", "Only listed kinds", "Nothing but the kinds of one list may be taken."),
      {
        word: "min_size",
        label: "A least size",
        says: "Smaller fruit bodies must stay.",
        start: { at_least: "4", unit: "cm", measure: "cap" },
      },
      {
        word: "life_stage",
        label: "Too young or too old",
        says: "Stages of growth that must stay.",
        start: { forbidden: ["too_young"] },
      },
      words("knowledge", "Only kinds one knows", "Only kinds that the collector knows may be taken."),
    ],
  },
  {
    label: "Gear and handling",
    kinds: [
      {
        word: "container",
        label: "Container",
        says: "What the harvest must be carried in, and what is forbidden.",
        start: { required: ["perforated"], forbidden: [{ material: "plastic", form: "bag" }] },
      },
      {
        word: "tool",
        label: "Tools",
        says: "Tools that are forbidden, or the only ones that may be used.",
        start: { forbidden: ["rake", "hook"] },
      },
      {
        word: "method",
        label: "How to take a fruit body",
        says: "By cutting, by hand, and what to leave behind.",
        start: { must: ["cut"] },
      },
      {
        word: "processing",
        label: "What to do on the spot",
        says: "Such as cleaning, or keeping it so that the kind can be told.",
        start: { must: ["clean_on_the_spot"] },
      },
      {
        word: "transport",
        label: "Carrying and owning",
        says: "What may be carried, owned or sold, and with what proof.",
        start: { acts: ["carry"] },
      },
      words("destruction", "No wilful harm", "No fruit body may be destroyed on purpose."),
      words("vehicle", "No motor vehicles", "Off the open roads."),
    ],
  },
  {
    label: "Who, and with what leave",
    kinds: [
      {
        word: "permit",
        label: "Permit",
        says: "Collecting needs a permit.",
        start: {},
      },
      {
        word: "owner_consent",
        label: "The owner's consent",
        says: "Whether the owner has to be asked.",
        start: { consent: "needed" },
      },
      {
        word: "who_may",
        label: "Who may collect",
        says: "Only some people may, such as those who live there.",
        start: { only: [{ resident: true }] },
      },
      {
        word: "minor",
        label: "Children and young people",
        says: "Below this age only with a grown-up.",
        start: { below: 14 },
      },
      {
        word: "purpose",
        label: "For one's own use only",
        says: "Nothing may be collected for sale.",
        start: { only: "own_use" },
      },
      {
        word: "group_size",
        label: "Largest group",
        says: "How many people may collect together.",
        start: { largest: 5 },
      },
      words("event_ban", "No organised events", "Organised collecting is forbidden."),
      words(
        "exemption",
        "Exemption",
        "Lifts other rules for some people, places or times. It must name the rules that it lifts.",
      ),
    ],
  },
  {
    label: "Not law, or nothing found",
    kinds: [
      words("tolerance", "Practice", "What is put up with; it binds nobody."),
      words("advice", "Advice", "Shown apart from the law."),
      words("penalty", "What a breach costs", "For information."),
      words("no_rule", "Checked, no rule found", "The authority has looked and found no rule."),
    ],
  },
];

/** Every kind by its word. */
export const KINDS: ReadonlyMap<string, RuleKind> = new Map(
  KIND_GROUPS.flatMap((group) => group.kinds.map((kind): [string, RuleKind] => [kind.word, kind])),
);
