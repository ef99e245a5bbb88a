import { signal } from '@preact/signals';

import type * as en from './en';

/** All strings of the pages in one language; English sets the shape. */
export type Words = typeof en;

/** The languages of the pages. */
export type Language = 'en' | 'es';

/** The words that are fetched together: `core` before the first page, the others with their page. */
interface Parts {
  core: Pick<Words, 'common' | 'problems' | 'signIn'>;
  dock: Pick<Words, 'dock'>;
  walk: Pick<Words, 'walk'>;
  trends: Pick<Words, 'trends' | 'advice' | 'origin'>;
  arrivals: Pick<Words, 'arrivals'>;
  map: Pick<Words, 'map'>;
  trail: Pick<Words, 'trail'>;
  setup: Pick<Words, 'setup'>;
  imports: Pick<Words, 'imports'>;
  labels: Pick<Words, 'labels'>;
  sheets: Pick<Words, 'sheets'>;
  scan: Pick<Words, 'scan'>;
  phone: Pick<Words, 'phone'>;
  sums: Pick<Words, 'sums'>;
  houses: Pick<Words, 'houses'>;
  season: Pick<Words, 'season' | 'origin'>;
  /** It leads into Trends and speaks as it does, so all words of that page come with it. */
  week: Pick<Words, 'week' | 'advice' | 'origin' | 'trends'>;
}

/** A page with words of its own. */
export type PageName = Exclude<keyof Parts, 'core'>;

const fetchers: Record<Language, { [Part in keyof Parts]: () => Promise<Parts[Part]> }> = {
  en: {
    core: () => import('./en/core'),
    dock: () => import('./en/dock'),
    walk: () => import('./en/walk'),
    trends: () => import('./en/trends-page'),
    arrivals: () => import('./en/arrivals'),
    map: () => import('./en/map'),
    trail: () => import('./en/trail'),
    setup: () => import('./en/setup'),
    imports: () => import('./en/imports'),
    labels: () => import('./en/labels'),
    sheets: () => import('./en/sheets'),
    scan: () => import('./en/scan'),
    phone: () => import('./en/phone'),
    sums: () => import('./en/sums'),
    houses: () => import('./en/houses'),
    season: () => import('./en/season-page'),
    week: () => import('./en/week-page'),
  },
  es: {
    core: () => import('./es/core'),
    dock: () => import('./es/dock'),
    walk: () => import('./es/walk'),
    trends: () => import('./es/trends-page'),
    arrivals: () => import('./es/arrivals'),
    map: () => import('./es/map'),
    trail: () => import('./es/trail'),
    setup: () => import('./es/setup'),
    imports: () => import('./es/imports'),
    labels: () => import('./es/labels'),
    sheets: () => import('./es/sheets'),
    scan: () => import('./es/scan'),
    phone: () => import('./es/phone'),
    sums: () => import('./es/sums'),
    houses: () => import('./es/houses'),
    season: () => import('./es/season-page'),
    week: () => import('./es/week-page'),
  },
};

/** The strings fetched so far. A phone fetches only the language it shows and the pages it opens. */
export const dictionaries = signal<Readonly<Record<Language, Partial<Words>>>>({ en: {}, es: {} });

/** The pages opened so far: a language is shown only once it has the words of each. */
export const opened = new Set<PageName>();

function missing(language: Language): (keyof Parts)[] {
  const there = dictionaries.peek()[language];
  const pages = [...opened].filter((page) => there[page] === undefined);
  return there.common === undefined ? ['core', ...pages] : pages;
}

/** Whether a language can be shown: the core and all opened pages have their words. */
export function hasWords(language: Language): boolean {
  return missing(language).length === 0;
}

/** Fetches what a language still lacks to be shown. */
export async function fetchWords(language: Language): Promise<void> {
  for (let parts = missing(language); parts.length > 0; parts = missing(language)) {
    const fetched = await Promise.all(parts.map((part) => fetchers[language][part]()));
    const words = fetched.reduce<Partial<Words>>((all, part) => ({ ...all, ...part }), dictionaries.peek()[language]);
    dictionaries.value = { ...dictionaries.peek(), [language]: words };
  }
}
