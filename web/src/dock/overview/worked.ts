import type { Claim, SecondLook } from '../../contract.gen';
import { noteDown, recall } from '../../local/notebook';
import { session } from '../../session';
import type { Unsettled } from './conflicts';

/** What only the server works out of a site: the phone keeps its last answer. */
export interface Worked {
  looks: SecondLook[];
  claims: Claim[];
  conflicts: readonly Unsettled[];
}

export const nothingWorked: Worked = { looks: [], claims: [], conflicts: [] };

const noteKey = (site: string): string => `dock ${session.peek()?.person.id ?? ''} ${site}`;

function isWorked(value: unknown): value is Worked {
  return typeof value === 'object' && value !== null && 'looks' in value && 'claims' in value && 'conflicts' in value;
}

/** Keeps the server's answer for when there is no network. */
export async function noteWorked(site: string, worked: Worked): Promise<void> {
  await noteDown(noteKey(site), worked);
}

/** The server's last answer. */
export async function recallWorked(site: string): Promise<Worked> {
  return (await recall(noteKey(site), isWorked)) ?? nothingWorked;
}
