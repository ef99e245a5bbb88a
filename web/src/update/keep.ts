import { assets, keyOf, keysOf, type Shell, type ShellFile } from './shell';

/** What of a Cache is used here. */
export type Store = Pick<Cache, 'keys' | 'match' | 'put' | 'delete'>;

type Fetch = (path: string, init: RequestInit) => Promise<Response>;

const atOnce = 4; // of the six connections a browser opens: the page needs some itself
const patience = 60_000; // nothing else ends a request that hangs
const tooMany = 4; // the network is down: come back later

async function heldIn(store: Store): Promise<Set<string>> {
  const requests = await store.keys();
  return new Set(requests.map(({ url }) => new URL(url)).map(({ pathname, search }) => pathname + search));
}

/** Fetches a file as it was built. The hash tells it from a login page, a file cut short and the file of another version. */
async function fetchFile([path, integrity]: ShellFile, fetchIt: Fetch): Promise<Response> {
  const signal = AbortSignal.timeout(patience);
  const ask = async (cache: RequestCache): Promise<Response> => {
    const answer = await fetchIt(`/${path}`, { integrity, signal, cache, priority: 'low' });
    if (!answer.ok) throw new Error(`${answer.status} for ${path}`);
    return answer;
  };
  try {
    return await ask(path.startsWith(assets) ? 'default' : 'no-cache'); // the page may have just fetched it
  } catch (thrown) {
    if (signal.aborted) throw thrown;
    return ask('reload'); // what the browser had kept may be broken
  }
}

/**
 * Fetches and keeps those of the files that are not there yet. Rejects unless all are there in the
 * end, but keeps what came, so that the next attempt goes on from there.
 */
export async function fill(store: Store, files: readonly ShellFile[], fetchIt: Fetch): Promise<void> {
  const held = await heldIn(store);
  const missing = files.filter((file) => !held.has(keyOf(file)));
  const failures: unknown[] = [];
  const work = async (): Promise<void> => {
    while (failures.length < tooMany) {
      const file = missing.shift();
      if (file === undefined) return;
      try {
        await store.put(keyOf(file), await fetchFile(file, fetchIt));
      } catch (thrown) {
        failures.push(thrown);
      }
    }
  };
  await Promise.all(Array.from({ length: atOnce }, work));
  if (failures.length > 0) throw failures[0];
}

interface Generation {
  version: string;
  keys: readonly string[];
}

interface Generations extends Generation {
  before?: Generation | undefined;
}

const generationsKey = '/sw.js?generations';

/** Removes what neither this version nor the one before it needs: a page of that one may still be open. */
export async function tidy(store: Store, shell: Shell): Promise<void> {
  const noted = await store.match(generationsKey);
  const last = noted && ((await noted.json()) as Generations);
  const before = last?.version === shell.version ? last.before : last && { version: last.version, keys: last.keys };
  const now: Generations = { version: shell.version, keys: keysOf(shell), before };
  await store.put(generationsKey, new Response(JSON.stringify(now)));
  const wanted = new Set([generationsKey, ...now.keys, ...(before?.keys ?? [])]);
  const held = await heldIn(store);
  await Promise.all([...held].filter((key) => !wanted.has(key)).map((key) => store.delete(key)));
}
