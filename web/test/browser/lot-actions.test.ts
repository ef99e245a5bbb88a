import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFailed, test } from 'vitest';

import type { Lot, Movement } from '../../src/contract.gen';
import { openPage, settled, signIn, sizes, startBrowser, type Watched } from './browser';
import { axeFindings, overflow, picture } from './inspect';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

/** Waits until the page says something; a space is any space. */
async function says(page: Page, pattern: RegExp): Promise<string> {
  const found = page.getByText(new RegExp(pattern.source.replaceAll(' ', '\\s'))).first();
  await found.waitFor({ state: 'visible' });
  return (await found.innerText()).replace(/\s+/g, ' ');
}

/** Counts what a thumb does: a tap on a button or box, or one choice in a list. */
class Thumb {
  taps = 0;

  async tap(what: Locator): Promise<void> {
    this.taps += 1;
    await what.click();
  }

  async choose(what: Locator, option: { index: number } | string): Promise<void> {
    this.taps += 1;
    await what.selectOption(option);
  }
}

/** Opens an action's form from the lot's page. */
async function act(page: Page, name: string): Promise<{ thumb: Thumb; form: Locator }> {
  const thumb = new Thumb();
  await thumb.tap(page.getByRole('button', { name, exact: true }).first());
  return { thumb, form: page.getByRole('form', { name }) };
}

async function record(thumb: Thumb, form: Locator, button = 'Record'): Promise<void> {
  await thumb.tap(form.getByRole('button', { name: button, exact: true }));
}

async function lookAt(watched: Watched, name: string): Promise<void> {
  await settled(watched);
  await picture(watched.page, name);
  expect(await axeFindings(watched.page)).toEqual([]);
  expect(await overflow(watched.page)).toEqual([]);
}

async function aLotWithPlants(page: Page): Promise<Lot> {
  const { items } = (await (await page.request.get('/api/v1/lots?limit=200')).json()) as { items: Lot[] };
  const lot = items.find((each) => each.state === 'potted' && each.held !== true && each.plants_on_hand >= 200 && each.shipment_id);
  if (!lot) throw new Error('the demo has no lot to work with');
  return lot;
}

const movementsOf = async (page: Page, lotId: string): Promise<Movement[]> =>
  ((await (await page.request.get(`/api/v1/movements?lot_id=${lotId}&limit=200`)).json()) as { items: Movement[] }).items;

test('a lot is split, moved, held, released and dispatched in three taps each, and a split is undone', async () => {
  const watched = await openPage(browser, sizes.phone);
  const { page, faults } = watched;
  onTestFailed(async () => {
    console.error(page.url(), faults);
    await picture(page, 'failed-lot-actions');
  });
  await signIn(page, 'owner');
  const lot = await aLotWithPlants(page);
  const customer = await page.request.put('/api/v1/customers/01990000-0000-7000-8000-00000000c057', {
    data: { name: 'Invented Garden Centre' },
    headers: { Origin: new URL(page.url()).origin },
  });
  expect(customer.ok()).toBe(true);
  await page.goto(`/dock/lots/${lot.id}`);
  await says(page, /received = /);

  // Half of the first block is put in, and stays where it stands: two taps. Undo takes it back.
  let { thumb, form } = await act(page, 'Split');
  await record(thumb, form);
  await says(page, /^Split: split off [\d,]+ plants?\.$/);
  expect(thumb.taps).toBeLessThanOrEqual(3);
  await page.getByRole('button', { name: 'Undo' }).click();
  await says(page, /^Undone: it is kept, marked as withdrawn\.$/);
  const undone = (await movementsOf(page, lot.id)).findLast(({ kind }) => kind === 'split');
  expect(undone?.withdrawn_because).toBe('written down by mistake');

  // Split again; the new lot can be opened from the notice.
  ({ thumb, form } = await act(page, 'Split'));
  await form.getByLabel('Plants', { exact: true }).fill('40');
  await record(thumb, form);
  const open = page.getByRole('link', { name: /^Open / });
  await open.waitFor();
  await lookAt(watched, 'lot-split');
  await open.click();
  await says(page, /was split off/);

  ({ thumb, form } = await act(page, 'Move'));
  await thumb.choose(form.getByLabel('To block'), { index: 3 });
  await record(thumb, form);
  await says(page, /^Move: moved 40 plants\.$/);
  expect(thumb.taps).toBeLessThanOrEqual(3);

  ({ thumb, form } = await act(page, 'Hold'));
  await thumb.tap(form.getByText('pest suspected', { exact: true }));
  await record(thumb, form, 'Hold');
  await says(page, /^The lot is held\.$/);
  expect(thumb.taps).toBeLessThanOrEqual(3);
  await says(page, /Held since .* by .* \(own hold: pest suspected\)\./);

  // A dispatch of held plants is refused in words; what was chosen is still there, and it can be said that it happened.
  ({ thumb, form } = await act(page, 'Dispatch'));
  await form.getByLabel('Customer').selectOption({ label: 'Invented Garden Centre' });
  await form.getByLabel('Plants', { exact: true }).fill('15');
  await form.getByLabel(/^Delivery note/).fill('DN 7');
  await record(thumb, form);
  await says(page, /^The plants are held since .* \(own hold: pest suspected\)\.$/);
  await form.getByRole('checkbox', { name: 'It was done all the same' }).waitFor();
  expect(await form.getByLabel('Plants', { exact: true }).inputValue()).toBe('15');
  expect(await form.getByLabel(/^Delivery note/).inputValue()).toBe('DN 7');
  await lookAt(watched, 'lot-held');
  await form.getByRole('button', { name: 'Cancel' }).click();

  ({ thumb, form } = await act(page, 'Lift the hold'));
  await record(thumb, form, 'Lift the hold');
  await says(page, /^The hold is lifted\.$/);
  expect(thumb.taps).toBeLessThanOrEqual(3);
  await says(page, /It is not held\./);

  ({ thumb, form } = await act(page, 'Dispatch'));
  await thumb.choose(form.getByLabel('Customer'), { index: 1 });
  await form.getByLabel('Plants', { exact: true }).fill('15');
  await record(thumb, form);
  await says(page, /^Dispatch: dispatched 15 plants\.$/);
  expect(thumb.taps).toBeLessThanOrEqual(3);
  await says(page, /^40 at its beginning = 25 on hand \+ 15 dispatched$/);
  await lookAt(watched, 'lot-life');

  const unexpected = faults.filter((fault) => !/^(422 for PUT|console error: Failed to load resource: .* 422)/.test(fault));
  expect(unexpected).toEqual([]);
  await page.context().close();
});
