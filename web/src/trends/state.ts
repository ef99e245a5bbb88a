import type { TrendBy } from '../contract.gen';
import { withQuery } from '../router';

/** The groupings that are asked for daily, and the others. */
export const mainGroupings = ['lot', 'cultivar', 'arrival', 'foliage', 'house'] as const satisfies readonly TrendBy[];
export const otherGroupings = ['shipped', 'supplier', 'farm', 'form', 'bract', 'block', 'section', 'site'] as const satisfies readonly TrendBy[];
const groupings: readonly TrendBy[] = [...mainGroupings, ...otherGroupings];

/** The groupings that a lot of several arrivals has no single place in. */
export const originGroupings: readonly TrendBy[] = ['arrival', 'shipped', 'supplier', 'farm'];

/** Every site the person may see, instead of one. */
export const allSites = 'all';

/** What the page shows; all of it stands in the address. */
export interface TrendsState {
  by: TrendBy;
  /** A site, `allSites`, or null: the site chosen for all pages. */
  site: string | null;
  house: string | null;
  cultivar: string | null;
  /** Id or EPPO code; null: the main pest of the crop. */
  organism: string | null;
  /** Null: the current one. */
  season: string | null;
  /** How intervals are worked out; null: with the likeness of plants of one block. */
  interval: 'wilson' | null;
  /** Lots of several arrivals; null: a group of their own. */
  mixed: 'shared' | null;
  /** Key of the group that is opened; '' is the group of what is not known. */
  open: string | null;
  week: string | null;
  look: string | null;
}

const uuid = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;
const eppo = /^[A-Z0-9]{3,10}$/;
const isoWeek = /^\d{4}-W\d\d$/;
const unknownKey = 'unknown';

function fitting(value: string | null, ...shapes: RegExp[]): string | null {
  return value !== null && shapes.some((shape) => shape.test(value)) ? value : null;
}

/** Reads the address. What does not fit is left out, never guessed. */
export function readState(query: URLSearchParams): TrendsState {
  const site = query.get('site');
  const open = query.get('open');
  const week = open === null ? null : fitting(query.get('week'), isoWeek);
  return {
    by: groupings.find((by) => by === query.get('by')) ?? 'cultivar',
    site: site === allSites ? site : fitting(site, uuid),
    house: fitting(query.get('house'), uuid),
    cultivar: fitting(query.get('cultivar'), uuid),
    organism: fitting(query.get('organism'), uuid, eppo),
    season: fitting(query.get('season'), uuid),
    interval: query.get('interval') === 'wilson' ? 'wilson' : null,
    mixed: query.get('mixed') === 'shared' ? 'shared' : null,
    open: open === unknownKey ? '' : open,
    week,
    look: week === null ? null : fitting(query.get('look'), uuid),
  };
}

/** The address of a state. */
export function addressOf({ open, ...state }: TrendsState): string {
  return withQuery('/trends', {
    by: state.by,
    site: state.site,
    house: state.house,
    cultivar: state.cultivar,
    organism: state.organism,
    season: state.season,
    interval: state.interval,
    mixed: state.mixed,
    open: open === '' ? unknownKey : open,
    week: open === null ? null : state.week,
    look: open === null || state.week === null ? null : state.look,
  });
}

/** The state with other filters: what was opened is closed, and a house stays within its site. */
export function refiltered(state: TrendsState, change: Partial<TrendsState>): TrendsState {
  const moved = change.site !== undefined && change.site !== state.site;
  return { ...state, ...(moved && { house: null }), open: null, week: null, look: null, ...change };
}
