import { session } from '../session';
import { clockAhead, phoneClock } from './clock';
import type { Making } from './outbox';

/** What is to be recorded, and the daybook it was seen in. */
export interface ToRecord extends Pick<Making, 'noun' | 'id' | 'body' | 'site_id' | 'title'> {
  /** The version that is corrected; null for a new record. */
  if_match: number | null;
  daybook?: string | undefined;
}

/** A record as it goes into the outbox: with who made it and when, by the clock of this phone. */
export function making({ daybook, ...record }: ToRecord): Making {
  const { id: person_id = '', name: person_name = '' } = session.peek()?.person ?? {};
  const at = phoneClock();
  return {
    ...record,
    person_id,
    person_name,
    made_at: at,
    made: { at, person_id, clock_ahead_ms: clockAhead(), ...(daybook !== undefined && { daybook }) },
  };
}
