import { withQuery } from '../../router';
import { fitting, isoWeek, uuid, readNarrowing, type Narrowing } from '../state';

/** What the page shows; all of it stands in the address. */
export interface MapState extends Pick<Narrowing, 'site' | 'house' | 'organism' | 'season'> {
  /** Null: the latest with a look. */
  week: string | null;
  /** The block that is opened. */
  block: string | null;
  look: string | null;
}

/** Reads the address. What does not fit is left out, never guessed. */
export function readMap(query: URLSearchParams): MapState {
  const { site, house, organism, season } = readNarrowing(query);
  const block = fitting(query.get('block'), uuid);
  return { site, house, organism, season, week: fitting(query.get('week'), isoWeek), block, look: block === null ? null : fitting(query.get('look'), uuid) };
}

/** The address of a state. */
export function mapAddress({ site, house, organism, season, week, block, look }: MapState): string {
  return withQuery('/trends/map', { site, house, organism, season, week, block, look: block === null ? null : look });
}
