import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';

import type { Plans } from '../../src/contract.gen';
import { openPage, signIn, sizes, startBrowser } from './browser';
import { focused, heardSince, listen } from './heard';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

/** Waits until a sentence was read aloud. */
async function hears(page: Page, sentence: string | RegExp): Promise<void> {
  const heard: string[] = [];
  const found = (one: string): boolean => (typeof sentence === 'string' ? one === sentence : sentence.test(one));
  await expect
    .poll(async () => {
      heard.push(...(await heardSince(page)));
      return heard.some(found) || heard;
    })
    .toBe(true);
}

async function press(page: Page, name: string | RegExp): Promise<void> {
  await page.getByRole('button', { name, exact: true }).focus();
  await page.keyboard.press('Enter');
}

test('whoever does not see the page hears each mark and never loses the place, from the list to a finished look and its undoing', async () => {
  const { page, faults } = await openPage(browser, sizes.phone);
  await listen(page);
  await signIn(page, 'grower');
  await page.goto('/walk');
  await page.locator('.walk-stop .walk-left a').first().waitFor();
  expect(await focused(page)).toBe('heading Walk');
  await page.locator('.walk-stop .walk-left a').first().press('Enter');
  await page.locator('.walk-mark').waitFor();
  await expect.poll(() => focused(page)).toMatch(/^heading .+ · .+/);

  await press(page, 'None seen');
  await hears(page, /^Plant 1: none seen\. 0 of 1\. next: plant \d+\.$/);
  await press(page, 'Seen');
  await hears(page, /^Plant 2: seen\. 1 of 2\. /);
  await press(page, 'empty case, old growth');
  await hears(page, /^Plant 2: seen, counts as not infested\. 0 of 2\. /);

  // The sheet opens on its title, and closed it gives the place back.
  await press(page, 'More');
  await expect.poll(() => focused(page)).toMatch(/^heading Plant 2: seen/);
  await page.keyboard.press('Escape');
  await expect.poll(() => focused(page)).toBe('button More');
  await press(page, /^Plant 2: seen/);
  await press(page, 'Remove this plant');
  await hears(page, /^Plant 2 taken out\. 0 of 1\. /);
  await expect.poll(() => focused(page)).toBe('button None seen');

  // The last undo leaves the button where it is.
  await press(page, 'Undo the last plant');
  await hears(page, /^Plant 1 taken out\. No plants yet\. /);
  expect(await focused(page)).toBe('button Undo the last plant');

  await press(page, 'Seen');
  await hears(page, /^Plant 1: seen\. 1 of 1\. /);
  await press(page, 'Finish');
  await page.waitForURL(/\/walk\/looks\//);
  await hears(page, /^Look saved\. 1 of 1 plants with .+, 100 % \(\d+–100\)\./);
  expect(await focused(page)).toMatch(/^heading /);
  await page.locator('.phone-strip').getByText('All sent').waitFor();
  await press(page, 'Undo');
  await hears(page, /Look withdrawn\./);
  expect(await focused(page)).toMatch(/^heading /);
  await press(page, 'Put it back');
  await hears(page, /The look counts again\./);
  expect(await focused(page)).toMatch(/^heading /);
  await page.locator('.phone-strip').getByText('All sent').waitFor();
  expect(faults).toEqual([]);
  await page.context().close();
});

test('whoever does not see the page hears which lot was chosen, and links by their names', async () => {
  const { page } = await openPage(browser, sizes.phone);
  await signIn(page, 'grower');
  await page.goto('/walk');
  await page.getByRole('status').getByRole('link', { name: 'All sent' }).waitFor();
  await page.locator('.walk-stop .walk-left a').last().press('Enter');
  await page.locator('.walk-mark').waitFor();
  const lot = await page.locator('main summary').first().innerText();
  await page.locator('main summary').first().press('Enter');
  await press(page, 'Another lot');
  await expect.poll(() => focused(page)).toBe('heading Which lot?');
  await page.locator('.walk-lot').first().press('Enter');
  await page.locator('.walk-mark').waitFor();
  await expect.poll(() => page.evaluate(() => document.activeElement?.textContent)).toBe(lot);
  await page.context().close();
});

test('whoever does not see the page hears once that it is enough', async () => {
  const { page } = await openPage(browser, sizes.phone);
  await listen(page);
  await signIn(page, 'grower');
  const ask = async <T>(path: string): Promise<T> => (await (await page.request.get(`/api/v1${path}`)).json()) as T;
  const site = (await ask<{ items: { id: string }[] }>('/sites')).items[0]?.id ?? '';
  const { plans } = await ask<Plans>(`/plans?site_id=${site}`);
  const alone = plans.flatMap(({ blocks, stops }) => {
    const looks = blocks.flatMap(({ block_id, looks: here }) => here.map((look) => ({ block_id, ...look })));
    const judged = stops.filter(({ code }) => code !== 'no_limit').map(({ cultivar_id }) => cultivar_id);
    return looks.filter(({ cultivar_id, done_plants }) => done_plants === 0 && judged.includes(cultivar_id) && looks.filter((other) => other.cultivar_id === cultivar_id).length === 1);
  })[0];
  if (!alone) throw new Error('the demo plans no cultivar in one block only');
  await page.goto(`/walk/blocks/${alone.block_id}?lot=${alone.lot_id}`);
  await page.locator('.walk-mark').waitFor();
  const seen = page.getByRole('button', { name: 'Seen', exact: true });
  await seen.focus();
  const heard: string[] = [];
  for (let plant = 1; plant <= alone.plants; plant++) {
    await page.keyboard.press('Enter');
    await expect.poll(() => page.locator('.walk-strip li').count()).toBe(plant);
    await expect.poll(async () => heard.push(...(await heardSince(page))) && heard.at(-1)).toMatch(new RegExp(`^Plant ${plant}: seen\\.`));
  }
  expect(heard.filter((said) => said.includes('Enough: over the limit.'))).toHaveLength(1);
  await page.context().close();
});
