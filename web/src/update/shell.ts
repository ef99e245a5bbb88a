/** A built file: its path under the root, and its hash as fetch takes it (sha256-…). */
export type ShellFile = readonly [path: string, integrity: string];

/** The built files of one version, as the build writes them at the head of sw.js. */
export interface Shell {
  version: string;
  /** Kept before the version is used. */
  files: readonly ShellFile[];
  /** Kept once the version is in use: large, and needed to show no page. */
  afterwards: readonly ShellFile[];
}

/** What the worker asks of a request. */
export interface Asked {
  method: string;
  mode: string;
  url: string;
}

/** The folder of the files with a hash in their names. */
export const assets = 'assets/';

const indexPath = 'index.html';
const servers = ['/api', '/healthz', '/readyz'];

/**
 * Where a file is kept. Files under assets have a hash in their names, and the others get theirs here:
 * one cache then holds several versions, and what has not changed is neither fetched nor stored twice.
 */
export function keyOf([path, integrity]: ShellFile): string {
  return path.startsWith(assets) ? `/${path}` : `/${path}?${encodeURIComponent(integrity)}`;
}

/** Everything a version may keep. */
export function keysOf(shell: Shell): string[] {
  return [...shell.files, ...shell.afterwards].map(keyOf);
}

/** Where the answer to a request is kept, or null where it is for the server alone. */
export function keyFor(asked: Asked, origin: string, shell: Shell): string | null {
  const { origin: asksOf, pathname } = new URL(asked.url);
  if (asked.method !== 'GET' || asksOf !== origin) return null;
  if (servers.some((path) => pathname === path || pathname.startsWith(`${path}/`))) return null;
  if (asked.mode !== 'navigate' && pathname.startsWith(`/${assets}`)) return pathname;
  // As the server does: an address whose end looks like a file is never a page.
  const isPage = asked.mode === 'navigate' && !/\.[^/]*$/.test(pathname);
  const wanted = isPage ? indexPath : asked.mode === 'navigate' ? null : pathname.slice(1);
  const file = shell.files.find(([path]) => path === wanted);
  return file ? keyOf(file) : null;
}

/** Whether an answer is the file that was asked for, and not a login page of the network's. */
export function isFile(answer: Response): boolean {
  return answer.status === 200 && !answer.redirected && !(answer.headers.get('Content-Type') ?? '').startsWith('text/html');
}
