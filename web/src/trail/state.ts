import type { TrailStart } from '../contract.gen';
import { withQuery } from '../router';

/** What a trail may start at, in the order it is offered. */
export const starts = ['farm', 'supplier', 'shipment', 'lot', 'block', 'customer', 'dispatch'] as const satisfies readonly TrailStart[];

/** Forward to where plants are, or back to where they came from. */
export const ways = ['forward', 'back'] as const;
export type Way = (typeof ways)[number];

/** What is followed, and which way; all of it stands in the address. */
export interface Asked {
  from: TrailStart;
  id: string;
  way: Way;
}

/** The groups that strike and loss are shown for. */
export const groupings = ['supplier', 'farm', 'cultivar', 'shipment'] as const;
export type Grouping = (typeof groupings)[number];

const uuid = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;

/** What leaves is asked where it came from; all else where it went. */
export function usualWay(from: TrailStart): Way {
  return from === 'customer' || from === 'dispatch' ? 'back' : 'forward';
}

/** Reads the address; null when it does not say what to follow. */
export function readAsked(query: URLSearchParams): Asked | null {
  const from = starts.find((start) => start === query.get('from'));
  const id = query.get('id') ?? '';
  if (from === undefined || !uuid.test(id)) return null;
  return { from, id, way: ways.find((way) => way === query.get('way')) ?? usualWay(from) };
}

/** The address of a trail, for sharing. */
export function trailAddress(from: TrailStart, id: string, way: Way = usualWay(from)): string {
  return withQuery('/trail', { from, id, way });
}

/** The address of the answer for the plant health authority. */
export function reachAddress({ from, id }: Pick<Asked, 'from' | 'id'>): string {
  return withQuery('/trail/reach', { from, id });
}

/** Where the same trail is fetched as a file. */
export function exportAddress(kind: 'csv' | 'epcis', { from, id, way }: Asked): string {
  return withQuery(`/api/v1/trail/${kind}`, { from, id, way });
}

/** The grouping the address asks for. */
export function readGrouping(query: URLSearchParams): Grouping {
  return groupings.find((by) => by === query.get('by')) ?? 'supplier';
}
