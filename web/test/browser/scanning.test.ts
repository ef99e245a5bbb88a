import type { BrowserContext, Page } from 'playwright-core';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';

import { blockAddress, labelAddress } from '../../src/labels/address';
import type { Daybook, SiteList } from '../../src/contract.gen';
import { signIn, sizes, startBrowser, type Person } from './browser';
import { cameraSeeing, oneCode, pictureOf, pngOf, twoCodes } from './camera-feed';
import { startFront, type Front } from './front';
import { axeFindings, picture } from './inspect';
import { workerInControl } from './phone';

let front: Front;
let closers: (() => Promise<void> | void)[] = [];

beforeEach(async () => {
  front = await startFront();
  closers = [];
});

afterEach(async () => {
  for (const close of closers) await close();
  await front.cut();
});

interface Opened {
  context: BrowserContext;
  page: Page;
  book: Daybook;
}

/** Opens a browser with these switches, signs someone in and reads what there is to scan. */
async function opened(person: Person, switches: readonly string[], origin = front.address): Promise<Opened> {
  const browser = await startBrowser(...switches);
  closers.push(() => browser.close());
  const context = await browser.newContext({ baseURL: origin, viewport: sizes.phone, hasTouch: true, locale: 'en-GB', reducedMotion: 'reduce' });
  context.setDefaultTimeout(30_000);
  await context.addInitScript(rememberCameras);
  await context.addInitScript(listen);
  const page = await context.newPage();
  await signIn(page, person);
  return { context, page, book: await bookOf(context) };
}

/** Keeps every stream that was opened, so that a test can see whether it was stopped. */
function rememberCameras(): void {
  const { mediaDevices } = navigator;
  const open = mediaDevices.getUserMedia.bind(mediaDevices);
  const streams: MediaStream[] = [];
  Object.assign(globalThis, { streams });
  mediaDevices.getUserMedia = async (wish) => {
    const stream = await open(wish);
    streams.push(stream);
    return stream;
  };
}

/** What the dialog said so far, also what stood there for a moment only. */
const heard = (page: Page): Promise<string> => page.evaluate(() => (globalThis as { heard?: string[] }).heard?.join('\n') ?? '');

function listen(): void {
  const said: string[] = [];
  Object.assign(globalThis, { heard: said });
  new MutationObserver(() => {
    for (const status of document.querySelectorAll('dialog [role=status]')) said.push(status.textContent);
  }).observe(document, { subtree: true, childList: true, characterData: true });
}

/** Of all cameras opened on this page, how many run; the number opened, to know that there were any. */
const cameras = (page: Page): Promise<{ opened: number; running: number }> =>
  page.evaluate(() => {
    const { streams } = globalThis as { streams?: MediaStream[] };
    return { opened: streams?.length ?? 0, running: (streams ?? []).filter(({ active }) => active).length };
  });

async function bookOf(context: BrowserContext): Promise<Daybook> {
  const ask = async <T>(path: string): Promise<T> => (await (await context.request.get(`/api/v1/${path}`)).json()) as T;
  const [site] = (await ask<SiteList>('sites')).items.toSorted((a, b) => a.name.localeCompare(b.name));
  if (!site) throw new Error('this person sees no site');
  return ask<Daybook>(`daybook?site_id=${site.id}`);
}

/** A lot that stands in one block, with that block. */
function standing({ lots, placements, blocks }: Daybook) {
  for (const lot of lots) {
    const here = placements.filter(({ lot_id, to }) => lot_id === lot.id && !to);
    const block = blocks.find(({ id }) => id === here[0]?.block_id);
    if (here.length === 1 && block) return { lot, block };
  }
  throw new Error('no lot of the demo stands in one block alone');
}

/** What there is to scan in the demo: its camera is started with the browser, so this is asked before. */
async function toScan(person: Person): Promise<Daybook> {
  const { book } = await opened(person, []);
  return book;
}

function seeing(codes: Parameters<typeof cameraSeeing>[0]): string[] {
  const { switches, remove } = cameraSeeing(codes);
  closers.unshift(remove);
  return switches;
}

const scanFrom = async (page: Page, path: string): Promise<void> => {
  await page.goto(path);
  await page.getByRole('button', { name: 'Scan a label' }).click();
  await page.getByRole('dialog', { name: 'Scan a label' }).waitFor();
};

/** Waits until the reader of codes is on the phone, whole: a cache names what it is still being given. */
const readerKept = (page: Page): Promise<unknown> =>
  page.waitForFunction(
    async () => {
      const cache = await caches.open('benchtrail-pages');
      const reader = (await cache.keys()).find(({ url }) => url.endsWith('.wasm'));
      const kept = reader && (await cache.match(reader));
      return kept ? WebAssembly.validate(await kept.arrayBuffer()) : false;
    },
    undefined,
    { timeout: 60_000 },
  );

describe('with a camera', () => {
  test('a block’s label scanned on Walk opens its marking page, and the camera is stopped', async () => {
    const { block } = standing(await toScan('grower'));
    const { page } = await opened('grower', seeing(oneCode(blockAddress(front.address, block.id))));
    await scanFrom(page, '/walk');
    await page.waitForURL(`**/walk/blocks/${block.id}`);
    await page.getByRole('heading', { level: 1, name: new RegExp(block.name) }).waitFor();
    expect(await page.getByRole('dialog').count()).toBe(0);
    expect(await heard(page)).toContain(`Found: ${block.name}`);
    const { opened: all, running } = await cameras(page);
    expect(all).toBeGreaterThan(0);
    expect(running).toBe(0);
  });

  test('with the network cut, a lot’s label leads on Walk to where it stands and on the Dock to the lot', async () => {
    const { lot, block } = standing(await toScan('grower'));
    const { context, page } = await opened('grower', seeing(oneCode(labelAddress('https://the-address-when-it-was.printed', { id: lot.id, code: lot.code ?? '' }))));
    await page.goto('/walk');
    await page.getByRole('progressbar').waitFor();
    await workerInControl(page);
    await readerKept(page);
    await front.cut();
    await context.setOffline(true);
    await scanFrom(page, '/walk');
    await page.waitForURL(`**/walk/blocks/${block.id}?lot=${lot.id}`);
    await page.getByRole('heading', { level: 1, name: new RegExp(block.name) }).waitFor();
    await scanFrom(page, '/dock');
    await page.waitForURL(`**/dock/lots/${lot.id}`);
    await page.getByRole('heading', { level: 1, name: new RegExp(`^${lot.code ?? ''} `) }).waitFor();
  });

  test('on the Dock, of two labels in view one is chosen and its lot opens', async () => {
    const [one, other] = (await toScan('receiver')).lots;
    if (!one || !other) throw new Error('the demo has no two lots');
    const address = ({ id, code }: typeof one): string => labelAddress(front.address, { id, code: code ?? '' });
    const { page } = await opened('receiver', seeing(twoCodes(address(one), address(other))));
    await scanFrom(page, '/dock');
    await page.getByText('Several labels are in view. Which one?').waitFor();
    expect(await axeFindings(page)).toEqual([]);
    await picture(page, 'scan-choose', 'window');
    expect((await cameras(page)).running).toBe(0);
    await page.getByRole('dialog').getByRole('link', { name: new RegExp(`^${other.code ?? ''} `) }).click();
    await page.waitForURL(`**/dock/lots/${other.id}`);
  });

  test('a code that is not ours is said and not followed; closing stops the camera and gives the focus back', async () => {
    const { page } = await opened('grower', seeing(oneCode('https://elsewhere.example/l/menu')));
    await scanFrom(page, '/walk');
    await page.getByText('This code is not on a label of this nursery. It says: https://elsewhere.example/l/menu').waitFor();
    expect(await axeFindings(page)).toEqual([]);
    expect((await cameras(page)).running).toBe(1);
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
    expect((await cameras(page)).running).toBe(0);
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Scan a label');
    expect(new URL(page.url()).pathname).toBe('/walk');
  });
});

describe('the camera', () => {
  test('rests while nobody sees the page, and goes on afterwards', async () => {
    const { page } = await opened('grower', seeing([]));
    await scanFrom(page, '/walk');
    await page.getByText('Hold the code of a label in the frame.').waitFor();
    const show = (hidden: boolean): Promise<void> =>
      page.evaluate((now) => {
        Object.defineProperty(document, 'hidden', { get: () => now, configurable: true });
        document.dispatchEvent(new Event('visibilitychange'));
      }, hidden);
    await show(true);
    await expect.poll(() => cameras(page)).toEqual({ opened: 1, running: 0 });
    await show(false);
    await page.getByText('Hold the code of a label in the frame.').waitFor();
    expect(await cameras(page)).toEqual({ opened: 2, running: 1 });
  });

  test('is not kept open where the reader of codes cannot be fetched; that is said, and tried again', async () => {
    const { page, context } = await opened('grower', seeing([]));
    // Only what the page itself fetches: the worker may have the file already.
    await page.evaluate(async () => {
      for (const worker of await navigator.serviceWorker.getRegistrations()) await worker.unregister();
    });
    await context.route('**/sw.js', (route) => route.abort());
    await context.route('**/*.wasm', (route) => route.abort());
    await scanFrom(page, '/walk');
    await page.getByText('The reader of codes is not on this phone yet').waitFor();
    expect(await axeFindings(page)).toEqual([]);
    await expect.poll(async () => (await cameras(page)).running).toBe(0);
    await context.unroute('**/*.wasm');
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.getByText('Hold the code of a label in the frame.').waitFor();
  });
});

describe('with the camera refused', () => {
  const refused = ['--use-fake-device-for-media-stream', '--use-fake-ui-for-media-stream=deny'];

  test('that is said, and a picture of the label does as well', async () => {
    const { page, book } = await opened('grower', refused);
    const { block } = standing(book);
    await scanFrom(page, '/walk');
    await page.getByText('The camera is not allowed').waitFor();
    expect(await axeFindings(page)).toEqual([]);
    const choose = async (name: string, mimeType: string, buffer: Buffer): Promise<void> => {
      await page.locator('input[type=file]').setInputFiles({ name, mimeType, buffer });
    };
    await choose('notes.txt', 'text/plain', Buffer.from('no picture'));
    await page.getByText('This file is no picture that can be read.').waitFor();
    await choose('bench.png', 'image/png', pngOf(pictureOf([])));
    await page.getByText('No code was found in this picture.').waitFor();
    await choose('label.png', 'image/png', pngOf(pictureOf(oneCode(blockAddress(front.address, block.id)))));
    await page.waitForURL(`**/walk/blocks/${block.id}`);
  });

  test('what is printed on the label can be typed, by keyboard alone', async () => {
    const { page, book } = await opened('grower', refused);
    const { lot, block } = standing(book);
    await page.goto('/walk');
    await page.waitForFunction(() => document.activeElement?.tagName === 'H1'); // a page that opens takes the focus
    await page.getByRole('button', { name: 'Scan a label' }).press('Enter');
    await page.getByText('The camera is not allowed').waitFor();
    const field = page.getByLabel('Or type what is printed on it');
    for (let i = 0; i < 10 && !(await field.evaluate((input) => input === document.activeElement)); i++) await page.keyboard.press('Tab');
    await page.keyboard.type('no such thing');
    await page.keyboard.press('Enter');
    await page.getByText('No lot and no block is called “no such thing”').waitFor();
    await field.selectText();
    await page.keyboard.type((lot.code ?? '').toLowerCase());
    await page.keyboard.press('Enter');
    await page.waitForURL((url) => url.pathname === `/walk/blocks/${block.id}`);
  });
});
