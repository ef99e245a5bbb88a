import type { Trail, TrailLink } from '../../contract.gen';

/**
 * What plants flow through: a shipment; plants that came from lots outside the trail or that a count
 * found; a lot; and where they are: a block or house, not placed, with a customer, discarded, missing,
 * in lots outside the trail.
 */
export type NodeKind = 'shipment' | 'others' | 'found' | 'lot' | 'block' | 'house' | 'unplaced' | 'customer' | 'discarded' | 'missing' | 'elsewhere';

export interface FlowNode {
  key: string;
  kind: NodeKind;
  /** The record it stands for; '' of a group and of what has none. */
  id: string;
  /** How many records it stands for: more than one in a group. */
  records: number;
  held: number;
  certain: boolean;
  /** Splits and merges that lead up to it. */
  births: number;
}

export interface FlowLink {
  from: string;
  to: string;
  plants: number;
}

export interface Flow {
  nodes: FlowNode[];
  links: FlowLink[];
}

/** The id of a customer nobody named. */
export const unknown = 'unknown';

/** Adds up links between the same two, leaves out the empty ones, and nodes that nothing flows through. */
export function tidied({ nodes, links }: Flow): Flow {
  const sums = new Map<string, FlowLink>();
  for (const link of links) {
    if (link.plants <= 0) continue;
    const key = `${link.from} ${link.to}`;
    const sum = sums.get(key);
    if (sum) sum.plants += link.plants;
    else sums.set(key, { ...link });
  }
  const used = new Set([...sums.values()].flatMap(({ from, to }) => [from, to]));
  return { nodes: nodes.filter(({ key }) => used.has(key)), links: [...sums.values()] };
}

/** The items of each lot. */
export function perLot<T>(items: readonly T[], lotOf: (item: T) => string): (lotId: string) => readonly T[] {
  const lists = new Map<string, T[]>();
  for (const item of items) {
    const list = lists.get(lotOf(item));
    if (list) list.push(item);
    else lists.set(lotOf(item), [item]);
  }
  return (lotId) => lists.get(lotId) ?? [];
}

function sum(items: readonly { plants: number }[]): number {
  return items.reduce((total, { plants }) => total + plants, 0);
}

/** How many splits and merges lead up to each lot within the trail; lots stand with parents before their children. */
function birthsOf(lots: Trail['lots'], into: (lotId: string) => readonly TrailLink[]): Map<string, number> {
  const births = new Map<string, number>();
  for (const { lot_id: id } of lots) births.set(id, Math.max(0, ...into(id).map((link) => (births.get(link.from_lot_id) ?? 0) + 1)));
  return births;
}

/** Whether the trail asks back from plants that left: then only those are shown leaving. */
function leftOnly({ way, from }: Trail): boolean {
  return way === 'back' && (from === 'customer' || from === 'dispatch');
}

/** The lots whose plants are followed to where they are: forward all, back those the trail was asked from. */
export function endsOf(trail: Trail): Set<string> {
  if (trail.way === 'forward') return new Set(trail.lots.map((lot) => lot.lot_id));
  if (leftOnly(trail)) return new Set(trail.exits.map((exit) => exit.lot_id));
  const parents = new Set(trail.links.map((link) => link.from_lot_id));
  return new Set(trail.lots.filter(({ lot_id: id }) => id === trail.id || !parents.has(id)).map((lot) => lot.lot_id));
}

/** Shipments, lots and where their plants are, with the plants that went from one to the other. */
export function flowOf(trail: Trail): Flow {
  const nodes = new Map<string, FlowNode>();
  const links: FlowLink[] = [];
  const into = perLot(trail.links, (link) => link.to_lot_id);
  const outOf = perLot(trail.links, (link) => link.from_lot_id);
  const exitsOf = perLot(trail.exits, (exit) => exit.lot_id);
  const standing = perLot(
    trail.placements.filter(({ to }) => !to),
    (place) => place.lot_id,
  );
  const births = birthsOf(trail.lots, into);
  const ends = endsOf(trail);
  const node = (kind: NodeKind, id = '', more: Partial<FlowNode> = {}): string => {
    const key = id === '' ? kind : `${kind} ${id}`;
    if (!nodes.has(key)) nodes.set(key, { key, kind, id, records: 1, held: 0, certain: true, births: 0, ...more });
    return key;
  };
  for (const lot of trail.lots) {
    const { lot_id: id, tally } = lot;
    const key = node('lot', id, { held: lot.held ? 1 : 0, certain: lot.certain, births: births.get(id) ?? 0 });
    const isEnd = ends.has(id);
    const whole = isEnd && !leftOnly(trail);
    const dispatched = isEnd ? exitsOf(id).filter(({ kind }) => kind === 'dispatch') : [];
    const became = sum(outOf(id));
    const comes = (from: string, plants: number) => links.push({ from, to: key, plants });
    const goes = (kind: NodeKind, to: string, plants: number): void => {
      if (plants > 0) links.push({ from: key, to: node(kind, to), plants });
    };
    for (const link of into(id)) comes(`lot ${link.from_lot_id}`, link.plants);
    // Back, a lot is drawn with the plants that went this way, not with all it ever had.
    const through = whole ? tally.received : became + sum(dispatched);
    if (typeof lot.shipment_id === 'string') comes(node('shipment', lot.shipment_id), through);
    else if (whole) comes(node('others'), tally.received - sum(into(id)));
    for (const exit of dispatched) goes('customer', exit.customer_id ?? unknown, exit.plants);
    if (!whole) continue;
    comes(node('found'), tally.gained);
    for (const place of standing(id)) goes('block', place.block_id, place.plants);
    goes('unplaced', '', tally.unplaced);
    goes('discarded', '', tally.discarded);
    goes('missing', '', tally.lost);
    goes('elsewhere', '', tally.split_off + tally.merged_away - became);
  }
  return tidied({ nodes: [...nodes.values()], links });
}
