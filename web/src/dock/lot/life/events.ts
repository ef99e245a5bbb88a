import type { Inspection, Look, LotHold, LotLife, Movement, Recount, Verdict } from '../../../contract.gen';
import type { Ancestor, Records } from './found';

/** Something in the life of a lot; `on` is the ancestor it happened to. */
export type LifeEvent = { at: string; id: string; on: string | null } & (
  | { what: 'movement'; movement: Movement; recount: Recount | null }
  | { what: 'inspection'; inspection: Inspection }
  | { what: 'verdict'; verdict: Verdict }
  | { what: 'look'; look: Look }
  | { what: 'held' | 'lifted'; hold: LotHold }
);

/** What closes a moment stands above what opened it. */
const rank: Record<LifeEvent['what'], number> = { look: 0, inspection: 1, verdict: 2, movement: 3, held: 4, lifted: 5 };

const kinds = ['receive', 'stick', 'root', 'pot', 'pinch', 'space', 'move', 'split', 'merge', 'discard', 'dispatch', 'count'];

function place(event: LifeEvent): number {
  return event.what === 'movement' ? rank.movement + kinds.indexOf(event.movement.kind) / kinds.length : rank[event.what];
}

/** Newest first; in one moment the book's own order, backwards. Moments are compared as moments: their offsets differ. */
export function newestFirst(events: readonly LifeEvent[]): LifeEvent[] {
  return events.toSorted((a, b) => Date.parse(b.at) - Date.parse(a.at) || place(b) - place(a) || b.id.localeCompare(a.id));
}

function eventsOf({ movements, inspections, verdicts, looks }: Records, on: string | null, recounts: readonly Recount[]): LifeEvent[] {
  return [
    ...movements.map(
      (movement): LifeEvent => ({
        what: 'movement',
        at: movement.moved_at,
        id: movement.id,
        on,
        movement,
        recount: recounts.find(({ movement_id }) => movement_id === movement.id) ?? null,
      }),
    ),
    ...inspections.map((inspection): LifeEvent => ({ what: 'inspection', at: inspection.inspected_at, id: inspection.id, on, inspection })),
    ...verdicts.map((verdict): LifeEvent => ({ what: 'verdict', at: verdict.recorded_at, id: verdict.id, on, verdict })),
    ...looks.map((look): LifeEvent => ({ what: 'look', at: look.looked_at, id: look.id, on, look })),
  ];
}

/** Holds as they began and ended for this lot. A verdict that holds stands there as the verdict. */
function holdEvents({ holds }: LotLife): LifeEvent[] {
  return holds
    .filter(({ by }) => by === 'hold')
    .flatMap((hold): LifeEvent[] => [
      { what: 'held', at: hold.from_at, id: hold.id, on: null, hold },
      ...(hold.to_at ? [{ what: 'lifted' as const, at: hold.to_at, id: hold.id, on: null, hold }] : []),
    ]);
}

export function isWithdrawn(event: LifeEvent): boolean {
  switch (event.what) {
    case 'movement':
      return Boolean(event.movement.withdrawn_because);
    case 'inspection':
      return Boolean(event.inspection.withdrawn_because);
    case 'verdict':
      return Boolean(event.verdict.withdrawn_because);
    case 'look':
      return Boolean(event.look.withdrawn_because);
    case 'held':
    case 'lifted':
      return false;
  }
}

/**
 * The life of a lot, newest first, and what was withdrawn of it. Of an ancestor it takes what
 * happened before the plants left it, and nothing that was withdrawn there.
 */
export function timelineOf(life: LotLife, own: Records, ancestors: readonly Ancestor[]): { standing: LifeEvent[]; withdrawn: LifeEvent[] } {
  const mine = [...eventsOf(own, null, life.recounts), ...holdEvents(life)];
  const seen = new Set(mine.map(({ id }) => id));
  const inherited = new Map<string, LifeEvent>();
  for (const { of, records } of ancestors) {
    for (const event of eventsOf(records, of.lot_id, [])) {
      if (Date.parse(event.at) >= Date.parse(of.until) || isWithdrawn(event) || seen.has(event.id)) continue;
      if (!inherited.has(event.id)) inherited.set(event.id, event); // a split stands in the book of both lots
    }
  }
  return {
    standing: newestFirst([...mine.filter((event) => !isWithdrawn(event)), ...inherited.values()]),
    withdrawn: newestFirst(mine.filter(isWithdrawn)),
  };
}
