import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';

import { client, fetchAll, fetchOne, onUnauthorised, read, save } from '../../src/api';
import { ApiProblem, toProblem } from '../../src/problem';

const id = '0192f0c4-0000-7000-8000-000000000001';
const site = { name: 'Northfield', time_zone: 'Europe/Madrid' };

function answer(body: unknown, status = 200, kind = 'application/json'): Response {
  return new Response(typeof body === 'string' ? body : JSON.stringify(body), { status, headers: { 'Content-Type': kind } });
}

let sent: Request[];
let answers: (() => Response)[];

beforeEach(() => {
  sent = [];
  answers = [];
  vi.stubGlobal('fetch', (request: Request) => {
    sent.push(request);
    const next = answers.shift();
    return next ? Promise.resolve(next()) : Promise.reject(new TypeError('fetch failed'));
  });
});

afterEach(() => vi.unstubAllGlobals());

async function problemOf(attempt: Promise<unknown>): Promise<ApiProblem> {
  try {
    await attempt;
  } catch (thrown) {
    expect(thrown).toBeInstanceOf(ApiProblem);
    return toProblem(thrown);
  }
  throw new Error('it went through');
}

describe('saving', () => {
  it('creates without a version and corrects with the one seen', async () => {
    answers = [() => answer({ ...site, id, version: 1 }, 201), () => answer({ ...site, id, version: 2 })];
    expect((await save('sites', id, site)).version).toBe(1);
    expect((await save('sites', id, site, 1)).version).toBe(2);
    expect(sent.map(({ method }) => method)).toEqual(['PUT', 'PUT']);
    expect(sent.map(({ url }) => new URL(url).pathname)).toEqual([`/api/v1/sites/${id}`, `/api/v1/sites/${id}`]);
    expect(sent.map(({ headers }) => headers.get('If-Match'))).toEqual([null, '"1"']);
    expect(await sent[0]?.json()).toEqual(site);
  });

  it('tells stale, taken and faulty apart', async () => {
    const refuse = (status: number, code: string) => () => answer({ type: 'about:blank', title: 't', status, code }, status, 'application/problem+json');
    answers = [refuse(412, 'stale'), refuse(409, 'conflict')];
    expect((await problemOf(save('sites', id, site, 1))).isStale).toBe(true);
    expect((await problemOf(save('sites', id, site))).isConflict).toBe(true);
  });
});

describe('asking', () => {
  it('follows a list to its end', async () => {
    answers = [() => answer({ items: [{ id: 'a' }, { id: 'b' }], next: 'p2' }), () => answer({ items: [{ id: 'c' }], next: null })];
    const blocks = await fetchAll('blocks', { site_id: id });
    expect(blocks.map((block) => block.id)).toEqual(['a', 'b', 'c']);
    expect(new URL(sent[1]?.url ?? '').searchParams.get('after')).toBe('p2');
    expect(new URL(sent[1]?.url ?? '').searchParams.get('site_id')).toBe(id);
  });

  it('says when there is no network', async () => {
    expect((await problemOf(fetchOne('sites', id))).code).toBe('network');
  });

  it('does not take another page for an answer', async () => {
    answers = [() => answer('<html>Welcome to the Wi-Fi</html>', 200, 'text/html'), () => answer('{}', 502, 'application/json')];
    expect((await problemOf(fetchOne('sites', id))).code).toBe('not_our_server');
    expect((await problemOf(fetchOne('sites', id))).code).toBe('not_our_server');
  });

  it('notices that the sign-in has run out, but not while signing in', async () => {
    const noticed = vi.fn();
    onUnauthorised(noticed);
    const refuse = () => answer({ type: 'about:blank', title: 't', status: 401, code: 'unauthenticated' }, 401, 'application/problem+json');
    answers = [refuse, refuse];
    await problemOf(read(client.POST('/session', { body: { email: 'a', password: 'b' } })));
    expect(noticed).not.toHaveBeenCalled();
    await problemOf(fetchOne('sites', id));
    expect(noticed).toHaveBeenCalledOnce();
  });
});
