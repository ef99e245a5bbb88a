import { computed } from '@preact/signals';

import { dictionaries, fetchWords, hasWords, opened, type Language, type PageName, type Words } from './dictionaries';
import { formatIn, type Format } from './format';
import { language } from './language';

/**
 * The strings in the language being shown: `words.value.dock.title`. `wordsReady` comes first, and
 * `pageWordsReady` before a page: a page uses its own words and the core's, never another page's.
 */
export const words = computed<Words>(() => {
  const shown = dictionaries.value[language.value];
  if (shown.common === undefined) throw new Error(`the words of ${language.value} have not been fetched`);
  return shown as Words;
});

/** Resolves when there are words to show. Falls back on the other language if one cannot be fetched. */
export async function wordsReady(): Promise<void> {
  const first = language.peek();
  try {
    await fetchWords(first);
  } catch {
    const other: Language = first === 'en' ? 'es' : 'en';
    await fetchWords(other);
    language.value = other;
  }
}

/** Resolves when the page has its words in the language being shown; from then on no language is shown without them. Rejects when they cannot be fetched. */
export async function pageWordsReady(page: PageName): Promise<void> {
  opened.add(page);
  try {
    // The language may change while its words are on the way.
    while (!hasWords(language.peek())) await fetchWords(language.peek());
  } catch (thrown) {
    opened.delete(page); // so that other pages do not wait for words this one could not get
    throw thrown;
  }
}

/** Numbers, dates and moments in the language being shown: `format.value.percent(20)`. */
export const format = computed<Format>(() => formatIn(language.value));

export { language, speak } from './language';
export type { Language, PageName, Words } from './dictionaries';
export type { Format, Share } from './format';
