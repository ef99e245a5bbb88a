import { withQuery } from '../router';

/** What the houses can be sorted by; the first is how they come. */
export const orders = ['known', 'more', 'name', 'rules', 'lots', 'lost'] as const;

export type Order = (typeof orders)[number];

/** What the page shows; all of it stands in the address. */
export interface HousesState {
  /** Null: every site the person sees. */
  site: string | null;
  /** Null: the current one. */
  season: string | null;
  /** An ISO week; null: the season, or, where none is named, the last finished week. */
  week: string | null;
  order: Order;
}

const uuid = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;
const isoWeek = /^\d{4}-W\d\d$/;

function fitting(value: string | null, shape: RegExp): string | null {
  return value !== null && shape.test(value) ? value : null;
}

/** Reads the address. What does not fit is left out, never guessed. */
export function readState(query: URLSearchParams): HousesState {
  return {
    site: fitting(query.get('site'), uuid),
    season: fitting(query.get('season'), uuid),
    week: fitting(query.get('week'), isoWeek),
    order: orders.find((order) => order === query.get('sort')) ?? 'known',
  };
}

/** The address of a state. */
export function addressOf({ site, season, week, order }: HousesState): string {
  return withQuery('/houses', { site, season, week, sort: order === 'known' ? null : order });
}

/** What to ask the server. */
export function questionOf({ site, season, week }: HousesState) {
  const period = week ?? (season === null ? 'latest' : null);
  return {
    ...(site !== null && { site_id: site }),
    ...(season !== null && { season_id: season }),
    ...(period !== null && { week: period }),
  };
}
