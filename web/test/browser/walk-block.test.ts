import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';

import type { Look, PhotoList } from '../../src/contract.gen';
import { openPage, signIn, startBrowser } from './browser';
import { axeFindings, overflow, picture } from './inspect';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

test('a look says how far the crop is and where a hot spot is, and the list shows where', async () => {
  const { page, faults } = await openPage(browser, { width: 320, height: 640 });
  await signIn(page, 'grower');
  await page.goto('/walk');
  const link = page.locator('.walk-stop .walk-left a').last();
  const address = (await link.getAttribute('href')) ?? '';
  await link.tap();
  await page.getByText('Note, crop stage, hot spot').tap();
  await page.getByLabel('Crop stage').selectOption({ label: 'bracts colouring' });
  await page.getByText('left side', { exact: true }).tap();
  await page.getByText('bracts colouring · hot spot: left side').waitFor();
  expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);
  await picture(page, 'walk-about-320-en');
  await page.getByRole('button', { name: 'Español' }).tap();
  await page.getByText('brácteas con color · foco: lado izquierdo').waitFor();
  expect(await overflow(page)).toEqual([]);
  await picture(page, 'walk-about-320-es');
  await page.getByRole('button', { name: 'English' }).tap();

  // Kept with the marks, before any plant.
  await page.reload();
  await page.getByText('bracts colouring · hot spot: left side').waitFor();
  await page.getByRole('button', { name: 'None seen', exact: true }).tap();
  await expect.poll(() => page.locator('.walk-strip li').count()).toBe(1);
  await page.getByRole('button', { name: 'Finish' }).tap();
  await page.waitForURL(/\/walk\/looks\//);
  await page.getByText('bracts colouring', { exact: true }).waitFor();
  const id = new URL(page.url()).pathname.split('/').at(-1) ?? '';
  const stored = async (): Promise<Look> => (await (await page.request.get(`/api/v1/looks/${id}`)).json()) as Look;
  await expect.poll(stored, { timeout: 10_000 }).toMatchObject({ crop_stage: 'bracts_colouring', hot_spot: 'left side' });
  await page.getByRole('link', { name: 'To the blocks' }).tap();
  await page.locator('.walk-stop').filter({ has: page.locator(`a[href="${address}"]`) }).getByText('hot spot: left side').waitFor();
  expect(await overflow(page)).toEqual([]);

  // A correction keeps both, and may say otherwise.
  await page.goto(`/walk/looks/${id}`);
  await page.getByRole('button', { name: 'Correct' }).tap();
  await page.getByText('bracts colouring · hot spot: left side').tap();
  await page.getByText('none', { exact: true }).tap();
  await page.locator('summary').getByText('hot spot: left side').waitFor({ state: 'detached' });
  await page.getByRole('button', { name: 'Finish' }).tap();
  await expect.poll(stored, { timeout: 10_000 }).toMatchObject({ version: 2, crop_stage: 'bracts_colouring' });
  expect((await stored()).hot_spot ?? '').toBe('');
  expect(faults.filter((fault) => !fault.startsWith('404'))).toEqual([]); // asked for before it was there
  await page.context().close();
});

/** The smallest picture there is: one grey dot. */
const dot = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNoAAAAggCBd81ytgAAAABJRU5ErkJggg==', 'base64');

test('a photo of one plant is taken while one marks, follows its plant, and is sent after its look', async () => {
  const { page, faults } = await openPage(browser, { width: 320, height: 640 });
  await signIn(page, 'grower');
  await page.goto('/walk');
  await page.locator('.walk-stop .walk-left a').last().tap();
  for (let plant = 1; plant <= 3; plant++) {
    await page.getByRole('button', { name: 'Seen', exact: true }).tap();
    await expect.poll(() => page.locator('.walk-strip li').count()).toBe(plant);
  }
  await page.context().setOffline(true);
  await page.getByRole('button', { name: 'Plant 3: seen' }).tap();
  const sheet = page.getByRole('dialog');
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), sheet.getByRole('button', { name: 'Take a photo' }).tap()]);
  await chooser.setFiles({ name: 'leaf.png', mimeType: 'image/png', buffer: dot });
  await sheet.getByRole('img', { name: /, plant 3$/ }).waitFor();
  expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);
  await picture(page, 'walk-plant-photo-320-en');
  await sheet.getByRole('button', { name: 'Done' }).tap();

  // The first plant was a wrong tap: the third is the second now, and its photo with it.
  await page.getByRole('button', { name: 'Plant 1: seen' }).tap();
  await sheet.getByRole('button', { name: 'Remove this plant' }).tap();
  await page.getByRole('button', { name: 'Plant 2: seen' }).tap();
  await sheet.getByRole('img', { name: /, plant 2$/ }).waitFor();
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'Finish' }).tap();
  await page.waitForURL(/\/walk\/looks\//);
  await page.getByRole('img', { name: /, plant 2$/ }).waitFor();
  const id = new URL(page.url()).pathname.split('/').at(-1) ?? '';
  await page.context().setOffline(false);
  const photos = async (): Promise<unknown> => ((await (await page.request.get(`/api/v1/photos?subject_id=${id}`)).json()) as PhotoList).items;
  await expect.poll(photos, { timeout: 15_000 }).toMatchObject([{ subject_noun: 'looks', plant: 2, picture: { width: 1, height: 1 } }]);
  expect(faults.filter((fault) => !fault.includes('ERR_INTERNET_DISCONNECTED'))).toEqual([]);
  await page.context().close();
});
