import { fetchAll } from '../../api';
import type { Crop, Cultivar, Farm, Organism, Supplier } from '../../contract.gen';
import { heldDaybook, recallDaybook } from '../../local/daybook';
import { toProblem } from '../../problem';
import { selectedSite, session } from '../../session';
import { words } from '../../words';
import { commonName } from '../../organism';
import { namesOfBook, onlyNames } from './arrivals';
import { isSilent } from './saving';
import { seenAs } from './sent';

/** The names records point to by id. */
export interface Names {
  suppliers: readonly Supplier[];
  farms: readonly Farm[];
  cultivars: readonly Cultivar[];
  crops: readonly Crop[];
  organisms: readonly Organism[];
}

const fiveMinutes = 5 * 60_000;
let kept: { by: string; at: number; names: Promise<Names> } | null = null;

async function fetchNames(): Promise<Names> {
  const [suppliers, farms, cultivars, crops, organisms] = await Promise.all([
    fetchAll('suppliers', {}),
    fetchAll('farms', {}),
    fetchAll('cultivars', {}),
    fetchAll('crops', {}),
    fetchAll('organisms', {}),
  ]);
  const byName = <T extends { name: string }>(list: T[]): T[] => list.toSorted((a, b) => a.name.localeCompare(b.name));
  return { suppliers: byName(suppliers), farms: byName(farms), cultivars: byName(cultivars), crops: byName(crops), organisms };
}

/** The names the server has, fetched once in five minutes: they change seldom and every page here needs them. */
async function serverNames(): Promise<Names> {
  const by = session.peek()?.person.id ?? '';
  if (kept?.by === by && Date.now() - kept.at < fiveMinutes) return await kept.names;
  const names = fetchNames();
  kept = { by, at: Date.now(), names };
  names.catch(() => (kept = null));
  return await names;
}

/** The names of the daybook, where the server does not answer. */
async function keptNames(thrown: unknown): Promise<Names> {
  const site = selectedSite.peek()?.id ?? '';
  await recallDaybook(site);
  const book = heldDaybook.peek();
  if (!book || !isSilent(toProblem(thrown))) throw thrown;
  return namesOfBook(book);
}

/** All names, those that wait on this phone among them. */
export async function loadNames(): Promise<Names> {
  return seenAs(onlyNames(await serverNames().catch(keptNames)), heldDaybook.peek()).names;
}

/** Makes the next page fetch the names again, after one was added. */
export function forgetNames(): void {
  kept = null;
}

function nameIn(list: readonly { id: string; name: string }[], id: string | null | undefined): string {
  return list.find((item) => item.id === id)?.name ?? words.value.common.unknown;
}

export function supplierName(names: Names, id: string | null | undefined): string {
  return nameIn(names.suppliers, id);
}

export function farmName(names: Names, id: string | null | undefined): string {
  return nameIn(names.farms, id);
}

export function cultivarName(names: Names, id: string | null | undefined): string {
  return nameIn(names.cultivars, id);
}

export function organismName(names: Names, id: string | null | undefined): string {
  return commonName(names.organisms.find((organism) => organism.id === id));
}
