import type { ArrivalSign, Daybook, Finding, InspectionBody, SecondLook } from '../contract.gen';
import type { Waiting } from '../local/db';
import { countsOf, foundOn, type Draft } from './draft';
import type { Names } from './round';

/** The daybook without the second looks that these inspections are; one that is withdrawn again is none. */
export function withoutMade(book: Daybook, inspections: readonly Waiting[]): Daybook {
  const made = new Map<string, string>();
  for (const { noun, id, body, site_id } of inspections) {
    if (noun !== 'inspections' || site_id !== book.site.id) continue;
    const { lot_id, kind, withdrawn_because } = body as InspectionBody; // put there by these pages
    if (kind === 'second_look' && !withdrawn_because) made.set(id, lot_id);
    else made.delete(id);
  }
  const lots = new Set(made.values());
  const open = book.second_looks ?? [];
  return open.some(({ lot_id }) => lots.has(lot_id)) ? { ...book, second_looks: open.filter(({ lot_id }) => !lots.has(lot_id)) } : book;
}

/** The second look of a lot that is due or late by now; undefined where there is none. A daybook of an earlier version has none. */
export function secondLookDue(book: Daybook, lotId: string | null): SecondLook | undefined {
  return book.second_looks?.find(({ lot_id, due_from }) => lot_id === lotId && due_from <= book.on);
}

/** Whether it should have been made by now. */
export function isLate(book: Daybook, { due_to }: SecondLook): boolean {
  return due_to < book.on;
}

/** On how many plants each sign was seen. */
function signsOf(draft: Draft, organism_id: string): ArrivalSign[] {
  const signs = new Map<string, ArrivalSign>();
  for (const plant of draft.plants) {
    const here = new Set<string>();
    for (const { stage, state = 'alive', colour } of foundOn(plant, organism_id)?.signs ?? []) {
      const key = [stage, state, colour ?? ''].join(' ');
      if (here.has(key)) continue; // on new and on old growth, yet one plant
      here.add(key);
      const plants = (signs.get(key)?.plants ?? 0) + 1;
      signs.set(key, { stage, state, ...(colour && { colour }), plants });
    }
  }
  return [...signs.values()];
}

/**
 * The inspection that a finished look is also, where a person said so: the same plants, counted
 * by the same rule. A look on purpose is no sample of a lot, and a correction makes no second one.
 */
export function secondLookOf(draft: Draft, names: Names): { id: string; body: InspectionBody } | null {
  const { second, lot_id, purpose, version, way } = draft;
  if (!second || lot_id === null || purpose === 'on_purpose' || version !== null) return null;
  const findings = draft.sought.flatMap(({ organism_id }): Finding[] => {
    const { looked_at, infested } = countsOf(draft, organism_id, names.organism(organism_id)?.infested_stages ?? []);
    const signs = way === 'plants' ? signsOf(draft, organism_id) : [];
    return looked_at > 0 ? [{ organism_id, plants_looked_at: looked_at, infested_plants: infested, ...(signs.length > 0 && { signs }) }] : [];
  });
  const body: InspectionBody = {
    lot_id,
    kind: 'second_look',
    inspected_at: draft.looked_at ?? '',
    inspector_id: draft.observer_id,
    ...(second.lens !== null && { lens_power: second.lens }),
    findings,
  };
  return { id: second.id, body };
}
