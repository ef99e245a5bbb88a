import type { APIRequestContext } from 'playwright-core';

import type { Farm, House, Inspection, Look, Lot, Shipment, Site, Trends } from '../../src/contract.gen';

interface List<T> {
  items: T[];
}

/**
 * Every page of the program, with a record that the person who is signed in may
 * see where the address needs one. Names are for headings and pictures.
 */
export async function everyPage(api: APIRequestContext): Promise<[name: string, address: string][]> {
  const ask = async <T>(path: string): Promise<T> => {
    const answer = await api.get(`/api/v1/${path}`);
    if (!answer.ok()) throw new Error(`${answer.status()} for GET ${path}: ${await answer.text()}`);
    return (await answer.json()) as T;
  };
  const first = async <T>(path: string): Promise<T> => {
    const [item] = (await ask<List<T>>(`${path}&limit=1`)).items;
    if (item === undefined) throw new Error(`the demo has nothing at ${path}`);
    return item;
  };
  const sites = (await ask<List<Site>>('sites')).items.toSorted((a, b) => a.name.localeCompare(b.name));
  const site = sites[0]?.id; // the one the pages choose by themselves
  if (site === undefined) throw new Error('this person sees no site');
  const look = await first<Look>(`looks?site_id=${site}`);
  const inspected = await first<Lot>(`lots?site_id=${site}&state=inspected`); // ids follow time, so it is an arrival
  const inspection = await first<Inspection>(`inspections?lot_id=${inspected.id}`);
  const farm = await first<Farm>('farms?');
  const waiting = (await ask<List<Lot>>(`lots?site_id=${site}&state=waiting`)).items[0] ?? inspected;
  if (!waiting.shipment_id) throw new Error('a lot that waits for its inspection has no shipment');
  const shipment = await ask<Shipment>(`shipments/${waiting.shipment_id}`);
  const house = await first<House>(`houses?site_id=${site}`);
  const trends = await ask<Trends>(`trends?by=cultivar&site_id=${site}`);
  const group = trends.groups.find(({ points }) => points.some(({ infested_plants }) => infested_plants > 0));
  const week = group?.points.findLast(({ infested_plants }) => infested_plants > 0)?.week;
  if (!group || week === undefined) throw new Error('the demo has no cultivar with an infested plant');
  const opened = `/trends?by=cultivar&site=${site}&open=${encodeURIComponent(group.key)}`;
  const behind = await first<Look>(`looks?site_id=${site}&by=cultivar&key=${encodeURIComponent(group.key)}&week=${week}`);
  return [
    ['dock', '/dock'],
    ['dock-plan', '/dock/plan'],
    ['claim', `/dock/shipments/${shipment.id}/claim`],
    ['shipment-new', '/dock/new'],
    ['shipment', `/dock/shipments/${shipment.id}`],
    ['shipment-correct', `/dock/shipments/${shipment.id}/correct`],
    ['lot-new', `/dock/shipments/${shipment.id}/lot`],
    ['lots-paste', `/dock/shipments/${shipment.id}/paste`],
    ['lot', `/dock/lots/${inspected.id}`],
    ['lot-correct', `/dock/lots/${inspected.id}/correct`],
    ['inspect', `/dock/lots/${waiting.id}/inspect`],
    ['inspect-second', `/dock/lots/${inspected.id}/inspect?kind=second_look`],
    ['inspection', `/dock/inspections/${inspection.id}`],
    ['inspection-correct', `/dock/inspections/${inspection.id}/correct`],
    ['walk', '/walk'],
    ['walk-doubts', '/walk/doubts'],
    ['block', `/walk/blocks/${look.block_id}`],
    ['look', `/walk/looks/${look.id}`],
    ['week', '/week'],
    ['week-all', '/week?section=all'],
    ['week-before', '/week?section=all&week=2026-W35'],
    ['trends-lot', '/trends?by=lot'],
    ['trends-cultivar', '/trends?by=cultivar'],
    ['trends-arrival', '/trends?by=arrival'],
    ['trends-foliage', '/trends?by=foliage'],
    ['trends-house', '/trends?by=house'],
    ['trends-opened', opened],
    ['trends-week', `${opened}&week=${week}`],
    ['trends-look', `${opened}&week=${week}&look=${behind.id}`],
    ['houses', '/houses'],
    ['houses-season', `/houses?season=${trends.season_id ?? ''}&sort=more`],
    ['arrivals', '/trends/arrivals'],
    ['map', `/trends/map?site=${site}&house=${house.id}`],
    ['season', '/season'],
    ['season-house', '/season?by=house&sort=loss'],
    ['trail', '/trail'],
    ['trail-farm', `/trail?from=farm&id=${farm.id}`],
    ['trail-lot-back', `/trail?from=lot&id=${inspected.id}&way=back`],
    ['trail-block', `/trail?from=block&id=${look.block_id}`],
    ['trail-reach', `/trail/reach?from=lot&id=${inspected.id}`],
    ['trail-strikes', '/trail/strikes'],
    ['trail-strikes-shipment', '/trail/strikes?by=shipment'],
    ['setup', '/setup'],
    ['setup-places', '/setup/places'],
    ['setup-stock', '/setup/stock'],
    ['setup-seasons', '/setup/seasons'],
    ['setup-limits', '/setup/limits'],
    ['setup-import', '/setup/import'],
    ['setup-accounts', '/setup/accounts'],
    ['setup-tokens', '/setup/tokens'],
    ['labels', '/labels'],
    ['labels-shipment', `/labels?shipment=${shipment.id}`],
    ['labels-lot', `/labels?lot=${inspected.id}`],
    ['labels-house', `/labels?house=${house.id}`],
    ['labels-site', `/labels?site=${site}&of=blocks`],
    ['sheets-plants', `/sheets?house=${house.id}&site=${site}`],
    ['sheets-counts', '/sheets?kind=counts'],
    ['sheets-map', `/sheets?kind=map&house=${house.id}&site=${site}`],
    ['sheets-signs', '/sheets?kind=signs&paper=letter'],
    ['labels-scanned', '/01/04006381333931/10/no-such-lot'],
    ['sums', '/sums'],
    ['no-such-page', '/no-such-page'],
  ];
}
