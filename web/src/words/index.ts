import { computed } from '@preact/signals';

import * as en from './en';
import * as es from './es';
import { formatIn, type Format } from './format';
import { language } from './language';

/** All strings of the pages in one language; English sets the shape. */
export type Words = typeof en;

const both: Record<'en' | 'es', Words> = { en, es };

/** The strings in the language being shown: `words.value.dock.title`. */
export const words = computed<Words>(() => both[language.value]);

/** Numbers, dates and moments in the language being shown: `format.value.percent(20)`. */
export const format = computed<Format>(() => formatIn(language.value));

export { language, speak, type Language } from './language';
export type { Format, Share } from './format';
