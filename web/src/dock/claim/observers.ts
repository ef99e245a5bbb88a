import type { Claim, Lot } from '../../contract.gen';
import type { Format, Words } from '../../words';
import type { Found } from './found';

/** Who saw or wrote down something of what is claimed, and what, in the order in which it was done. */
export function observersOf(claim: Claim, found: Found, lots: readonly Lot[], { dock }: Words, f: Format): { name: string; did: string }[] {
  const said = dock.claim.sheet.observer;
  const people = new Map<string, { name: string; received: boolean; inspected: Set<string>; photos: number; wrote: boolean }>();
  const person = ({ id, name }: { id: string; name: string }) => {
    const of = people.get(id) ?? { name, received: false, inspected: new Set<string>(), photos: 0, wrote: false };
    people.set(id, of);
    return of;
  };
  person(found.shipment.recorded_by).received = true;
  for (const { lot_id, inspector, recorded_by } of found.inspections) {
    const lot = lots.find(({ id }) => id === lot_id);
    if (lot) person(inspector ?? recorded_by).inspected.add(lot.code ?? '');
  }
  const subjects = subjectsOf(found, lots);
  for (const { subject_id, recorded_by } of found.photos) if (subjects.has(subject_id)) person(recorded_by).photos += 1;
  person(claim.recorded_by).wrote = true;
  return [...people.values()].map(({ name, received, inspected, photos, wrote }) => ({
    name,
    did: f.list(
      [received && said.received, inspected.size > 0 && said.inspected(f.list([...inspected])), photos > 0 && said.took(photos), wrote && said.wrote].filter(
        (part) => part !== false,
      ),
    ),
  }));
}

/** The ids whose photos belong to a claim of these lots: theirs, those of their inspections, the shipment's own. */
export function subjectsOf({ shipment, inspections }: Found, lots: readonly Lot[]): Set<string> {
  const ids = new Set(lots.map(({ id }) => id));
  return new Set([shipment.id, ...ids, ...inspections.filter(({ lot_id }) => ids.has(lot_id)).map(({ id }) => id)]);
}
