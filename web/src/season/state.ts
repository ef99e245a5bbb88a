import type { ReviewBy } from '../contract.gen';
import { withQuery } from '../router';

export const groupings = ['supplier', 'farm', 'cultivar', 'arrival', 'house'] as const satisfies readonly ReviewBy[];
export const orders = ['peak', 'loss', 'over', 'claims', 'name'] as const;

export type Order = (typeof orders)[number];

/** What the page shows; all of it stands in the address. */
export interface SeasonState {
  by: ReviewBy;
  /** Null: the current one. */
  season: string | null;
  /** Null: every site the person sees. */
  site: string | null;
  order: Order;
}

const uuid = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;

function fitting(value: string | null): string | null {
  return value !== null && uuid.test(value) ? value : null;
}

/** Reads the address. What does not fit is left out, never guessed. */
export function readState(query: URLSearchParams): SeasonState {
  return {
    by: groupings.find((by) => by === query.get('by')) ?? 'supplier',
    season: fitting(query.get('season')),
    site: fitting(query.get('site')),
    order: orders.find((order) => order === query.get('sort')) ?? 'peak',
  };
}

/** The address of a state. */
export function addressOf({ by, season, site, order }: SeasonState): string {
  return withQuery('/season', { by, season, site, sort: order === 'peak' ? null : order });
}

/** What to ask the server. */
export function questionOf({ by, season, site }: SeasonState) {
  return { by, ...(season !== null && { season_id: season }), ...(site !== null && { site_id: site }) };
}

/** Where the same is as a file. */
export function fileAddress(state: SeasonState, kind: 'csv' | 'xlsx'): string {
  return withQuery(`/api/v1/season-review/${kind}`, questionOf(state));
}
