import { effect, signal } from '@preact/signals';

import { fetchWords, hasWords, type Language } from './dictionaries';

const key = 'benchtrail.language';

function kept(): Language | null {
  try {
    const value = localStorage.getItem(key);
    return value === 'en' || value === 'es' ? value : null;
  } catch {
    return null; // no storage: the language lasts as long as the page
  }
}

function preferred(): Language {
  return typeof navigator !== 'undefined' && /^es\b/i.test(navigator.language) ? 'es' : 'en';
}

/** The language being shown. Change it with `speak`. */
export const language = signal<Language>(kept() ?? preferred());

function show(next: Language): void {
  if (hasWords(next)) {
    language.value = next;
    return;
  }
  fetchWords(next).then(
    () => { language.value = next; },
    () => undefined, // no network: the page goes on in the language it has
  );
}

/** Switches the language and remembers the choice on this device. */
export function speak(next: Language): void {
  show(next);
  try {
    localStorage.setItem(key, next);
  } catch {
    // shown all the same
  }
}

/** Takes the language of the account, unless someone chose one on this device. */
export function speakAsAccount(next: string): void {
  if (kept() === null && (next === 'en' || next === 'es')) show(next);
}

effect(() => {
  if (typeof document !== 'undefined') document.documentElement.lang = language.value;
});
