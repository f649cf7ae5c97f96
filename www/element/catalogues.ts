/**
 * The languages that the element speaks.
 *
 * In: the catalogues of locales/. Out: one catalogue a language. English is whole; others may have gaps.
 */
import english from "../locales/en.json";
import type { Catalogue } from "./words.ts";

/** Catalogue by language tag. */
export const CATALOGUES: Readonly<Record<string, Catalogue>> = { en: english };
