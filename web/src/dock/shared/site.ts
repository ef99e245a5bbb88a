import { sites } from '../../session';

/** The clock zone of a site; UTC when the site is not one of ours. */
export function zoneOf(siteId: string | undefined): string {
  return sites.value.find((site) => site.id === siteId)?.time_zone ?? 'UTC';
}
