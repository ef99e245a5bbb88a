import type { Daybook, Look, LookBody, LookResult, LookTarget } from '../contract.gen';
import { madeMoment } from '../local/clock';
import type { Waiting } from '../local/db';
import { dateAt, weekOf } from '../local/zone';
import { infested } from './infested';
import { shareOf } from './wilson';

function resultOf(target: LookTarget, book: Daybook): LookResult {
  const stages = book.organisms.find(({ id }) => id === target.organism_id)?.infested_stages ?? [];
  const marks = target.plants ?? [];
  const lookedAt = marks.length > 0 ? marks.length : (target.tally?.plants_looked_at ?? 0);
  const withIt = marks.length > 0 ? marks.filter(({ seen, signs = [] }) => infested(seen, signs, stages)).length : (target.tally?.infested_plants ?? 0);
  return { organism_id: target.organism_id, ...shareOf(withIt, lookedAt), confidence_percent: 95, method: 'wilson' };
}

/**
 * A look that waits on this phone, as the server will answer with it as far as the phone can
 * tell: the counts by the same rule, the version that follows. Doubts only the server finds.
 */
export function localLook(waiting: Waiting, book: Daybook, who: { id: string; name: string }): Look | null {
  const body = waiting.body as LookBody; // put there by this page
  const block = book.blocks.find(({ id }) => id === body.block_id);
  if (!block) return null;
  const before = book.looks.find(({ id }) => id === waiting.id);
  const looked_on = dateAt(body.looked_at, book.site.time_zone);
  return {
    ...body,
    id: waiting.id,
    version: (waiting.if_match ?? 0) + 1,
    recorded_at: madeMoment(waiting),
    recorded_by: who,
    site_id: block.site_id,
    house_id: block.house_id,
    looked_on,
    week: weekOf(looked_on),
    ...(before?.observer ? { observer: before.observer } : body.observer_id === who.id && { observer: who }),
    results: body.targets.map((target) => resultOf(target, book)),
    doubts: before?.doubts ?? [],
  };
}
