import { rmSync } from 'node:fs';

import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';

import { sizes, startBrowser } from './browser';
import { startFront, type Front } from './front';
import { axeFindings } from './inspect';
import { buildNext } from './next-build';

let browser: Browser;
let front: Front;
let context: BrowserContext;
let built: { B: string; C: string };

beforeAll(async () => {
  [browser, built] = await Promise.all([startBrowser(), Promise.all([buildNext('B'), buildNext('C')]).then(([B, C]) => ({ B, C }))]);
}, 240_000);

afterAll(async () => {
  await browser.close();
  for (const folder of Object.values(built)) rmSync(folder, { recursive: true });
});

beforeEach(async () => {
  front = await startFront();
  context = await browser.newContext({ baseURL: front.address, viewport: sizes.phone, locale: 'en-GB', reducedMotion: 'reduce' });
  context.setDefaultTimeout(60_000);
});

afterEach(async () => {
  await context.close();
  await front.cut();
});

const title = (page: Page, text: string | RegExp) => page.getByRole('heading', { level: 1, name: text, exact: true });
const line = (page: Page) => page.getByText('A new version of Benchtrail is ready.');

/** Waits until the worker answers for the page, and so is installed. */
const underWorker = (page: Page): Promise<unknown> => page.waitForFunction(() => navigator.serviceWorker.controller !== null);

/** Waits until a new version is installed and waits beside the one in use. */
const nextWaits = (page: Page): Promise<void> =>
  page.evaluate(async () => {
    while ((await navigator.serviceWorker.getRegistration())?.waiting?.state !== 'installed') await new Promise((go) => setTimeout(go, 50));
  });

async function open(path = '/sums'): Promise<Page> {
  const page = await context.newPage();
  await page.goto(path);
  return page;
}

/** A page that has been here before. */
async function installed(): Promise<Page> {
  const page = await open();
  await title(page, 'Sums').waitFor();
  await underWorker(page);
  return page;
}

/** Takes the network and the server away. */
async function goDark(): Promise<void> {
  await front.cut();
  await context.setOffline(true);
}

/** Opens the page anew, which is when one learns of a version that waits. */
async function comeBack(page: Page): Promise<void> {
  await page.reload();
  await page.locator('h1').waitFor();
}

describe('without a network and with the server gone', () => {
  test('the pages start, at their beginning and at any address within, in both languages', async () => {
    const page = await installed();
    await goDark();
    await page.reload();
    await title(page, 'Sums').waitFor();
    await page.getByRole('button', { name: 'Español' }).click();
    await page.locator('html[lang=es]').waitFor();
    await page.reload();
    await title(page, /./).waitFor();
    expect(await page.locator('html').getAttribute('lang')).toBe('es');
    const another = await open('/sums?sum=proportion&examined=18&infested=4');
    await another.locator('#sum-proportion').waitFor();
    const scanned = await open('/l/0192a000-0000-7000-8000-000000000000');
    await scanned.locator('h1').waitFor();
    expect(await scanned.title()).toContain('Benchtrail');
  });

  test('every chunk of every page is there, also of those never opened', async () => {
    const page = await installed();
    await goDark();
    const missing = await page.evaluate(async () => {
      const index = await (await fetch('/index.html')).text();
      const entry = /src="(\/assets\/[^"]+)"/.exec(index)?.[1] ?? '';
      const code = await (await fetch(entry)).text();
      const wanted = new Set(code.match(/assets\/[\w-]+\.(?:js|css)/g));
      const answers = await Promise.all([...wanted].map((path) => fetch(`/${path}`).then(({ ok }) => (ok ? [] : [path]), () => [path])));
      return { wanted: wanted.size, missing: answers.flat() };
    });
    expect(missing.missing).toEqual([]);
    expect(missing.wanted).toBeGreaterThan(20);
  });

  test('the worker keeps no answer of the interface', async () => {
    const page = await installed();
    expect((await page.evaluate(async () => (await fetch('/api/v1/openapi.yaml')).status))).toBe(200);
    await goDark();
    expect(await page.evaluate(() => fetch('/api/v1/openapi.yaml').then(() => 'answered', () => 'no answer'))).toBe('no answer');
    expect(await page.evaluate(() => fetch('/healthz').then(() => 'answered', () => 'no answer'))).toBe('no answer');
  });
});

describe('the first visit', () => {
  test('gets its worker although answers break off in the middle', async () => {
    const broken = new Map<string, number>();
    front.breaks = ({ url = '', headers }) => {
      if (headers['sec-fetch-dest'] !== 'empty' || !/^\/(assets|icons)\//.test(url)) return false; // only what the worker fetches
      const times = (broken.get(url) ?? 0) + 1;
      broken.set(url, times);
      return times <= (url.includes('walk') ? 3 : 1);
    };
    const page = await installed();
    expect(broken.size).toBeGreaterThan(5);
    await goDark();
    await page.reload();
    await title(page, 'Sums').waitFor();
  });

  test('gets its worker although another page is on its way when the worker becomes active', async () => {
    const page = await open();
    await title(page, 'Sums').waitFor();
    let arrive = (): void => undefined;
    const held = new Promise<void>((go) => (arrive = go));
    front.holds = ({ url }) => (url === '/sign-in' ? held : Promise.resolve());
    const active = page.evaluate(() => navigator.serviceWorker.ready.then(({ active }) => new Promise<void>((go) => {
      if (active?.state === 'activated') go();
      active?.addEventListener('statechange', () => go());
    })));
    const other = await context.newPage();
    const going = other.goto('/sign-in');
    await active;
    arrive();
    await going;
    await underWorker(other);
  });

  test('works like any other where there are no service workers', async () => {
    await context.addInitScript(() => Reflect.deleteProperty(Navigator.prototype, 'serviceWorker'));
    const faults: string[] = [];
    const page = await context.newPage();
    page.on('pageerror', ({ message }) => faults.push(message));
    await page.goto('/sums');
    await title(page, 'Sums').waitFor();
    await page.getByRole('link', { name: 'Sign in' }).click();
    await title(page, /sign in/i).waitFor();
    expect(faults).toEqual([]);
  });
});

describe('a new version', () => {
  test('waits while the person says later, and the old one goes on, with chunks the server no longer has', async () => {
    const page = await installed();
    front.serve(built.B);
    await comeBack(page);
    await nextWaits(page);
    expect(await line(page).count()).toBe(0); // it does not come under a finger
    await comeBack(page);
    await title(page, 'Sums').waitFor(); // still the old one
    await line(page).waitFor();
    expect(await axeFindings(page)).toEqual([]);
    await page.getByRole('button', { name: 'Later' }).click();
    await line(page).waitFor({ state: 'detached' });
    await page.getByRole('link', { name: 'Sign in' }).click();
    await page.locator('html').evaluate(async () => {
      const names = (await caches.keys()).length;
      if (names !== 1) throw new Error(`${names} caches`);
    });
    await goDark();
    await page.goto('/sums');
    await title(page, 'Sums').waitFor();
  });

  test('comes at a tap, in every tab, and needs no network for it', async () => {
    const page = await installed();
    const other = await open('/sign-in');
    await underWorker(other);
    front.serve(built.B);
    await comeBack(page);
    await nextWaits(page);
    await comeBack(page);
    await line(page).waitFor();
    await goDark();
    const reloaded = other.waitForEvent('load');
    await page.getByRole('button', { name: 'Update now' }).click();
    await title(page, 'Sums B').waitFor();
    await reloaded;
    expect(await line(page).count()).toBe(0);
    await page.reload();
    await title(page, 'Sums B').waitFor();
  });

  test('leaves the version before it for a page that could not be reloaded, and the one before that not', async () => {
    const page = await installed();
    const first = await page.evaluate(() => new URL(document.querySelector('script')?.src ?? '').pathname);
    const has = (chunk: string): Promise<boolean> => page.evaluate(async (path) => (await (await caches.open('benchtrail-pages')).match(path)) !== undefined, chunk);
    for (const [name, kept] of [['B', true], ['C', false]] as const) {
      front.serve(built[name]);
      await comeBack(page);
      await nextWaits(page);
      await comeBack(page);
      await page.getByRole('button', { name: 'Update now' }).click();
      await title(page, `Sums ${name}`).waitFor();
      await expect.poll(() => has(first), { timeout: 60_000 }).toBe(kept);
      const status = await page.evaluate(async (path) => (await fetch(path, { cache: 'no-store' })).status, first);
      expect(status).toBe(kept ? 200 : 404);
    }
  });
});
