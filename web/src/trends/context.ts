import type { Trends } from '../contract.gen';
import { sites } from '../session';
import { format, words } from '../words';
import { allSites } from './state';

/** What a reading is of, over its title. */
export function context(trends: Pick<Trends, 'season_year' | 'as_of'> | undefined, organism: string, site: string): string {
  const say = words.value.trends;
  return [
    organism,
    site === allSites ? say.allSites : sites.value.find(({ id }) => id === site)?.name,
    trends?.season_year === undefined ? undefined : say.seasonYear(trends.season_year, ''),
    trends?.as_of === undefined ? undefined : say.asOf(format.value.fullDate(trends.as_of)),
  ]
    .filter((part) => part !== undefined && part !== '')
    .join(' · ');
}
