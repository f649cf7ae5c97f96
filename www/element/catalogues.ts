/**
 * The languages that the element speaks, and the words of one of them when they are needed.
 *
 * In: the catalogues of locales/, the language tags to try, best first. Out: one language's wording. English is in the
 * bundle; every other language is a file of its own, loaded when a page or a visitor asks for it. While it is on its
 * way nothing is shown, so that no page is worded twice; where it takes too long, or fails, English stands in. Left to
 * others: wording a message (words.ts), which languages to try (element.ts).
 */
import english from "../locales/en.json";
import { lookUpLanguage, type Catalogue } from "./words.ts";

/** Fetches one catalogue. */
export type Loader = () => Promise<{ default: Catalogue }>;

/** The catalogues that are loaded on demand, by language. */
export const LOADERS: Readonly<Record<string, Loader>> = {
  cs: () => import("../locales/cs.json", { with: { type: "json" } }),
  de: () => import("../locales/de.json", { with: { type: "json" } }),
  es: () => import("../locales/es.json", { with: { type: "json" } }),
  fi: () => import("../locales/fi.json", { with: { type: "json" } }),
  fr: () => import("../locales/fr.json", { with: { type: "json" } }),
  it: () => import("../locales/it.json", { with: { type: "json" } }),
  pl: () => import("../locales/pl.json", { with: { type: "json" } }),
};

/** The English wording: whole, always there, and what fills the gaps of the others. */
export const ENGLISH: Catalogue = english;

/** All languages that the element speaks. */
export const LANGUAGES: readonly string[] = ["en", ...Object.keys(LOADERS)];

/** For so long a page waits for its language before it is shown in English, in milliseconds. */
const PATIENCE = 3000;

/** The words of one language. */
export interface Wording {
  /** The language of the catalogue. */
  language: string;
  /** The tag by which numbers and dates are written: the reader's own where it is of the same language. */
  locale: string;
  catalogue: Catalogue;
}

/** The first of the tags in which the element can speak, with the language that serves it; else English. */
export function chooseLanguage(
  tags: readonly string[],
  offered: readonly string[] = LANGUAGES,
): { language: string; locale: string } {
  for (const tag of tags) {
    const language = lookUpLanguage(tag, offered);
    if (language !== null) return { language, locale: tag };
  }
  return { language: "en", locale: "en" };
}

/**
 * Gives the best wording there is to `show`: at once where it is English, else when its file has come. A file that takes
 * longer than `patience` lets English stand in until then; one that cannot be had is told, and English stays.
 * @returns ends the wait; `show` is not called any more after it
 */
export function findWording(
  tags: readonly string[],
  show: (wording: Wording) => void,
  {
    loaders = LOADERS,
    patience = PATIENCE,
    warn = (message: string): void => {
      console.warn(message);
    },
  } = {},
): () => void {
  const { language, locale } = chooseLanguage(tags, ["en", ...Object.keys(loaders)]);
  // Numbers and dates follow the words: a British reader's tag is kept for English, a Dutch one is not.
  const inEnglish: Wording = {
    language: "en",
    locale: language === "en" ? locale : "en",
    catalogue: ENGLISH,
  };
  const load = loaders[language];
  if (load === undefined) {
    show(inEnglish);
    return () => undefined;
  }
  let open = true;
  let standsIn = false;
  const timer = setTimeout(() => {
    standsIn = true;
    show(inEnglish);
  }, patience);
  const end = (): void => {
    open = false;
    clearTimeout(timer);
  };
  load().then(
    ({ default: catalogue }) => {
      if (!open) return;
      end();
      show({ language, locale, catalogue });
    },
    (error: unknown) => {
      if (!open) return;
      end();
      warn(
        `hostwood: the words for \`${language}\` could not be loaded, so English is shown; expected their file beside \`hostwood.js\` (${String(error)})`,
      );
      if (!standsIn) show(inEnglish);
    },
  );
  return end;
}
