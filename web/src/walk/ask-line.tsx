import type { Daybook, Look, PlanLook } from '../contract.gen';
import { Details } from '../parts';
import { words } from '../words';
import { countsOfDraft } from './counted';
import { countsOf, type Draft } from './draft';
import { cultivarStop, type CultivarStop } from './plan';
import { enoughText, whyText } from './plan-said';
import { usePlanInHand, type PlanInHand } from './plan-store';
import type { Names } from './round';

/** What the plan asks for of the lot in hand, how many of it were looked at, and which plant is next. */
export function askedHere({ plan, of, since }: PlanInHand, draft: Draft): { look: PlanLook | undefined; done: number; next: number | undefined } {
  const look = plan.blocks.find(({ block_id }) => block_id === draft.block_id)?.looks.find(({ lot_id }) => lot_id === draft.lot_id);
  const here = since.filter(({ block_id, lot_id }) => block_id === draft.block_id && lot_id === draft.lot_id);
  const before = (look?.done_plants ?? 0) + here.reduce((sum, { plants }) => sum + plants, 0);
  const done = before + countsOf(draft, of.organism_id, []).looked_at;
  return { look, done, next: draft.way === 'plants' ? look?.positions[done] : undefined };
}

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
  const { of } = hand;
  const { look, done, next } = askedHere(hand, draft);
  const stop = stopInHand(hand, draft);
  const met = stop !== null && isMet(stop);
  const parts = [look ? said.inHand(done, look.plants) : said.notAsked, next !== undefined && said.nextPlant(next), stop && !met && enoughText(stop.enough)];
  const line = (
    <span class="walk-ask">
      {parts.filter(Boolean).join(' · ')}
      {met && ' · '}
      {met && <b>{enoughText(stop.enough)}</b>}
    </span>
  );
  return stop ? (
    <Details summary={line}>
      <p>{hereText(book, houseId, stop, of.names)}</p>
    </Details>
  ) : (
    <p>{line}</p>
  );
}

/** How the cultivar in hand stands in its house, the draft counted in; null where the plan has no line for it. */
export function stopInHand({ plan, perBlock, of, since }: PlanInHand, draft: Draft): CultivarStop | null {
  const cultivar = of.names.lot(draft.lot_id)?.cultivar_id;
  const stop = plan.stops.find(({ cultivar_id }) => cultivar_id === cultivar);
  return stop ? cultivarStop(plan, stop, [...since, ...countsOfDraft(draft, of)], perBlock) : null;
}

/** Whether one of the lines is met. */
export function isMet({ enough: { code } }: CultivarStop): boolean {
  return code === 'below' || code === 'above';
}

/** "Frostveil in House 2 this week: 2 of 45 plants with it. Enough: below the limit. Up to …" */
function hereText(book: Daybook, houseId: string, at: CultivarStop, names: Names): string {
  const { plan: said } = words.value.walk;
  const house = book.houses.find(({ id }) => id === houseId)?.name ?? '';
  return `${said.here(names.cultivar(at.stop.cultivar_id)?.name ?? '', house, said.found(at.infested, at.plants), enoughText(at.enough))} ${whyText(at)}`;
}

/** Under a look: whether it is enough for its cultivar in its house. */
export function EnoughHere({ book, look, names }: { book: Daybook; look: Look; names: Names }) {
  const hand = usePlanInHand(book, look.house_id);
  const cultivar = names.cultivar(names.lot(look.lot_id)?.cultivar_id);
  const house = book.houses.find(({ id }) => id === look.house_id);
  const stop = hand?.plan.stops.find(({ cultivar_id }) => cultivar_id === cultivar?.id);
  if (!hand || !stop || !cultivar || !house || look.week !== book.week) return null;
  return <p>{hereText(book, house.id, cultivarStop(hand.plan, stop, hand.since, hand.perBlock), names)}</p>;
}
