import type { operations, TrendGroup, Trends } from '../../contract.gen';
import { allSites, type TrendsState } from '../state';

/** What advice and origin are asked about; both take the same. */
export type Question = NonNullable<operations['getAdvice']['parameters']['query']>;

/** The question of an opened group; null where a group is neither a lot, a cultivar nor a house. */
export function questionOf(
  { by, organism_id: organism, season_id: season }: Pick<Trends, 'by' | 'organism_id' | 'season_id'>,
  { key }: Pick<TrendGroup, 'key'>,
  site: string,
  { house, cultivar }: Pick<TrendsState, 'house' | 'cultivar'>,
): Question | null {
  if (key === '' || (by !== 'lot' && by !== 'cultivar' && by !== 'house')) return null;
  return {
    ...(site !== allSites && { site_id: site }),
    ...(organism && { organism_id: organism }),
    ...(season && { season_id: season }),
    ...(house !== null && { house_id: house }),
    ...(cultivar !== null && { cultivar_id: cultivar }),
    ...(by === 'lot' && { lot_id: key }),
    ...(by === 'cultivar' && { cultivar_id: key }),
    ...(by === 'house' && { house_id: key }),
  };
}
