import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFailed, test } from 'vitest';

import type { Site } from '../../src/contract.gen';
import { openPage, people, signIn, sizes, startBrowser } from './browser';
import { picture } from './inspect';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

/** Waits until the page says something. A space in the pattern is any space: numbers hold on to their units with an unbreakable one. */
async function says(on: Page | Locator, pattern: RegExp): Promise<string> {
  const sentence = on.getByText(new RegExp(pattern.source.replaceAll(' ', '\\s'))).first();
  await sentence.waitFor({ state: 'visible' });
  return (await sentence.innerText()).replace(/\s+/g, ' ');
}

async function tap(page: Page, name: string | RegExp, times = 1): Promise<void> {
  for (let i = 0; i < times; i++) await page.getByRole('button', { name, exact: true }).click();
}

const follow = (page: Page, name: string | RegExp): Promise<void> => page.getByRole('link', { name }).click();

/** The text of the chosen option. */
const chosen = (select: Locator): Promise<string> => select.evaluate((element: HTMLSelectElement) => element.selectedOptions[0]?.text ?? '');

test('a lot is inspected at the dock, stuck, looked at plant by plant, and stands in the trends', async () => {
  const grower = await openPage(browser, sizes.phone);
  const receiver = await openPage(browser, sizes.phone);
  const owner = await openPage(browser, sizes.desk);
  const everyone = [receiver, grower, owner];
  onTestFailed(async () => {
    for (const [i, { page, faults }] of everyone.entries()) {
      console.error(people[i], page.url(), faults);
      await picture(page, `failed-${people[i] ?? ''}`);
    }
  });
  await signIn(grower.page, 'grower');
  const answer = (await (await grower.page.request.get('/api/v1/sites')).json()) as { items: Site[] };
  const site = answer.items[0]?.name ?? '';

  // The receiver writes down a shipment with a lot of 1,000.
  let { page } = receiver;
  await signIn(page, 'receiver');
  await page.getByRole('banner').getByLabel('Site').selectOption(site);
  await follow(page, 'New shipment');
  await page.getByLabel('Supplier').selectOption({ index: 1 });
  await tap(page, 'Save shipment');
  await tap(page, 'It is here');
  await follow(page, 'Add a lot');
  await page.getByLabel('Cultivar').selectOption({ index: 1 });
  await page.getByLabel('Plants by the papers').fill('1000');
  await page.getByRole('radio', { name: 'callused' }).check();
  await tap(page, 'Save lot');
  const code = (await says(page, /^Lot \S+ saved\.$/)).split(' ')[1] ?? '';

  // The sample: ISPM 31 (IPPC, FAO), table 1: 57 of 1,000 find 5 % with 95 % confidence.
  await follow(page, `Inspect ${code}`);
  await says(page, /Look at 57 of 1,000 plants: if 5 % are infested, you find at least one with 95 % confidence/);
  await page.getByRole('radio', { name: '10×' }).check();
  await tap(page, '+10 none seen', 5);
  await tap(page, /^None seen: /, 5);
  await tap(page, /^Seen: /, 2);
  await says(page, /57 of 57 plants looked at/);
  await tap(page, 'Save and read the result');
  // Wilson (1927), worked out by hand: 2 of 57 is 3.5 %, from 0.97 to 11.92 %.
  await says(page, /2 of 57 plants had .*, 3\.5 % \(1\.0–11\.9\)/);
  await says(page, /^The figures suggest: /);
  await page.getByRole('radio', { name: /^Accept and watch/ }).check();
  await tap(page, /^Sign as /);
  await says(page, /^Accepted, to be watched, signed \S+\.$/);

  // Counted, and a part of it stuck in a block.
  await follow(page, new RegExp(`${code}\\b`));
  await tap(page, 'Receive');
  await tap(page, 'Record');
  await says(page, /received 1,000 plants/);
  await tap(page, 'Stick');
  await page.getByLabel('Plants', { exact: true }).fill('600');
  const block = page.getByLabel('To block');
  await block.selectOption({ index: 1 });
  const where = (await chosen(block)).replace(', ', ' · ');
  await tap(page, 'Record');
  await says(page, /stuck 600 plants/);

  // The grower looks at 18 plants of it and sees whitefly on four.
  ({ page } = grower);
  await page.goto('/walk');
  await follow(page, new RegExp(`^${code}\\b`));
  await page.getByRole('heading', { name: where }).waitFor();
  await tap(page, 'None seen', 9);
  await tap(page, 'Seen', 4);
  await tap(page, 'None seen', 5);
  // Wilson (1927), worked out by hand: 4 of 18 is 22.2 %, from 9.0 to 45.2 %.
  await says(page, /^4 of 18 22 % \(9–45\)/);
  await tap(page, 'Finish');
  await says(page, /^4 of 18 plants with .*, 22 % \(9–45\)\.$/);

  // The owner finds it in the trends, and opens it down to the plants.
  ({ page } = owner);
  await signIn(page, 'owner');
  await page.getByRole('banner').getByLabel('Site').selectOption(site);
  await follow(page, 'Trends');
  await page.getByRole('radio', { name: 'Lot', exact: true }).check();
  const card = page.locator('section', { has: page.getByRole('heading', { name: new RegExp(`^${code}\\b`) }) });
  await says(card, /4 of 18 plants have .*, 22 % \(9–45\)/);
  await card.getByRole('link', { name: new RegExp(`^${code}\\b`) }).click();
  const week = page.getByRole('row').filter({ has: page.getByRole('button') });
  await week.waitFor();
  expect((await week.getByRole('cell').allInnerTexts()).map((text) => text.replace(/\s+/g, ' '))).toEqual(
    expect.arrayContaining(['4 of 18', '22 % (9–45)']),
  );
  await week.getByRole('button').click();
  await page.getByRole('heading', { name: /^Looks of / }).waitFor();

  expect(everyone.flatMap(({ faults }) => faults)).toEqual([]);
  await Promise.all(everyone.map((watched) => watched.page.context().close()));
});
