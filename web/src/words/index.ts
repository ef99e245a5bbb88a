import { computed } from '@preact/signals';

import { dictionaries, fetchWords, type Language, type Words } from './dictionaries';
import { formatIn, type Format } from './format';
import { language } from './language';

/** The strings in the language being shown: `words.value.dock.title`. `wordsReady` comes first. */
export const words = computed<Words>(() => {
  const shown = dictionaries.value[language.value];
  if (shown === undefined) throw new Error(`the words of ${language.value} have not been fetched`);
  return shown;
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

/** Numbers, dates and moments in the language being shown: `format.value.percent(20)`. */
export const format = computed<Format>(() => formatIn(language.value));

export { language, speak } from './language';
export type { Language, Words } from './dictionaries';
export type { Format, Share } from './format';
