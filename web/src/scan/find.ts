import type { Block, Daybook, Lot } from '../contract.gen';
import { lotsByCode } from '../labels/by-code';
import { roundOf, type Stop } from '../walk/round';
import { stopAddress, stopName } from '../walk/said';
import { meaningOf, type Meaning } from './meaning';

/** The page one scans on: Walk leads to where plants are looked at, the Dock to the lot. */
export type From = 'walk' | 'dock';

/** Somewhere a label leads. */
export interface Place {
  name: string;
  /** What tells it from another of the same name. */
  within: string;
  address: string;
}

/** What came of a scan. */
export type Outcome =
  | { kind: 'found'; place: Place }
  | { kind: 'choose'; among: 'codes' | 'blocks' | 'names'; places: readonly Place[] }
  /** A lot that stands in no block; its own page is the place. */
  | { kind: 'nowhere'; place: Place }
  | { kind: 'elsewhere'; place: Place; siteId: string }
  | { kind: 'unknown'; meaning: Named; checked: boolean }
  | { kind: 'misread' }
  | { kind: 'foreign'; text: string }
  | { kind: 'no_such_name'; text: string };

/** A meaning that names something. */
export type Named = Extract<Meaning, { kind: 'lot' | 'block' | 'item' }>;

/** What is looked in. */
export interface Where {
  /** Null where this phone has none. */
  book: Daybook | null;
  from: From;
  /** The address the pages were opened at. */
  origin: string;
  /** Says when a lot arrived. */
  arrived: (date: string) => string;
}

/** A lot's own page. */
export function lotPlace(lot: Lot, cultivar: string | undefined, { arrived }: Pick<Where, 'arrived'>): Place {
  return { name: [lot.code, cultivar].filter(Boolean).join(' '), within: arrived(lot.arrived_on), address: `/dock/lots/${lot.id}` };
}

const blockPlace = (stop: Stop): Place => ({ name: stop.block.name, within: stop.house.name, address: stopAddress(stop.block.id) });

function placesOfLot(lot: Lot, where: Where): Outcome[] {
  const cultivar = where.book?.cultivars.find(({ id }) => id === lot.cultivar_id)?.name;
  const own = lotPlace(lot, cultivar, where);
  if (where.from === 'dock') return [{ kind: 'found', place: own }];
  const stops = stopsOf(where).filter(({ standing }) => standing.some(({ lot_id }) => lot_id === lot.id));
  if (stops.length === 0) return [{ kind: 'nowhere', place: own }];
  return stops.map((stop) => ({ kind: 'found', place: { name: own.name, within: stopName(stop), address: stopAddress(stop.block.id, lot.id) } }));
}

const stopsOf = ({ book }: Where): Stop[] => (book ? roundOf(book).flatMap(({ stops }) => stops) : []);

const blocksWhere = (where: Where, fits: (block: Block, stop: Stop) => boolean): Outcome[] =>
  stopsOf(where)
    .filter((stop) => fits(stop.block, stop))
    .map((stop) => ({ kind: 'found', place: blockPlace(stop) }));

function lotsMeant(meaning: Named, { book }: Where): Lot[] {
  if (!book) return [];
  if (meaning.kind === 'item') return lotsByCode(book.lots, book.cultivars, meaning.gtin, meaning.code);
  return book.lots.filter(({ id }) => id === meaning.id);
}

function outcomesOf(text: string, where: Where): Outcome[] {
  const meaning = meaningOf(text, where.origin);
  if (meaning.kind === 'foreign' || meaning.kind === 'misread') return [meaning];
  const found = meaning.kind === 'block' ? blocksWhere(where, ({ id }) => id === meaning.id) : lotsMeant(meaning, where).flatMap((lot) => placesOfLot(lot, where));
  if (found.length > 0) return found;
  return meaning.here ? [{ kind: 'unknown', meaning, checked: false }] : [{ kind: 'foreign', text }];
}

/** Of several failures the one that says most. */
const mostTelling = ['nowhere', 'unknown', 'misread', 'foreign', 'no_such_name'] as const;

function decide(outcomes: readonly Outcome[], among: 'codes' | 'blocks' | 'names'): Outcome | null {
  const places = [...new Map(outcomes.flatMap((one) => (one.kind === 'found' ? [[one.place.address, one.place] as const] : []))).values()];
  // A lot's label beside the one of the block it stands in: both mean this lot in this block.
  const exact = places.filter(({ address }) => !places.some((other) => other.address.startsWith(`${address}?`)));
  const [only] = exact;
  if (only) return exact.length === 1 ? { kind: 'found', place: only } : { kind: 'choose', among, places: exact };
  for (const kind of mostTelling) {
    const telling = outcomes.find((one) => one.kind === kind);
    if (telling) return telling;
  }
  return null;
}

/** Where what the camera read leads: all texts that are in view at once. Null when there is none. */
export function placeOf(texts: readonly string[], where: Where): Outcome | null {
  const each = [...new Set(texts)].map((text) => outcomesOf(text, where));
  const ours = each.filter((some) => some.some(({ kind }) => kind === 'found'));
  return decide(each.flat(), ours.length === 1 ? 'blocks' : 'codes');
}

const plain = (text: string): string => text.replace(/\s+/g, '').toLowerCase();

/** Where what one typed leads: a lot's code, a block's name with or without its house, or the whole address. */
export function placeOfName(typed: string, where: Where): Outcome | null {
  const text = typed.trim();
  if (text === '') return null;
  if (/^https?:\/\//i.test(text)) return placeOf([text], where);
  const name = plain(text);
  const lots = (where.book?.lots ?? []).filter(({ code }) => plain(code ?? '') === name);
  const blocks = blocksWhere(where, (block, { house }) => [block.name, house.name + block.name].some((one) => plain(one) === name));
  const outcomes = [...blocks, ...lots.flatMap((lot) => placesOfLot(lot, where))];
  return decide(outcomes, lots.length === 1 && blocks.length === 0 ? 'blocks' : 'names') ?? { kind: 'no_such_name', text };
}
