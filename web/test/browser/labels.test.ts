import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';

import type { BlockList, LotList, ShipmentList } from '../../src/contract.gen';
import { openPage, settled, signIn, sizes, startBrowser, type Person, type Watched } from './browser';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

async function signedIn(person: Person): Promise<Watched> {
  const watched = await openPage(browser, sizes.desk);
  await signIn(watched.page, person);
  return watched;
}

async function ask<T>(page: Page, path: string): Promise<T> {
  const answer = await page.request.get(`/api/v1/${path}`);
  expect(answer.ok(), path).toBe(true);
  return (await answer.json()) as T;
}

/** The shipment with most lots, and its lots. */
async function largest(page: Page): Promise<{ id: string; lots: LotList['items'] }> {
  const { items } = await ask<ShipmentList>(page, 'shipments?limit=200');
  const [shipment] = items.toSorted((a, b) => b.lots - a.lots);
  if (!shipment) throw new Error('the demo has no shipment');
  return { id: shipment.id, lots: (await ask<LotList>(page, `lots?shipment_id=${shipment.id}&limit=200`)).items.filter((lot) => !lot.withdrawn_because) };
}

/** The sizes of the pages of a PDF in points, one for each. */
function pageSizes(pdf: Buffer): string[] {
  return [...pdf.toString('latin1').matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)/g)].map(([, wide, high]) => `${Math.round(Number(wide))} × ${Math.round(Number(high))}`);
}

const printed = (page: Page): Promise<Buffer> => page.pdf({ preferCSSPageSize: true });

test('from a shipment to its sheet: as many labels as lots and copies, from the first free place on', async () => {
  const watched = await signedIn('receiver');
  const { page } = watched;
  const { id, lots } = await largest(page);
  await page.goto(`/dock/shipments/${id}`);
  await page.getByRole('link', { name: 'Print labels' }).click();
  await settled(watched);
  const labels = page.locator('.label');
  const shown = page.getByRole('listitem').and(labels);
  expect(await labels.count()).toBe(lots.length);
  for (const { code } of lots) expect(await labels.filter({ hasText: code ?? '' }).count()).toBeGreaterThan(0);
  expect(pageSizes(await printed(page))).toEqual(Array.from({ length: Math.ceil(lots.length / 21) }, () => '595 × 842'));

  await page.getByLabel('Of each', { exact: true }).fill('3');
  await page.getByLabel('First free label', { exact: true }).fill('5');
  expect(await labels.count()).toBe(3 * lots.length);
  const sheets = Math.ceil((4 + 3 * lots.length) / 21);
  expect(pageSizes(await printed(page))).toHaveLength(sheets);
  expect(await shown.count()).toBe(Math.min(17, 3 * lots.length));

  // By keyboard: another sheet, one lot alone.
  await page.getByRole('radio', { name: /^US Letter/ }).focus();
  await page.keyboard.press('Space');
  await page.getByRole('button', { name: 'None' }).press('Enter');
  await page.getByText('Nothing is chosen.').waitFor();
  await page.getByRole('checkbox').first().press('Space');
  expect(await labels.count()).toBe(3);
  expect(pageSizes(await printed(page))).toEqual(['612 × 792']);
  await page.getByLabel('Of each', { exact: true }).fill('51');
  await page.getByText('Too large.').waitFor();
  expect(await labels.count()).toBe(0);
  expect(watched.faults).toEqual([]);
  await page.context().close();
});

test('nothing but the sheet is printed, and each label at its place to the tenth of a millimetre', async () => {
  const watched = await signedIn('owner');
  const { page } = watched;
  const { id } = await largest(page);
  await page.goto(`/labels?shipment=${id}`);
  await settled(watched);
  await page.emulateMedia({ media: 'print' });
  expect(await page.locator('h1, h2, nav, header, footer, button, .field, .notice').filter({ visible: true }).count()).toBe(0);
  const boxes = await page.locator('.label').evaluateAll((labels) => labels.slice(0, 4).map((label) => {
    const { left, top, width, height } = label.getBoundingClientRect();
    return [left, top, width, height].map((pixels) => (pixels * 25.4) / 96);
  }));
  for (const [i, wanted] of [[7.25, 15.15], [73.25, 15.15], [139.25, 15.15], [7.25, 53.25]].entries()) {
    for (const [j, length] of [...wanted, 63.5, 38.1].entries()) expect(boxes[i]?.[j], `label ${i + 1}`).toBeCloseTo(length, 1);
  }
  await page.context().close();
});

test('a scanned label opens the page of its lot or block, after the sign-in too', async () => {
  const watched = await signedIn('grower');
  const { page, faults } = watched;
  const [block] = (await ask<BlockList>(page, 'blocks?limit=1')).items;
  const [lot] = (await largest(page)).lots;
  if (!block || !lot) throw new Error('the demo has no lot or no block');
  await page.goto(`/l/${lot.id}`);
  await page.getByRole('heading', { level: 1, name: new RegExp(`^${lot.code ?? ''} `) }).waitFor();
  expect(new URL(page.url()).pathname).toBe(`/dock/lots/${lot.id}`);
  await page.goto(`/b/${block.id}`);
  await page.waitForURL(`**/walk/blocks/${block.id}`);
  await settled(watched);
  expect(await page.locator('h1').innerText()).toContain(block.name);
  await page.goto(`/01/04006381333931/10/${lot.code ?? ''}`);
  await page.waitForURL(`**/dock/lots/${lot.id}`);
  await page.goto(`/01/04006381333932/10/${lot.code ?? ''}`);
  await page.getByText('The number on this label was not read right').waitFor();
  expect(faults).toEqual([]);

  const other = await openPage(browser, sizes.phone);
  await other.page.goto(`/l/${lot.id}`);
  await other.page.getByLabel('Email').fill('grower@demo.example');
  await other.page.getByLabel('Password').fill('cuttings-demo');
  await other.page.getByRole('button', { name: 'Sign in' }).click();
  await other.page.waitForURL(`**/dock/lots/${lot.id}`);
  await other.page.context().close();
  await page.context().close();
});
