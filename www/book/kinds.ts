/**
 * What the form asks about each kind of rule.
 *
 * In: nothing; these are tables. Out: for each kind its name in plain words, what it is for, the fields of its form, and
 * how a new rule of that kind begins. Kinds without fields say what they say in their text alone. Left to others: the
 * controls (controls.ts), checking what is written (the engine).
 */
import type { Json, Way } from "./reading.ts";

/** One of a closed list of words: as the file has it, and as the form says it. */
export type Option = readonly [word: string, label: string];

/** How a value is asked for. */
export type Control =
  | { is: "text" | "day" | "clock" | "days_of_month" | "amount" | "texts" | "flag" | "dates" }
  | { is: "whole"; least: number; most: number }
  | { is: "choice"; options: readonly Option[] }
  | { is: "words"; options: readonly Option[] }
  | { is: "opening"; of: "year" | "hours" }
  | { is: "window" }
  | { is: "zones" | "sources" | "rules" | "sets" | "limit" | "place" }
  | { is: "containers" };

/** One question of the form. `way` leads from the rule, or from the book, to the value. */
export interface Field {
  way: Way;
  label: string;
  hint?: string;
  control: Control;
}

/** One kind of rule. */
export interface RuleKind {
  word: string;
  label: string;
  says: string;
  /** What a new rule of this kind holds under the kind's own name; none where its text says all. */
  start?: { [key: string]: Json };
  fields: readonly Field[];
}

/** A group of kinds in the list from which a new rule is chosen. */
export interface KindGroup {
  label: string;
  kinds: readonly RuleKind[];
}

export const UNITS: readonly Option[] = [
  ["kg", "kilograms"],
  ["g", "grams"],
  ["lb_av", "pounds"],
  ["L", "litres"],
  ["gal_us", "US gallons"],
  ["qt_us", "US quarts"],
  ["piece", "pieces"],
];

const PER: readonly Option[] = [
  ["person", "each person"],
  ["group", "each group"],
];

const PERIODS: readonly Option[] = [
  ["trip", "a trip"],
  ["day", "a day"],
  ["week", "a week"],
  ["season", "a season"],
  ["year", "a year"],
];

const WEEKDAYS: readonly Option[] = [
  ["monday", "Monday"],
  ["tuesday", "Tuesday"],
  ["wednesday", "Wednesday"],
  ["thursday", "Thursday"],
  ["friday", "Friday"],
  ["saturday", "Saturday"],
  ["sunday", "Sunday"],
];

const ACTS: readonly Option[] = [
  ["collect", "collecting"],
  ["own", "owning"],
  ["carry", "carrying"],
  ["sell", "selling"],
  ["harm", "harming"],
];

const COUNTS: readonly Option[] = [
  ["pieces", "fruit bodies"],
  ["pieces_of_each_kind", "fruit bodies of each kind"],
  ["kinds", "different kinds"],
  ["days", "days of collecting"],
];

const LENGTHS: readonly Option[] = [
  ["mm", "millimetres"],
  ["cm", "centimetres"],
  ["m", "metres"],
  ["in", "inches"],
];

const MEASURES: readonly Option[] = [
  ["cap", "width of the cap"],
  ["height", "height"],
  ["width", "width"],
];

const QUOTAS: readonly Option[] = [
  ["own", "as their own amount"],
  ["shared", "towards the amount of the grown-up"],
  ["not_stated", "the law does not say"],
];

const TOOLS: readonly Option[] = [
  ["rake", "rake"],
  ["hook", "hook"],
  ["hoe", "hoe"],
  ["shovel", "shovel"],
  ["trowel", "trowel"],
  ["fork", "fork"],
  ["stick", "stick"],
  ["knife", "knife"],
  ["scissors", "scissors"],
];

const HANDLINGS: readonly Option[] = [
  ["clean_on_the_spot", "clean on the spot"],
  ["keep_whole", "keep so that the kind can be told"],
  ["halve", "cut in half"],
  ["cut", "cut the stem"],
  ["take_whole", "take out whole"],
  ["close_the_hole", "close the hole"],
  ["process", "work up on the spot"],
];

const within = (kind: string, name: string): Way => [kind, name];

function amountFields(kind: string): Field[] {
  return [
    { way: within(kind, "amount"), label: "Amount", hint: "Such as 2 or 0.5", control: { is: "amount" } },
    { way: within(kind, "unit"), label: "Unit", control: { is: "choice", options: UNITS } },
  ];
}

function countFields(kind: string): Field[] {
  return [
    { way: within(kind, "per"), label: "Counted for", control: { is: "choice", options: PER } },
    { way: within(kind, "period"), label: "Counted over", control: { is: "choice", options: PERIODS } },
  ];
}

function dayFields(kind: string): Field[] {
  return [
    {
      way: within(kind, "weekdays"),
      label: "Days of the week",
      control: { is: "words", options: WEEKDAYS },
    },
    {
      way: within(kind, "days_of_month"),
      label: "Days of the month",
      hint: "Such as 1-10 or 1,15",
      control: { is: "days_of_month" },
    },
    {
      way: within(kind, "parity"),
      label: "Odd or even dates",
      control: {
        is: "choice",
        options: [
          ["odd", "odd dates"],
          ["even", "even dates"],
        ],
      },
    },
    {
      way: within(kind, "dates"),
      label: "Single dates",
      hint: "One a line, such as 2026-11-01",
      control: { is: "dates" },
    },
  ];
}

function dutyFields(kind: string): Field[] {
  return [
    { way: within(kind, "must"), label: "This must be done", control: { is: "words", options: HANDLINGS } },
    {
      way: within(kind, "must_not"),
      label: "This must not be done",
      control: { is: "words", options: HANDLINGS },
    },
  ];
}

const words = (word: string, label: string, says: string): RuleKind => ({ word, label, says, fields: [] });

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
        fields: [...amountFields("quantity"), ...countFields("quantity")],
      },
      {
        word: "sub_limit",
        label: "A part of another limit",
        says: "Of the amount of another rule, only so much may be of these kinds together.",
        start: { of: "", taxa: "", amount: "1", unit: "kg" },
        fields: [
          { way: within("sub_limit", "of"), label: "Part of the limit", control: { is: "limit" } },
          { way: within("sub_limit", "taxa"), label: "Of these kinds", control: { is: "sets" } },
          ...amountFields("sub_limit"),
        ],
      },
      {
        word: "side_by_side",
        label: "Limits that add up",
        says: "Several amounts for several kinds, each by itself. The amounts are written in the text.",
        start: { parts: [], per: "person", period: "day" },
        fields: [...countFields("side_by_side")],
      },
      {
        word: "alternative",
        label: "One of several amounts",
        says: "Either one amount or another. The amounts are written in the text.",
        start: { parts: [], per: "person", period: "day" },
        fields: [...countFields("alternative")],
      },
      words("unlimited", "No limit", "The law says in writing that there is no limit."),
      {
        word: "count",
        label: "Number of fruit bodies or kinds",
        says: "So many fruit bodies, kinds or days, and no more.",
        start: { most: 20, counts: "pieces", per: "person", period: "day" },
        fields: [
          { way: within("count", "most"), label: "Most", control: { is: "whole", least: 0, most: 100_000 } },
          {
            way: within("count", "counts"),
            label: "What is counted",
            control: { is: "choice", options: COUNTS },
          },
          ...countFields("count"),
        ],
      },
      words("qualitative", "An amount in words", "Such as “for one's own need”."),
      {
        word: "fraction_left",
        label: "A share must stay",
        says: "Of what stands in one place, a share must be left.",
        start: { leave: "1/3" },
        fields: [
          {
            way: within("fraction_left", "leave"),
            label: "Share that stays",
            hint: "Such as 1/3",
            control: { is: "text" },
          },
        ],
      },
      {
        word: "overweight_exception",
        label: "One big fruit body may weigh more",
        says: "A single fruit body, or a clump, may be heavier than the limit.",
        start: { trigger: "specimen", alone: true },
        fields: [
          {
            way: within("overweight_exception", "trigger"),
            label: "What may be heavier",
            control: {
              is: "choice",
              options: [
                ["specimen", "one fruit body"],
                ["clump", "one clump"],
              ],
            },
          },
          {
            way: within("overweight_exception", "alone"),
            label: "It must be the whole harvest",
            control: { is: "flag" },
          },
        ],
      },
      {
        word: "group_quota",
        label: "An amount for a group",
        says: "What a group may take together, or each in a group up to a sum.",
        start: { amount: "5", unit: "kg", period: "day" },
        fields: [
          ...amountFields("group_quota"),
          {
            way: within("group_quota", "period"),
            label: "Counted over",
            control: { is: "choice", options: PERIODS },
          },
          {
            way: within("group_quota", "each"),
            label: "The amount is for each person of the group",
            control: { is: "flag" },
          },
          {
            way: within("group_quota", "at_most"),
            label: "And no more than this together",
            control: { is: "amount" },
          },
          {
            way: within("group_quota", "more_than"),
            label: "Only for groups of more than",
            control: { is: "whole", least: 1, most: 1000 },
          },
        ],
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
        fields: [{ way: ["season"], label: "Season", control: { is: "opening", of: "year" } }],
      },
      {
        word: "closed_days",
        label: "Closed days",
        says: "Days without collecting: of the week, of the month, or single dates.",
        start: { weekdays: ["sunday"] },
        fields: dayFields("closed_days"),
      },
      {
        word: "hours",
        label: "Hours of the day",
        says: "Times of the day with or without collecting, by the clock or by the sun.",
        start: { open: { from: "07:00", to: "19:00" } },
        fields: [{ way: ["hours"], label: "Hours", control: { is: "opening", of: "hours" } }],
      },
      {
        word: "suspension",
        label: "Closed by announcement",
        says: "Closed on days that the authority announces, such as hunts or fire risk.",
        start: {},
        fields: [
          {
            way: within("suspension", "announced"),
            label: "Days announced",
            hint: "One a line, such as 2026-11-01",
            control: { is: "dates" },
          },
          {
            way: within("suspension", "known_until"),
            label: "All announcements are known until",
            control: { is: "day" },
          },
          {
            way: within("suspension", "link"),
            label: "Where announcements are published",
            control: { is: "text" },
          },
        ],
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
        fields: [
          {
            way: within("closed_zone", "forbids"),
            label: "Forbidden there",
            control: {
              is: "words",
              options: [
                ["collect", "collecting"],
                ["enter", "entering or leaving the paths"],
              ],
            },
          },
        ],
      },
      {
        word: "distance",
        label: "A distance to keep",
        says: "No farther than, or no nearer than, so many metres from a place.",
        start: { within: 50 },
        fields: [
          {
            way: within("distance", "within"),
            label: "No farther than (metres)",
            control: { is: "whole", least: 1, most: 10_000 },
          },
          {
            way: within("distance", "beyond"),
            label: "No nearer than (metres)",
            control: { is: "whole", least: 1, most: 10_000 },
          },
          { way: within("distance", "near"), label: "From this place", control: { is: "place" } },
        ],
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
        fields: [
          {
            way: within("protected_taxon", "forbids"),
            label: "Forbidden",
            control: {
              is: "words",
              options: ACTS,
            },
          },
        ],
      },
      words(
        "allow_list",
        "Only listed kinds",
        "The form asks for its words; what else it holds is written in the text.",
      ),
      {
        word: "min_size",
        label: "A least size",
        says: "Smaller fruit bodies must stay.",
        start: { at_least: "4", unit: "cm", measure: "cap" },
        fields: [
          { way: within("min_size", "at_least"), label: "At least", control: { is: "amount" } },
          { way: within("min_size", "unit"), label: "Unit", control: { is: "choice", options: LENGTHS } },
          {
            way: within("min_size", "measure"),
            label: "What is measured",
            control: { is: "choice", options: MEASURES },
          },
          {
            way: within("min_size", "clumps_exempt"),
            label: "Does not hold for clumps",
            control: { is: "flag" },
          },
        ],
      },
      {
        word: "life_stage",
        label: "Too young or too old",
        says: "Stages of growth that must stay.",
        start: { forbidden: ["too_young"] },
        fields: [
          {
            way: within("life_stage", "forbidden"),
            label: "These stay",
            control: {
              is: "words",
              options: [
                ["closed_egg", "closed eggs"],
                ["too_young", "too young"],
                ["over_ripe", "over-ripe"],
                ["maggoty", "maggoty"],
              ],
            },
          },
        ],
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
        fields: [
          {
            way: within("container", "required"),
            label: "It must be",
            control: {
              is: "words",
              options: [
                ["rigid", "rigid"],
                ["perforated", "open to the air"],
                ["open", "without a closed lid"],
              ],
            },
          },
          { way: within("container", "forbidden"), label: "Forbidden", control: { is: "containers" } },
        ],
      },
      {
        word: "tool",
        label: "Tools",
        says: "Tools that are forbidden, or the only ones that may be used.",
        start: { forbidden: ["rake", "hook"] },
        fields: [
          { way: within("tool", "forbidden"), label: "Forbidden", control: { is: "words", options: TOOLS } },
          { way: within("tool", "only"), label: "Only these", control: { is: "words", options: TOOLS } },
          {
            way: within("tool", "carrying"),
            label: "They may not even be carried",
            control: { is: "flag" },
          },
        ],
      },
      {
        word: "method",
        label: "How to take a fruit body",
        says: "By cutting, by hand, and what to leave behind.",
        start: { must: ["cut"] },
        fields: dutyFields("method"),
      },
      {
        word: "processing",
        label: "What to do on the spot",
        says: "Such as cleaning, or keeping it so that the kind can be told.",
        start: { must: ["clean_on_the_spot"] },
        fields: dutyFields("processing"),
      },
      {
        word: "transport",
        label: "Carrying and owning",
        says: "What may be carried, owned or sold, and with what proof.",
        start: { acts: ["carry"] },
        fields: [
          {
            way: within("transport", "acts"),
            label: "What is bound",
            control: { is: "words", options: ACTS },
          },
          ...amountFields("transport"),
          { way: within("transport", "per"), label: "Counted for", control: { is: "choice", options: PER } },
          { way: within("transport", "proof"), label: "Proof of origin is needed", control: { is: "flag" } },
        ],
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
        fields: [
          { way: within("permit", "issuer"), label: "Who gives it", control: { is: "texts" } },
          { way: within("permit", "where"), label: "Where to get it", control: { is: "texts" } },
          { way: within("permit", "link"), label: "Web address", control: { is: "text" } },
          { way: within("permit", "price"), label: "What it costs", control: { is: "text" } },
        ],
      },
      {
        word: "owner_consent",
        label: "The owner's consent",
        says: "Whether the owner has to be asked.",
        start: { consent: "needed" },
        fields: [
          {
            way: within("owner_consent", "consent"),
            label: "Consent",
            control: {
              is: "choice",
              options: [
                ["needed", "has to be asked for"],
                ["until_a_sign", "is taken as given until a sign says no"],
                ["presumed", "is taken as given"],
              ],
            },
          },
        ],
      },
      {
        word: "who_may",
        label: "Who may collect",
        says: "Only some people may. It begins with those who live there; others are written in the text.",
        start: { only: [{ resident: true }] },
        fields: [],
      },
      {
        word: "minor",
        label: "Children and young people",
        says: "Below this age only with a grown-up.",
        start: { below: 14 },
        fields: [
          {
            way: within("minor", "below"),
            label: "Below this age",
            control: { is: "whole", least: 1, most: 30 },
          },
          {
            way: within("minor", "quota"),
            label: "What they take counts",
            control: { is: "choice", options: QUOTAS },
          },
        ],
      },
      {
        word: "purpose",
        label: "For one's own use only",
        says: "Nothing may be collected for sale.",
        start: { only: "own_use" },
        fields: [],
      },
      {
        word: "group_size",
        label: "Largest group",
        says: "How many people may collect together.",
        start: { largest: 5 },
        fields: [
          {
            way: within("group_size", "largest"),
            label: "Most people",
            control: { is: "whole", least: 1, most: 1000 },
          },
        ],
      },
      words("event_ban", "No organised events", "Organised collecting is forbidden."),
      {
        word: "exemption",
        label: "Exemption",
        says: "Lifts other rules for some people, places or times. It must name the rules that it lifts.",
        start: {},
        fields: [{ way: ["exempts"], label: "Lifts these rules", control: { is: "rules" } }],
      },
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

const yes = (way: Way, label: string): Field => ({
  way,
  label,
  control: {
    is: "choice",
    options: [
      ["true", "yes"],
      ["false", "no"],
    ],
  },
});

/** What every rule may be asked: where, when and for whom it holds. */
export const CONDITIONS: readonly Field[] = [
  {
    way: ["where"],
    label: "Only in these places",
    hint: "None ticked: everywhere",
    control: { is: "zones" },
  },
  { way: ["when", "window"], label: "Only at this time of the year", control: { is: "window" } },
  {
    way: ["when", "weekdays"],
    label: "Only on these days of the week",
    control: { is: "words", options: WEEKDAYS },
  },
  yes(["who", "resident"], "Only if the visitor lives there"),
  yes(["who", "owner"], "Only if the visitor owns the wood"),
  yes(["who", "permit"], "Only if the visitor has a permit"),
  {
    way: ["who", "age", "below"],
    label: "Only below this age",
    control: { is: "whole", least: 1, most: 120 },
  },
  {
    way: ["party", "more_than"],
    label: "Only for groups of more than",
    control: { is: "whole", least: 0, most: 1000 },
  },
  { way: ["valid_from"], label: "In force from", control: { is: "day" } },
  { way: ["valid_to"], label: "In force until", control: { is: "day" } },
];

/** What the rule is about, beside its own fields. */
export const ABOUT: readonly Field[] = [
  { way: ["text"], label: "What the visitor reads", control: { is: "texts" } },
  { way: ["sources"], label: "Where it is written", control: { is: "sources" } },
];

/** Which kinds of fungi the rule is about; a part of a limit names them beside its amount. */
export const TAXA: Field = {
  way: ["taxa"],
  label: "Only for these kinds",
  control: { is: "sets" },
};

/** What the form asks about the book itself. */
export const BOOK_FIELDS: readonly Field[] = [
  { way: ["region", "names"], label: "Name of the region", control: { is: "texts" } },
  {
    way: ["region", "time_zone"],
    label: "Time zone",
    hint: "Such as Europe/Vienna",
    control: { is: "text" },
  },
  { way: ["authority", "name"], label: "Authority", control: { is: "texts" } },
  { way: ["authority", "link"], label: "Its web address", control: { is: "text" } },
  { way: ["authority", "phone"], label: "Its telephone number", control: { is: "text" } },
  { way: ["poison_centre", "name"], label: "Poison centre", control: { is: "texts" } },
  { way: ["poison_centre", "phone"], label: "Its telephone number", control: { is: "text" } },
  { way: ["emergency"], label: "Emergency number", control: { is: "text" } },
  {
    way: ["checked"],
    label: "Last held against the law on",
    control: { is: "day" },
  },
  { way: ["review_by"], label: "To be looked at again by", control: { is: "day" } },
  { way: ["valid_from"], label: "In force from", control: { is: "day" } },
  { way: ["valid_to"], label: "In force until", control: { is: "day" } },
];

/** What the form asks about one source. */
export const SOURCE_FIELDS: readonly Field[] = [
  { way: ["title"], label: "Title", control: { is: "text" } },
  {
    way: ["kind"],
    label: "What it is",
    control: {
      is: "choice",
      options: [
        ["official", "the law itself, or an official text"],
        ["secondary", "a page or leaflet about it"],
      ],
    },
  },
  { way: ["citation"], label: "How it is cited", control: { is: "text" } },
  { way: ["article"], label: "Article", control: { is: "text" } },
  { way: ["link"], label: "Web address", control: { is: "text" } },
  { way: ["issued"], label: "Issued on", control: { is: "day" } },
  { way: ["checked"], label: "Read on", control: { is: "day" } },
];
