import { signal } from '@preact/signals';

import type * as en from './en';

/** All strings of the pages in one language; English sets the shape. */
export type Words = typeof en;

/** The languages of the pages. */
export type Language = 'en' | 'es';

/** The strings fetched so far. A phone fetches only the language it shows. */
export const dictionaries = signal<Partial<Record<Language, Words>>>({});

const fetchers: Record<Language, () => Promise<Words>> = { en: () => import('./en'), es: () => import('./es') };

/** Fetches the strings of a language, unless they are there. */
export async function fetchWords(language: Language): Promise<void> {
  if (dictionaries.value[language] !== undefined) return;
  const fetched = await fetchers[language]();
  dictionaries.value = { ...dictionaries.value, [language]: fetched };
}
