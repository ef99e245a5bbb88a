import type { Daybook, Look } from '../contract.gen';
import type { Waiting } from '../local/db';
import { localLook } from './local-look';
import { withoutMade } from './second-look';

/** The daybook with a look in it, unless it has a newer version of it. */
export function withLook(book: Daybook, look: Look): Daybook {
  const before = book.looks.find(({ id }) => id === look.id);
  if (look.site_id !== book.site.id || (before && before.version > look.version)) return book;
  const others = book.looks.filter(({ id }) => id !== look.id);
  return { ...book, looks: look.week === book.week ? [...others, look] : others };
}

/** The daybook with the looks and second looks that wait on this phone, as if the server had them. */
export function withWaiting(book: Daybook, waiting: readonly Waiting[], who: { id: string; name: string }): Daybook {
  const newest = new Map<string, Look>();
  for (const one of waiting) {
    if (one.noun !== 'looks' || one.site_id !== book.site.id) continue;
    const look = localLook(one, book, who);
    if (look) newest.set(one.id, look);
  }
  const open = withoutMade(book, waiting);
  if (newest.size === 0) return open;
  const others = book.looks.filter(({ id, version }) => (newest.get(id)?.version ?? 0) <= version);
  const kept = new Set(others.map(({ id }) => id));
  const added = [...newest.values()].filter(({ id, week }) => !kept.has(id) && week === book.week);
  return { ...open, looks: [...others, ...added] };
}
