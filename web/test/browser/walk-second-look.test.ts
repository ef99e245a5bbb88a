import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';

import type { Daybook, Inspection, Look } from '../../src/contract.gen';
import { openPage, signIn, sizes, startBrowser } from './browser';
import { axeFindings, overflow, picture } from './inspect';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

test('a second look that is due is made in the walk, with no network, and undone with its look', async () => {
  const { page, faults } = await openPage(browser, sizes.phone);
  await signIn(page, 'grower');
  const ask = async <T>(path: string): Promise<T> => (await (await page.request.get(`/api/v1${path}`)).json()) as T;
  const site = (await ask<{ items: { id: string }[] }>('/sites')).items[0]?.id ?? '';
  const book = async (): Promise<Daybook> => await ask<Daybook>(`/daybook?site_id=${site}`);
  const before = await book();
  const due = before.second_looks?.find(({ lot_id, state }) => state !== 'waiting' && before.placements.some((one) => one.lot_id === lot_id));
  if (!due) throw new Error('the demo has no second look that is due');
  const code = due.lot_code ?? '';

  await page.goto('/walk');
  await page.getByLabel('Section').selectOption({ label: 'All sections' });
  await page.getByText(/^\d+\ssecond looks? due/).tap();
  await picture(page, 'walk-second-looks-en');
  await page.locator('.walk-seconds a').filter({ hasText: code }).tap();
  await page.locator('.walk-mark').waitFor();
  await page.context().setOffline(true);
  await page.getByText(`This look is also the second look of ${code}`).tap();
  await page.getByText('15×').tap();
  await page.getByRole('button', { name: 'None seen', exact: true }).tap();
  await expect.poll(() => page.locator('.walk-strip li').count()).toBe(1);
  await page.getByRole('button', { name: 'Seen', exact: true }).tap();
  await expect.poll(() => page.locator('.walk-strip li').count()).toBe(2);
  expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);
  await picture(page, 'walk-second-look-en');
  await page.getByRole('button', { name: 'Finish' }).tap();
  await page.getByText(`Look saved. Also kept as the second look of ${code}`).first().waitFor();
  const look = new URL(page.url()).pathname.split('/').at(-1) ?? '';

  // No longer due, though no server has it yet.
  await page.getByRole('link', { name: 'To the blocks' }).tap();
  await page.locator('.walk-stop').first().waitFor();
  expect(await page.locator('.walk-seconds a').filter({ hasText: code }).count()).toBe(0);
  await page.goBack();
  await page.context().setOffline(false);

  const made = async (): Promise<Inspection[]> => (await book()).inspections.filter(({ lot_id, kind }) => lot_id === due.lot_id && kind === 'second_look');
  await expect.poll(made, { timeout: 15_000 }).toMatchObject([{ lens_power: 15, findings: [{ plants_looked_at: 2, infested_plants: 1 }] }]);
  expect((await book()).second_looks?.some(({ lot_id }) => lot_id === due.lot_id)).toBe(false);

  await page.getByRole('button', { name: 'Undo', exact: true }).tap();
  await page.getByText('This look is withdrawn').waitFor();
  await expect.poll(made, { timeout: 15_000 }).toEqual([]);
  await expect.poll(async () => (await ask<Look>(`/looks/${look}`)).withdrawn_because).toBeTruthy();
  expect((await book()).second_looks?.some(({ lot_id }) => lot_id === due.lot_id)).toBe(true);
  expect(faults.filter((fault) => !fault.includes('ERR_INTERNET_DISCONNECTED'))).toEqual([]);
  await page.context().close();
});
