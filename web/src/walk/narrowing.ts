import { signal } from '@preact/signals';

import type { Daybook } from '../contract.gen';
import { session } from '../session';
import type { Narrowing } from './round';

const key = 'benchtrail.walk.narrowing';

function kept(): Record<string, Narrowing> {
  try {
    const value: unknown = JSON.parse(localStorage.getItem(key) ?? '{}');
    return typeof value === 'object' && value !== null ? (value as Record<string, Narrowing>) : {};
  } catch {
    return {};
  }
}

const chosen = signal<Record<string, Narrowing>>(kept());

/** The part of the round being walked at a site: as chosen, else one's own section. */
export function narrowingFor(book: Daybook): Narrowing {
  const wanted = chosen.value[book.site.id];
  const mine = book.sections.find((section) => section.grower_id === session.value?.person.id)?.id ?? null;
  if (!wanted) return { section: mine, house: null, left: false };
  const known = (id: string | null, among: readonly { id: string }[]): string | null => (among.some((one) => one.id === id) ? id : null);
  return { section: known(wanted.section, book.sections), house: known(wanted.house, book.houses), left: wanted.left };
}

/** Narrows the round at a site, and remembers it on this device. */
export function narrow(book: Daybook, to: Narrowing): void {
  chosen.value = { ...chosen.peek(), [book.site.id]: to };
  try {
    localStorage.setItem(key, JSON.stringify(chosen.peek()));
  } catch {
    // lasts as long as the page
  }
}
