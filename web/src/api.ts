import { signal } from '@preact/signals';
import createClient from 'openapi-fetch';

import type { paths } from './contract.gen';
import { ApiProblem, asProblem, foreignProblem, networkProblem } from './problem';

const path = '/api/v1';
const base = (typeof location === 'undefined' ? 'http://pages.invalid' : location.origin) + path;

let whenUnauthorised: (code: string) => void = () => undefined;

/** Says what to do when the server no longer lets in who is asking; the code says why. */
export function onUnauthorised(act: (code: string) => void): void {
  whenUnauthorised = act;
}

/** Whether the last request got an answer of the server's: there is a network. */
export const reached = signal(true);

/** Sends a request and answers only what truly came from the server; throws ApiProblem otherwise. */
async function send(request: Request): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(request);
  } catch (failure) {
    if (request.signal.aborted) throw failure;
    reached.value = false;
    throw networkProblem();
  }
  const kind = response.headers.get('Content-Type') ?? '';
  reached.value = response.status === 204 || /^application\/(problem\+)?json\b/.test(kind);
  if (!reached.value) throw foreignProblem(response.status);
  if (response.status === 204) return response;
  if (response.ok) return response;
  const problem = asProblem(await response.json().catch(() => null));
  if (!problem) throw foreignProblem(response.status);
  const signingIn = new URL(request.url).pathname === `${path}/session`;
  if (response.status === 401 && !signingIn) whenUnauthorised(problem.code);
  throw new ApiProblem(problem);
}

/** The typed client of the contract. Use it through `read`. */
export const client = createClient<paths>({ baseUrl: base, fetch: send });

/** The body of an answer: `await read(client.GET('/trends', { params: { query } }))`. Throws ApiProblem. */
export async function read<T>(answer: Promise<{ data?: T; response: Response }>): Promise<T> {
  const { data, response } = await answer;
  if (data === undefined) throw foreignProblem(response.status);
  return data;
}

interface PutOf<Body, Stored> {
  put: {
    requestBody: { content: { 'application/json': Body } };
    responses: { 200: { content: { 'application/json': Stored } } };
  };
}

interface ListOf<Item> {
  get: { responses: { 200: { content: { 'application/json': { items: Item[]; next: string | null } } } } };
}

type Collections = { [P in keyof paths]: P extends `/${infer N}` ? (paths[P] extends ListOf<unknown> ? N : never) : never };

/** Nouns that can be listed page by page. */
export type ListNoun = Collections[keyof Collections];

type Puttable = {
  [P in keyof paths]: P extends `/${infer N}/{id}` ? (paths[P] extends PutOf<unknown, unknown> ? N : never) : never;
};

/** Nouns that are created and corrected with PUT. */
export type Noun = Puttable[keyof Puttable];

/** What is sent to store a noun. */
export type BodyOf<N extends Noun> = paths[`/${N}/{id}`] extends PutOf<infer Body, unknown> ? Body : never;

/** What comes back: the body with id, version, who and when. */
export type RecordOf<N extends Noun> = paths[`/${N}/{id}`] extends PutOf<unknown, infer Stored> ? Stored : never;

/** One row of a list. */
export type ItemOf<N extends ListNoun> = paths[`/${N}`] extends ListOf<infer Item> ? Item : never;

/** What a list may be narrowed by. */
export type QueryOf<N extends ListNoun> = paths[`/${N}`] extends { get: { parameters: { query?: infer Query } } }
  ? NonNullable<Query>
  : never;

async function ask(what: string, init: RequestInit): Promise<unknown> {
  const response = await send(new Request(base + what, init));
  return response.status === 204 ? null : await response.json();
}

/**
 * Stores a record. Without a version it creates (and a repeat of the same body is
 * quietly fine, so a lost answer may be retried with the same id); with the version
 * one has seen it corrects. Throws ApiProblem: `isStale`, `isConflict` or `faults`.
 */
export async function save<N extends Noun>(noun: N, id: string, body: BodyOf<N>, version?: number, signal?: AbortSignal): Promise<RecordOf<N>> {
  const headers = new Headers({ 'Content-Type': 'application/json' });
  if (version !== undefined) headers.set('If-Match', `"${version}"`);
  const stored = await ask(`/${noun}/${encodeURIComponent(id)}`, { method: 'PUT', headers, body: JSON.stringify(body), ...(signal && { signal }) });
  return stored as RecordOf<N>;
}

/** Stores the picture of a photo; the same again is quietly fine. Throws ApiProblem. */
export async function sendPicture(id: string, jpeg: Blob): Promise<void> {
  await ask(`/photos/${encodeURIComponent(id)}/picture`, { method: 'PUT', headers: { 'Content-Type': 'image/jpeg' }, body: jpeg });
}

/** Where the picture of a photo is: `small` is 320 pixels long. */
export function pictureAddress(id: string, size: 'small' | 'full'): string {
  return `${path}/photos/${encodeURIComponent(id)}/picture?size=${size}`;
}

/** Where the raw looks are as a table, narrowed as a list of them. */
export function lookTableAddress(query: QueryOf<'looks'>): string {
  const search = new URLSearchParams();
  for (const [name, value] of Object.entries(query)) {
    if (typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean') search.set(name, String(value));
  }
  return `${path}/looks/csv?${search.toString()}`;
}

/** One record as it stands now. */
export async function fetchOne<N extends Noun>(noun: N, id: string, signal?: AbortSignal): Promise<RecordOf<N>> {
  const stored = await ask(`/${noun}/${encodeURIComponent(id)}`, { ...(signal && { signal }) });
  return stored as RecordOf<N>;
}

/** One page of a list. */
export async function fetchPage<N extends ListNoun>(
  noun: N,
  query: QueryOf<N>,
  signal?: AbortSignal,
): Promise<{ items: ItemOf<N>[]; next: string | null }> {
  const search = new URLSearchParams();
  for (const [name, value] of Object.entries(query)) {
    if (typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean') search.set(name, String(value));
  }
  const page = await ask(`/${noun}?${search.toString()}`, { ...(signal && { signal }) });
  return page as { items: ItemOf<N>[]; next: string | null };
}

/** A whole list, page after page. For lists that are short by nature (places, names, limits). */
export async function fetchAll<N extends ListNoun>(noun: N, query: QueryOf<N>, signal?: AbortSignal): Promise<ItemOf<N>[]> {
  const items: ItemOf<N>[] = [];
  let after: string | null = null;
  do {
    const narrowed: QueryOf<N> = { ...query, limit: 200, ...(after !== null && { after }) };
    const page: { items: ItemOf<N>[]; next: string | null } = await fetchPage(noun, narrowed, signal);
    items.push(...page.items);
    after = page.next;
  } while (after !== null);
  return items;
}
