import type { Store } from '../../src/update/keep';
import type { Shell } from '../../src/update/shell';

/** A cache in memory. */
export function storeOf(keys: readonly string[] = []): Store & { held: () => string[] } {
  const kept = new Map(keys.map((key) => [key, new Response('kept')]));
  const key = (request: RequestInfo | URL): string => {
    if (typeof request !== 'string') throw new Error('files are kept by their keys');
    return request;
  };
  return {
    held: () => [...kept.keys()].filter((name) => !name.startsWith('/sw.js')).sort(),
    keys: () => Promise.resolve([...kept.keys()].map((name) => new Request(`https://pages.example${name}`))),
    match: (request) => Promise.resolve(kept.get(key(request))?.clone()),
    put: (request, answer) => Promise.resolve(void kept.set(key(request), answer)),
    delete: (request) => Promise.resolve(kept.delete(key(request))),
  };
}

/** A version made of hashed files and an index of its own. */
export function shell(version: string, ...hashed: string[]): Shell {
  return { version, files: [...hashed.map((name) => [`assets/${name}`, `sha256-${name}`] as const), ['index.html', `sha256-${version}`]], afterwards: [] };
}
