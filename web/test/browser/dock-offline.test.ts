import type { Browser, BrowserContext, Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';

import type { Inspection, Lot, LotList, OutboxRecord, SampleAdvice, Shipment } from '../../src/contract.gen';
import { signIn, sizes, startBrowser } from './browser';
import { startFront, type Front } from './front';
import { axeFindings, picture } from './inspect';
import { onPhone, strip, workerInControl } from './phone';

let browser: Browser;
let front: Front;
let context: BrowserContext;
let page: Page;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

beforeEach(async () => {
  front = await startFront();
  context = await browser.newContext({ baseURL: front.address, viewport: sizes.phone, hasTouch: true, locale: 'en-GB', reducedMotion: 'reduce' });
  context.setDefaultTimeout(15_000);
  page = await context.newPage();
  await signIn(page, 'receiver');
});

afterEach(async ({ task }) => {
  if (task.result?.state === 'fail') await picture(page, 'failed-dock-offline');
  await context.close();
  await front.cut();
});

const tap = (name: string | RegExp, on: Page | Locator = page): Promise<void> => on.getByRole('button', { name, exact: true }).tap();
const follow = (name: string | RegExp): Promise<void> => page.getByRole('main').getByRole('link', { name }).first().tap();
const onlyHere = (n: number): Promise<void> => strip(page).getByText(`No network · ${n} only on this phone`).waitFor();

async function tapTimes(name: string | RegExp, times: number): Promise<void> {
  for (let i = 0; i < times; i++) await tap(name);
}

/** A sentence as it is read: any space is a space. */
async function says(pattern: RegExp): Promise<string> {
  const sentence = page.getByText(new RegExp(pattern.source.replaceAll(' ', '\\s'))).first();
  await sentence.waitFor();
  return (await sentence.innerText()).replace(/\s+/g, ' ');
}

async function get<T>(path: string): Promise<T> {
  return (await (await page.request.get(`/api/v1${path}`)).json()) as T;
}

/** What the phone has noted down of what the server said. */
async function noted(): Promise<string[]> {
  return await page.evaluate(
    () =>
      new Promise<string[]>((resolve) => {
        const opening = indexedDB.open('benchtrail');
        opening.onsuccess = () => {
          const keys = opening.result.transaction('notebook').objectStore('notebook').getAllKeys();
          keys.onsuccess = () => {
            opening.result.close();
            resolve((keys.result as string[]).map((key) => key.split(' ')[0] ?? ''));
          };
        };
      }),
  );
}

async function cutOff(): Promise<void> {
  await front.cut();
  await context.setOffline(true);
}

/** A receiver whose phone knows the dock, and from then on has no network. */
async function receivingWithNoNetwork(): Promise<void> {
  await page.goto('/dock');
  await page.getByRole('link', { name: 'New shipment' }).first().waitFor();
  await workerInControl(page);
  await expect.poll(noted, { timeout: 20_000 }).toEqual(expect.arrayContaining(['daybook', 'dock'])); // enough for a day with no network
  await cutOff();
}

const isEmpty = (value: unknown): boolean => value === null || (Array.isArray(value) && value.length === 0);

/** What a body says: empty members say nothing. */
const said = (body: object): unknown => JSON.parse(JSON.stringify(body, (_name, value: unknown) => (isEmpty(value) ? undefined : value)));

/** Holds a record on the server against those that were sent of it, one revision for each. */
async function expectStoredOnce(records: readonly OutboxRecord[]): Promise<void> {
  const { items } = await get<{ items: { version: number; body: object; made?: OutboxRecord['made'] }[] }>(`/revisions?record_id=${records[0]?.id ?? ''}`);
  expect(items.map(({ version }) => version)).toEqual(records.map((_record, i) => i + 1));
  expect(items.map(({ body }) => said(body))).toEqual(records.map(({ body }) => said(body)));
  expect(items.map(({ made }) => Date.parse(made?.at ?? ''))).toEqual(records.map(({ made }) => Date.parse(made?.at ?? '')));
}

/** A name that no test before had, on a demo that has seen some. */
const named = (name: string): string => `${name} ${Date.now().toString(36)}`;

async function writeShipment(supplier: string): Promise<void> {
  await follow('New shipment');
  await tap('New supplier');
  await page.getByLabel('Name of the supplier').fill(supplier);
  await tap('Add supplier');
  await page.getByRole('combobox', { name: 'Supplier' }).locator('option:checked', { hasText: supplier }).waitFor({ state: 'attached' });
  await page.getByText('Papers', { exact: true }).first().tap();
  await tap('Add a paper');
  await page.getByLabel('Number', { exact: true }).fill('PL-4711');
  await page.getByText('Boxes', { exact: true }).first().tap();
  await tap('Add a box');
  await page.getByLabel('Temperature').fill('17.5');
  await tap('Save shipment');
  await says(/^So far only on this phone\./);
  await says(/17\.5 °C/);
}

async function writeLot(plants: number, code?: string): Promise<void> {
  await follow('Add a lot');
  await page.getByLabel('Cultivar').selectOption({ index: 1 });
  await page.getByLabel('Plants by the papers').fill(String(plants));
  if (code !== undefined) {
    await page.locator('summary', { hasText: 'our code' }).tap();
    await page.getByLabel('Our code').fill(code);
  }
  await tap('Save lot');
  await says(/saved(\.| on this phone\.)/);
  await page.getByRole('heading', { name: 'Lots' }).waitFor();
}

test('a whole arrival with no network, over a reload, is on the server once and as it was tapped, and its reading is the server’s', async () => {
  await receivingWithNoNetwork();
  await writeShipment(named('Quillmoor'));
  await onlyHere(2);
  const shipmentPage = new URL(page.url()).pathname;
  await tap('It is here');
  await onlyHere(3);
  await writeLot(1_000);
  await writeLot(240);
  await onlyHere(5);
  await says(/^2 lots, 1,240 plants by the papers\. 2 lots are not inspected\. The claim closes in /);

  // Counting, broken off by a reload: the taps are still there.
  await page.getByRole('main').getByRole('link', { name: /^Inspect/ }).first().tap();
  const told = await says(/^Look at \d+ of [\d,]+ plants: if 5 % are infested, you find at least one with 95 % confidence/);
  await page.getByRole('radio', { name: '10×' }).check();
  await tapTimes('+10 none seen', 5);
  await tapTimes(/^None seen: /, 5);
  await tapTimes(/^Seen: /, 2);
  await expect.poll(async () => (await onPhone(page)).begun.map(({ value }) => JSON.stringify(value).includes('"lookedAt":57'))).toEqual([true]);
  await page.reload();
  await says(/^What you began here is back/);
  await says(/57 of \d+ plants looked at/);
  expect(await axeFindings(page)).toEqual([]);
  await tap('Save and read the result');
  await onlyHere(6);
  // Wilson (1927), worked out by hand: 2 of 57 is 3.5 %, from 0.97 to 11.92 %.
  await says(/2 of 57 plants had .*, 3\.5 % \(1\.0–11\.9\)/);
  const read = async (): Promise<string[]> => await page.locator('.dock-answer .answer, .dock-meaning li, .dock-reasons li').allInnerTexts();
  const here = await read();
  expect(here.length).toBeGreaterThan(4);
  const inspectionPage = new URL(page.url()).pathname;
  await page.getByRole('radio', { name: /^Hold/ }).check();
  await tap(/^Sign as /);
  await says(/^On hold, signed \S+\.$/);
  await onlyHere(7);
  await page.reload();
  await says(/^On hold/);
  const { begun, outbox } = await onPhone(page);
  expect(begun).toEqual([]);
  expect(outbox.map(({ noun }) => noun)).toEqual(['suppliers', 'shipments', 'shipments', 'lots', 'lots', 'inspections', 'verdicts']);

  await front.mend();
  await context.setOffline(false);
  await expect.poll(async () => (await onPhone(page)).outbox.length, { timeout: 30_000 }).toBe(0);

  // The server has each once, as it was said.
  for (const id of new Set(outbox.map((one) => one.id))) await expectStoredOnce(outbox.filter((one) => one.id === id));
  const shipment = await get<Shipment>(`/shipments/${shipmentPage.split('/').at(-1) ?? ''}`);
  expect(shipment).toMatchObject({ lots: 2, lots_inspected: 1, papers: [{ number: 'PL-4711' }], boxes: [{ temperature_c: 17.5 }] });
  const lots = (await get<LotList>(`/lots?shipment_id=${shipment.id}`)).items;
  expect(lots.map(({ plants }) => plants).toSorted((a, b) => a - b)).toEqual([240, 1_000]);
  const inspection = await get<Inspection>(`/inspections/${inspectionPage.split('/').at(-1) ?? ''}`);
  expect(lots.find(({ id }) => id === inspection.lot_id)).toMatchObject({ verdict: 'hold', held: true });

  // What the phone worked out is what the server works out.
  const advice = await get<SampleAdvice>(`/lots/${inspection.lot_id}/sample`);
  expect(told).toContain(`Look at ${advice.plants ?? 0} of`);
  await page.reload();
  await page.getByText('So far only on this phone.').waitFor({ state: 'hidden' });
  await expect.poll(read).toEqual(here);
});

test('a lot that the server refuses is mended among the phone’s records, and what hung on it goes with it', async () => {
  const site = (await get<{ items: { id: string }[] }>('/sites')).items[0]?.id ?? '';
  const taken = (await get<LotList>(`/lots?site_id=${site}`)).items.find(({ code }) => code !== undefined)?.code ?? '';
  await receivingWithNoNetwork();
  await writeShipment(named('Thornbury'));
  await writeLot(300, taken);
  await onlyHere(3);
  await tap('It is here');
  await page.getByRole('main').getByRole('link', { name: `Inspect ${taken}` }).first().tap();
  await page.getByRole('radio', { name: '10×' }).check();
  await tapTimes('+10 none seen', 6);
  await tap('Save and read the result');
  await onlyHere(5);
  await front.mend();
  await context.setOffline(false);
  await strip(page).getByText('2 records not accepted').tap();
  await page.getByRole('heading', { name: '2 records not accepted' }).waitFor();
  const before = (await onPhone(page)).outbox;
  expect(before.map(({ noun, problem }) => [noun, problem?.status])).toEqual([
    ['lots', 409],
    ['inspections', 422],
  ]);
  expect(await axeFindings(page)).toEqual([]);
  await follow('Mend it');
  await page.getByRole('heading', { name: 'Correct the lot' }).waitFor();
  await page.locator('summary', { hasText: 'our code' }).tap();
  const code = `Q-${(before[0]?.id ?? '').slice(-6)}`;
  await page.getByLabel('Our code').fill(code);
  await tap('Save lot');
  await expect.poll(async () => (await onPhone(page)).outbox.length, { timeout: 30_000 }).toBe(0);
  expect(await get<Lot>(`/lots/${before[0]?.id ?? ''}`)).toMatchObject({ version: 1, code, plants: 300, inspected: true });
  expect(await get<Inspection>(`/inspections/${before[1]?.id ?? ''}`)).toMatchObject({ version: 1, lot_id: before[0]?.id });
});
