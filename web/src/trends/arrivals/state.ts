import { withQuery } from '../../router';
import { fitting, isoWeek, narrowedTo, narrowingOf, readNarrowing, uuid, type Narrowing } from '../state';

/** What the page shows; all of it stands in the address. */
export interface ArrivalsState extends Narrowing {
  /** Weeks since arrival at which arrivals are held against each other; null: where most of them can be. */
  age: number | null;
  /** The cell that is opened: key of its arrivals, and the week of its looks. */
  open: string | null;
  week: string | null;
  look: string | null;
}

const key = /^(mixed )?\d{4}-W\d\d$/;
const weeks = /^\d{1,3}$/;

/** Reads the address. What does not fit is left out, never guessed. */
export function readArrivals(query: URLSearchParams): ArrivalsState {
  const age = fitting(query.get('age'), weeks);
  const week = fitting(query.get('week'), isoWeek);
  const open = week === null ? null : fitting(query.get('open'), key);
  return {
    ...readNarrowing(query),
    age: age === null ? null : Number(age),
    open,
    week: open === null ? null : week,
    look: open === null ? null : fitting(query.get('look'), uuid),
  };
}

/** The address of a state. */
export function arrivalsAddress(state: ArrivalsState): string {
  const { age, open, week, look } = state;
  return withQuery('/trends/arrivals', { ...narrowingOf(state), age, open, week, look });
}

/** The state narrowed otherwise; what was opened is closed. */
export function arrivalsOf(state: ArrivalsState, change: Partial<ArrivalsState>): ArrivalsState {
  return narrowedTo({ ...state, open: null, week: null, look: null }, change);
}
