import { outbox } from './outbox';
import { pictures } from './pictures';

/** What waits on this phone for somebody to sign in. */
export interface WaitsFor {
  name: string;
  records: number;
  photos: number;
  /** Records and photos that the server did not accept: they need the person, not only the sign-in. */
  refused: number;
}

/** What people left on this phone, person by person; without one of them, if it is known who is asking. */
export function waitsForPeople(except?: string): WaitsFor[] {
  const people = new Map<string, WaitsFor>();
  const add = ({ person_id, person_name, problem }: { person_id: string; person_name: string; problem: unknown }, what: 'records' | 'photos'): void => {
    if (person_id === except) return;
    const of = people.get(person_id) ?? { name: person_name, records: 0, photos: 0, refused: 0 };
    people.set(person_id, of);
    of[problem === null ? what : 'refused'] += 1;
  };
  for (const record of outbox.value) add(record, 'records');
  for (const photo of pictures.value) add(photo, 'photos');
  return [...people.values()];
}
