import type { Cultivar, TrendBy } from '../contract.gen';
import { withQuery } from '../router';
import { orders, type Order } from './order';

/** The groupings that are asked for daily, and the others. */
export const mainGroupings = ['lot', 'cultivar', 'arrival', 'foliage', 'house'] as const satisfies readonly TrendBy[];
export const otherGroupings = ['arrival_week', 'shipped', 'supplier', 'farm', 'form', 'bract', 'block', 'section', 'site'] as const satisfies readonly TrendBy[];
const groupings: readonly TrendBy[] = [...mainGroupings, ...otherGroupings];

/** The groupings that a lot of several arrivals has no single place in. */
export const originGroupings: readonly TrendBy[] = ['arrival', 'arrival_week', 'shipped', 'supplier', 'farm'];

/** The tone of the leaves. */
export type Foliage = Cultivar['foliage'];

/** From light to dark. */
export const foliages = ['light', 'medium', 'dark'] as const satisfies readonly Foliage[];

/** Every site the person may see, instead of one. */
export const allSites = 'all';

/** What a reading is narrowed to. */
export interface Narrowing {
  /** A site, `allSites`, or null: the site chosen for all pages. */
  site: string | null;
  house: string | null;
  cultivar: string | null;
  foliage: Foliage | null;
  /** Id or EPPO code; null: the main pest of the crop. */
  organism: string | null;
  /** Null: the current one. */
  season: string | null;
}

/** What the page shows; all of it stands in the address. */
export interface TrendsState extends Narrowing {
  by: TrendBy;
  /** Key of a week of arrival: only lots that came then. */
  arrived: string | null;
  /** How intervals are worked out; null: with the likeness of plants of one block. */
  interval: 'wilson' | null;
  /** Lots of several arrivals; null: a group of their own. */
  mixed: 'shared' | null;
  /** What comes first. */
  order: Order;
  /** Key of the group that is opened; '' is the group of what is not known. */
  open: string | null;
  week: string | null;
  look: string | null;
}

export const uuid = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;
const eppo = /^[A-Z0-9]{3,10}$/;
export const isoWeek = /^\d{4}-W\d\d$/;
const unknownKey = 'unknown';

/** The text, if it has one of the shapes. */
export function fitting(value: string | null, ...shapes: RegExp[]): string | null {
  return value !== null && shapes.some((shape) => shape.test(value)) ? value : null;
}

const arrivalWeek = /^(mixed )?\d{4}-W\d\d$/;

/** Reads the part of an address that narrows a reading. */
export function readNarrowing(query: URLSearchParams): Narrowing {
  const site = query.get('site');
  return {
    site: site === allSites ? site : fitting(site, uuid),
    house: fitting(query.get('house'), uuid),
    cultivar: fitting(query.get('cultivar'), uuid),
    foliage: foliages.find((tone) => tone === query.get('foliage')) ?? null,
    organism: fitting(query.get('organism'), uuid, eppo),
    season: fitting(query.get('season'), uuid),
  };
}

/** The narrowing as the server is asked for it; `site` is the one in force. */
export function asked({ house, cultivar, foliage, organism, season }: Narrowing, site: string) {
  return {
    ...(site !== allSites && { site_id: site }),
    ...(house !== null && { house_id: house }),
    ...(cultivar !== null && { cultivar_id: cultivar }),
    ...(foliage !== null && { foliage }),
    ...(organism !== null && (organism.includes('-') ? { organism_id: organism } : { organism })),
    ...(season !== null && { season_id: season }),
  };
}

/** The narrowing as it stands in an address. */
export function narrowingOf({ site, house, cultivar, foliage, organism, season }: Narrowing): Pick<Narrowing, keyof Narrowing> {
  return { site, house, cultivar, foliage, organism, season };
}

/** Another narrowing; a house stays within its site. */
export function narrowedTo<State extends Narrowing>(state: State, change: Partial<State>): State {
  const moved = change.site !== undefined && change.site !== state.site;
  return { ...state, ...(moved && { house: null }), ...change };
}

/** Reads the address. What does not fit is left out, never guessed. */
export function readState(query: URLSearchParams): TrendsState {
  const open = query.get('open');
  const week = open === null ? null : fitting(query.get('week'), isoWeek);
  return {
    ...readNarrowing(query),
    by: groupings.find((by) => by === query.get('by')) ?? 'cultivar',
    arrived: fitting(query.get('arrived'), arrivalWeek),
    interval: query.get('interval') === 'wilson' ? 'wilson' : null,
    mixed: query.get('mixed') === 'shared' ? 'shared' : null,
    order: orders.find((one) => one === query.get('order')) ?? 'known',
    open: open === unknownKey ? '' : open,
    week,
    look: week === null ? null : fitting(query.get('look'), uuid),
  };
}

/** The address of a state. */
export function addressOf({ open, ...state }: TrendsState): string {
  return withQuery('/trends', {
    by: state.by,
    ...narrowingOf(state),
    arrived: state.arrived,
    interval: state.interval,
    mixed: state.mixed,
    order: state.order === 'known' ? null : state.order,
    open: open === '' ? unknownKey : open,
    week: open === null ? null : state.week,
    look: open === null || state.week === null ? null : state.look,
  });
}

/** The state with other filters: what was opened is closed, and a house stays within its site. */
export function refiltered(state: TrendsState, change: Partial<TrendsState>): TrendsState {
  return narrowedTo({ ...state, open: null, week: null, look: null }, change);
}
