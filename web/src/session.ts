import { computed, signal } from '@preact/signals';

import { client, fetchAll, onUnauthorised, read } from './api';
import type { Role, Session, Site } from './contract.gen';
import { noteDown, recall, strikeOut } from './local/notebook';
import { onOtherTab, tellTabs } from './local/tabs';
import { toProblem } from './problem';
import { speakAsAccount } from './words/language';

/**
 * Where one stands with the server. `signed-in` is also who was, on this phone, when there is
 * no network to ask. `expired`: signed in before, and the page is kept.
 */
export type Access = 'starting' | 'unreachable' | 'signed-out' | 'signed-in' | 'expired';

export const access = signal<Access>('starting');

/** Whether the server said that the last day of the account has passed. */
export const ended = signal(false);

const endedCode = 'account_ended';

/** Who is signed in, where, and with which roles. */
export const session = signal<Session | null>(null);

/** The sites of this person, by name. */
export const sites = signal<readonly Site[]>([]);

const siteKey = 'benchtrail.site';

function keptSite(): string | null {
  try {
    return localStorage.getItem(siteKey);
  } catch {
    return null;
  }
}

const chosenSiteId = signal<string | null>(keptSite());

/** The site all pages are about: the chosen one, else the first. Null while there is none. */
export const selectedSite = computed<Site | null>(
  () => sites.value.find((site) => site.id === chosenSiteId.value) ?? sites.value[0] ?? null,
);

/** Chooses the site for all pages and remembers it on this device. */
export function chooseSite(id: string): void {
  chosenSiteId.value = id;
  try {
    localStorage.setItem(siteKey, id);
  } catch {
    // chosen all the same
  }
}

let clockOffset = 0;

/** The server's clock now. The demo runs on a clock of its own: never use Date.now() for what is shown or recorded. */
export function serverNow(): Date {
  return new Date(Date.now() + clockOffset);
}

/** Who is signed in, as this phone notes it down for a day with no network. */
interface Who {
  session: Session;
  sites: Site[];
  /** What to add to the phone's clock to get the server's, in ms. */
  clock_offset: number;
}

const whoKey = 'who';

function isWho(value: unknown): value is Who {
  return typeof value === 'object' && value !== null && 'session' in value && 'sites' in value && 'clock_offset' in value;
}

function show(who: Who): void {
  clockOffset = who.clock_offset;
  speakAsAccount(who.session.person.language);
  sites.value = who.sites;
  session.value = who.session;
}

async function enter(next: Session): Promise<void> {
  const clock_offset = Date.parse(next.now) - Date.now();
  const list = await fetchAll('sites', {});
  const who: Who = { session: next, sites: list.toSorted((a, b) => a.name.localeCompare(b.name)), clock_offset };
  show(who);
  ended.value = false;
  access.value = 'signed-in';
  await noteDown(whoKey, who);
}

/** Asks the server who is signed in; run when the page opens. With no network it is who was signed in last. */
export async function start(): Promise<void> {
  if (session.peek() === null) access.value = 'starting';
  try {
    await enter(await read(client.GET('/session')));
  } catch (thrown) {
    const { status, code } = toProblem(thrown);
    const refused = status === 401;
    ended.value = code === endedCode;
    const who = await recall(whoKey, isWho);
    if (who && session.peek() === null) show(who);
    if (who) {
      access.value = refused ? 'expired' : 'signed-in';
    } else {
      session.value = null;
      access.value = refused ? 'signed-out' : 'unreachable';
    }
  }
}

// Someone signed in or out in another tab: the server knows one person for all of them.
onOtherTab('who', () => void start());

/** Signs in. Throws ApiProblem. */
export async function signIn(email: string, password: string): Promise<void> {
  await enter(await read(client.POST('/session', { body: { email, password } })));
  tellTabs('who');
}

/** Signs out here and at the server. Throws ApiProblem when the server did not hear it. */
export async function signOut(): Promise<void> {
  await client.DELETE('/session');
  await strikeOut(whoKey);
  tellTabs('who');
  session.value = null;
  sites.value = [];
  access.value = 'signed-out';
}

/** Reads the sites again, after one was added or renamed. */
export async function reloadSites(): Promise<void> {
  const list = await fetchAll('sites', {});
  sites.value = list.toSorted((a, b) => a.name.localeCompare(b.name));
}

onUnauthorised((code) => {
  ended.value = code === endedCode;
  access.value = session.value ? 'expired' : 'signed-out';
});

/** Whether the person holds one of the roles at the site. A role with no site holds at every site. */
export function hasRole(siteId: string | null | undefined, ...wanted: Role[]): boolean {
  return (session.value?.roles ?? []).some(
    ({ role, site_id: at }) => wanted.includes(role) && (at === null || at === undefined || at === siteId),
  );
}

/** Whether the person sees every site there is; who has roles at some sites sees only those. */
export function seesAllSites(): boolean {
  return (session.value?.roles ?? []).some(({ site_id: at }) => at === null || at === undefined);
}

/** Whether the person works at the site at all: any role but a reader's may record what happened there. */
export function canRecord(siteId: string | null | undefined): boolean {
  return hasRole(siteId, 'receiver', 'grower', 'owner');
}

/** Whether the account sees and writes nothing, anywhere. */
export function readsOnly(): boolean {
  const roles = session.value?.roles ?? [];
  return roles.length > 0 && roles.every(({ role }) => role === 'reader');
}

/** Whether the person owns the site, or with no site given, owns any. */
export function isOwner(siteId?: string): boolean {
  if (siteId !== undefined) return hasRole(siteId, 'owner');
  return (session.value?.roles ?? []).some(({ role }) => role === 'owner');
}
