import { existsSync, readFileSync } from 'node:fs';
import { createServer, request as ask, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join } from 'node:path';

import { inject } from 'vitest';

const kinds: Record<string, string> = {
  '.css': 'text/css; charset=utf-8',
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.png': 'image/png',
  '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
  '.webmanifest': 'application/manifest+json',
};

/** Stands before the program: can be cut off, give out the pages of another build, and break or delay answers. */
export interface Front {
  address: string;
  /** Serves the pages of a folder from now on; those in the program again when left out. */
  serve(folder?: string): void;
  /** Says of a request whether its answer breaks off in the middle. */
  breaks: (request: IncomingMessage) => boolean;
  /** Holds the answer to a request back until it resolves. */
  holds: (request: IncomingMessage) => Promise<void>;
  /** Every address that was asked for. */
  asked: string[];
  /** Ends the server and all its connections: nothing listens any more. */
  cut(): Promise<void>;
  /** Listens again at the same address. */
  mend(): Promise<void>;
}

/** Passes a request on to the program. */
function passOn(program: string, request: IncomingMessage, answer: ServerResponse): void {
  const { hostname, port } = new URL(program);
  const { method, url: path, headers } = request;
  const on = ask({ hostname, port, method, path, headers: { ...headers, host: `${hostname}:${port}` } }, (given) => {
    answer.writeHead(given.statusCode ?? 502, given.headers);
    given.pipe(answer);
  });
  on.on('error', () => answer.destroy());
  request.pipe(on);
}

/** Answers from a folder of built pages, by the rules and with the policy of the program. */
function answerFrom(folder: string, policy: string, request: IncomingMessage, answer: ServerResponse): void {
  const { pathname } = new URL(request.url ?? '/', 'http://front');
  const isPage = extname(pathname) === '' && (request.headers.accept ?? '').includes('text/html');
  const file = join(folder, isPage ? 'index.html' : pathname);
  if (!existsSync(file) || (pathname === '/' && !isPage)) {
    answer.writeHead(404).end();
    return;
  }
  answer.writeHead(200, {
    'Content-Type': kinds[extname(file)] ?? 'application/octet-stream',
    'Cache-Control': pathname.startsWith('/assets/') ? 'public, max-age=31536000, immutable' : 'no-cache',
    'Content-Security-Policy': policy,
  });
  answer.end(readFileSync(file));
}

async function listen(server: Server, port: number): Promise<number> {
  await new Promise<void>((go, fail) => server.once('error', fail).listen(port, '127.0.0.1', go));
  return (server.address() as AddressInfo).port;
}

/** Starts a front before the tests' demo, or before another program. */
export async function startFront(program = inject('address')): Promise<Front> {
  const policy = (await fetch(program, { headers: { Accept: 'text/html' } })).headers.get('Content-Security-Policy') ?? '';
  let served: string | undefined;
  const answerOne = async (request: IncomingMessage, answer: ServerResponse): Promise<void> => {
    front.asked.push(request.url ?? '');
    await front.holds(request);
    if (front.breaks(request)) {
      answer.writeHead(200, { 'Content-Type': 'text/javascript', 'Content-Length': 100_000 });
      answer.write('export', () => answer.destroy());
      return;
    }
    if (served === undefined || /^\/(api|healthz|readyz)\b/.test(request.url ?? '')) passOn(program, request, answer);
    else answerFrom(served, policy, request, answer);
  };
  const server = createServer((request, answer) => void answerOne(request, answer));
  const port = await listen(server, 0);
  const front: Front = {
    address: `http://127.0.0.1:${port}`,
    serve: (folder) => (served = folder),
    breaks: () => false,
    holds: () => Promise.resolve(),
    asked: [],
    cut: async () => {
      if (!server.listening) return;
      const closed = new Promise((go) => server.close(go));
      server.closeAllConnections();
      await closed;
    },
    mend: async () => {
      await listen(server, port);
    },
  };
  return front;
}
