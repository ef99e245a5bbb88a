import type { Look } from '../contract.gen';
import { dateAt, weekOf } from '../local/zone';
import { begun, countsOf, type Draft } from './draft';
import { counts, type Names } from './round';

/** Plants of one lot looked at in one block, and how many of them are infested. */
export interface Count {
  block_id: string;
  lot_id: string;
  cultivar_id: string;
  plants: number;
  infested: number;
}

/** What the counts are of. */
export interface CountedFor {
  organism_id: string;
  /** ISO 8601 week at the site. */
  week: string;
  zone: string;
  names: Names;
}

function of({ block_id, lot_id }: Pick<Look, 'block_id' | 'lot_id'>, names: Names, plants: number, infested: number): Count[] {
  const cultivar_id = names.lot(lot_id)?.cultivar_id;
  if (!lot_id || cultivar_id === undefined || plants === 0) return [];
  return [{ block_id, lot_id, cultivar_id, plants, infested }];
}

/** What a look adds to the estimates of its lot in its block. */
function countsOfLook(look: Look, { organism_id, week, names }: CountedFor): Count[] {
  if (!counts(look) || look.week !== week) return [];
  return look.results
    .filter((result) => result.organism_id === organism_id)
    .flatMap((result) => of(look, names, result.plants_looked_at, result.infested_plants));
}

/** What a look in the making adds, as soon as the server has it. */
export function countsOfDraft(draft: Draft, { organism_id, week, zone, names }: CountedFor): Count[] {
  if (draft.purpose === 'on_purpose' || !draft.lot_chosen || draft.looked_at === null) return [];
  if (weekOf(dateAt(draft.looked_at, zone)) !== week) return [];
  const { looked_at, infested } = countsOf(draft, organism_id, names.organism(organism_id)?.infested_stages ?? []);
  return of(draft, names, looked_at, infested);
}

/**
 * What this phone knows beyond what the server had counted: looks that came since, looks
 * that changed since, and drafts, each once. A draft under the id of a look stands in for
 * it. `known` are the looks as they were when the server counted; they are taken off.
 */
export function countedSince(now: readonly Look[], known: readonly Look[], drafts: readonly Draft[], of: CountedFor): Count[] {
  const inHand = drafts.filter(begun);
  const replaced = new Set(inHand.map(({ id }) => id));
  const before = new Map(known.map((look) => [look.id, look]));
  const added = now.filter((look) => !replaced.has(look.id) && before.get(look.id)?.version !== look.version);
  const stays = new Set(now.filter((look) => !replaced.has(look.id) && before.get(look.id)?.version === look.version).map(({ id }) => id));
  const taken = known.filter(({ id }) => !stays.has(id)).flatMap((look) => countsOfLook(look, of));
  return [
    ...taken.map((count) => ({ ...count, plants: -count.plants, infested: -count.infested })),
    ...added.flatMap((look) => countsOfLook(look, of)),
    ...inHand.flatMap((draft) => countsOfDraft(draft, of)),
  ];
}
