import type { Daybook, Look } from '../contract.gen';
import { words } from '../words';
import { countsOfDraft } from './counted';
import { countsOf, type Draft } from './draft';
import { cultivarStop } from './plan';
import { enoughText } from './plan-said';
import { usePlanInHand } from './plan-store';
import type { Names } from './round';

/**
 * While plants are marked: how many the plan asks for here, which is next, and whether it
 * is enough for the cultivar in the house. It keeps its room, so that nothing moves.
 */
export function AskLine({ book, houseId, draft }: { book: Daybook; houseId: string; draft: Draft }) {
  const { plan: said } = words.value.walk;
  const hand = usePlanInHand(book, houseId, draft);
  const cultivar = hand?.of.names.lot(draft.lot_id)?.cultivar_id;
  const sought = draft.sought.some(({ organism_id }) => organism_id === hand?.of.organism_id);
  if (!hand || cultivar === undefined || !sought || draft.purpose === 'on_purpose') return null;
  const { plan, perBlock, of, since } = hand;
  const look = plan.blocks.find(({ block_id }) => block_id === draft.block_id)?.looks.find(({ lot_id }) => lot_id === draft.lot_id);
  const here = since.filter(({ block_id, lot_id }) => block_id === draft.block_id && lot_id === draft.lot_id);
  const before = (look?.done_plants ?? 0) + here.reduce((sum, { plants }) => sum + plants, 0);
  const done = before + countsOf(draft, of.organism_id, []).looked_at;
  const next = draft.way === 'plants' ? look?.positions[done] : undefined;
  const stop = plan.stops.find(({ cultivar_id }) => cultivar_id === cultivar);
  const enough = stop && cultivarStop(plan, stop, [...since, ...countsOfDraft(draft, of)], perBlock).enough;
  const met = enough?.code === 'below' || enough?.code === 'above';
  const parts = [look ? said.inHand(done, look.plants) : said.notAsked, next !== undefined && said.nextPlant(next), enough && !met && enoughText(enough)];
  return (
    <p class="walk-ask">
      {parts.filter(Boolean).join(' · ')}
      {met && ' · '}
      <b role="status">{enough && met ? enoughText(enough) : ''}</b>
    </p>
  );
}

/** Under a look: whether it is enough for its cultivar in its house. */
export function EnoughHere({ book, look, names }: { book: Daybook; look: Look; names: Names }) {
  const hand = usePlanInHand(book, look.house_id);
  const cultivar = names.cultivar(names.lot(look.lot_id)?.cultivar_id);
  const house = book.houses.find(({ id }) => id === look.house_id);
  const stop = hand?.plan.stops.find(({ cultivar_id }) => cultivar_id === cultivar?.id);
  if (!hand || !stop || !cultivar || !house || look.week !== book.week) return null;
  const { plants, infested, enough } = cultivarStop(hand.plan, stop, hand.since, hand.perBlock);
  const { plan: said } = words.value.walk;
  return <p>{said.here(cultivar.name, house.name, said.found(infested, plants), enoughText(enough))}</p>;
}
