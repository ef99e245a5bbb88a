import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFailed, test } from 'vitest';

import type { HouseComparison, SeasonReview } from '../../src/contract.gen';
import { openPage, settled, signIn, sizes, startBrowser, type Person, type Watched } from './browser';
import { axeFindings, overflow, picture } from './inspect';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

async function signedIn(person: Person, size: keyof typeof sizes = 'desk'): Promise<Watched> {
  const watched = await openPage(browser, sizes[size]);
  onTestFailed(async () => {
    console.error(watched.page.url(), watched.faults);
    await picture(watched.page, `failed-houses-${person}`);
  });
  await signIn(watched.page, person);
  await settled(watched);
  return watched;
}

async function comparison({ page }: Watched, query: string): Promise<HouseComparison> {
  const answer = await page.request.get(`/api/v1/house-comparison${query}`);
  expect(answer.ok()).toBe(true);
  return (await answer.json()) as HouseComparison;
}

/** Where pictures are wanted, each size in each language; else once, since pages.test looks at the others. */
const pictured = [
  ['desk', 'en'],
  ['phone', 'es'],
  ...(process.env.BENCHTRAIL_SCREENSHOTS === undefined ? [] : ([['narrow', 'en'], ['desk', 'es'], ['phone', 'en']] as const)),
] as const;

const spaced = (text: string): string => text.replace(/\s+/g, ' ');

async function speak(page: Page, language: 'en' | 'es'): Promise<void> {
  if ((await page.locator('html').getAttribute('lang')) === language) return;
  await page.getByRole('button', { name: language === 'es' ? 'Español' : 'English' }).click();
  await page.locator(`html[lang=${language}]`).waitFor();
}

test('an owner signs in and reads which house is really worse and why, down to its looks', async () => {
  const watched = await signedIn('owner');
  const { page, faults } = watched;
  await expect.poll(() => page.url()).toMatch(/\/houses\?week=\d{4}-W\d\d$/);
  await page.getByRole('heading', { level: 1, name: 'Houses' }).waitFor();
  const asked = await comparison(watched, '?week=latest');
  const really = asked.houses.find(({ verdict }) => verdict === 'higher' || verdict === 'lower');
  if (!really?.share) throw new Error('no house of the demo differs');
  const answer = spaced(await page.locator('.answer').first().innerText());
  expect(answer).toContain(`${really.name} at ${really.site} really has`);
  expect(answer).toContain(`${really.share.infested_plants} of ${really.share.plants_looked_at}`);
  expect(answer).toMatch(/points \([\d.]+ to [\d.]+\) (more|less) than like crops/);
  expect(answer).toContain('cannot be told apart');

  const rows = page.locator('.houses tbody tr');
  expect(await rows.count()).toBe(asked.houses.length);
  await rows.nth(asked.houses.indexOf(really)).getByRole('link').first().click();
  await settled(watched);
  await page.getByRole('heading', { level: 1, name: really.name }).waitFor();
  expect(page.url()).toContain(`open=${really.house_id}`);
  expect(page.url()).toContain(`week=${asked.from_week}`);
  expect(await page.locator('main a[href*="look="]').count()).toBeGreaterThan(0);
  expect(faults).toEqual([]);
  await page.context().close();
});

test('order, week and site stand in the address, which shows another person of the same sites the same', async () => {
  const owner = await signedIn('owner');
  await owner.page.getByLabel('Week or season').selectOption({ label: 'The whole season' });
  await owner.page.getByLabel('Order').selectOption({ label: 'By site and name' });
  await settled(owner);
  expect(owner.page.url()).toMatch(/season=[\w-]+&sort=name$/);
  const table = async ({ page }: Watched): Promise<string> => spaced(await page.locator('.houses table').first().innerText());
  const shown = await table(owner);
  await owner.page.reload();
  await settled(owner);
  expect(await table(owner)).toBe(shown);

  const stranger = await openPage(browser, sizes.desk);
  await stranger.page.goto(owner.page.url());
  await stranger.page.getByLabel('Password').waitFor();
  expect(await stranger.page.locator('.houses').count()).toBe(0);
  await owner.page.context().close();
  await stranger.page.context().close();
});

test('the keyboard reaches every point of the chart, and opens its house', async () => {
  const watched = await signedIn('owner');
  const { page } = watched;
  const points = page.locator('.funnel .point');
  const count = await points.count();
  expect(count).toBeGreaterThan(5);
  await points.first().focus();
  const heard = new Set<string>();
  for (let i = 0; i < count; i++) {
    heard.add((await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))) ?? '');
    await page.keyboard.press('ArrowRight');
  }
  expect(heard.size).toBe(count);
  await page.keyboard.press('Enter');
  await expect.poll(() => page.url()).toContain('/trends?by=house');
  await page.context().close();
});

test('both languages, a phone, a desk and paper show the page whole, and axe finds nothing', async () => {
  const watched = await signedIn('owner');
  const { page, faults } = watched;
  const widths = { ...sizes, narrow: { width: 320, height: 640 } };
  for (const [size, language] of pictured) {
    await page.setViewportSize(widths[size]);
    await speak(page, language);
    await settled(watched);
    expect(await overflow(page), `${size} ${language}`).toEqual([]);
    if (size !== 'narrow') expect(await axeFindings(page), `${size} ${language}`).toEqual([]);
    await picture(page, `houses-${size}-${language}`);
  }
  await page.emulateMedia({ media: 'print' });
  await page.setViewportSize({ width: 1040, height: 720 }); // A4 on its side at 96 dpi, less its margins
  expect(await page.locator('.houses-filters').isVisible()).toBe(false);
  expect(await page.locator('.houses .table').first().evaluate((table) => table.scrollWidth <= (table.parentElement?.clientWidth ?? 0) + 1)).toBe(true);
  await picture(page, 'houses-print');
  expect(faults).toEqual([]);
  await page.context().close();
});

test('a season is reviewed in a sentence and a table, sorted and shared by its address, printed and taken along as a file', async () => {
  const watched = await signedIn('owner');
  const { page, faults } = watched;
  await page.getByRole('link', { name: 'Season review' }).click();
  await settled(watched);
  await page.getByRole('heading', { level: 1, name: 'Season review' }).waitFor();
  const review = (await (await page.request.get('/api/v1/season-review?by=supplier')).json()) as SeasonReview;
  const { peak } = review.whole.now;
  if (!peak) throw new Error('the demo was never looked at');
  const answer = spaced(await page.locator('.answer').first().innerText());
  expect(answer).toContain(`${peak.infested_plants.toLocaleString('en-US')} of ${peak.plants_looked_at.toLocaleString('en-US')}`);
  expect(answer).toContain('no season before');
  expect(await page.locator('.season tbody tr').count()).toBe(review.groups.length + 1);

  await page.getByLabel('House', { exact: true }).check({ force: true });
  await page.getByLabel('Order').selectOption({ label: 'Surely most lost first' });
  await settled(watched);
  expect(page.url()).toMatch(/\/season\?by=house&sort=loss$/);
  const loaded = await page.locator('.season .table').innerText();
  await page.reload();
  await settled(watched);
  expect(await page.locator('.season .table').innerText()).toBe(loaded);

  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('link', { name: /XLSX/ }).click()]);
  expect(download.suggestedFilename()).toMatch(/^season-\d{4}-house\.xlsx$/);

  await page.goto('/season?by=supplier');
  for (const [size, language] of [['desk', 'en'], ['phone', 'es'], ['narrow', 'es']] as const) {
    await page.setViewportSize({ ...sizes, narrow: { width: 320, height: 640 } }[size]);
    await speak(page, language);
    await settled(watched);
    expect(await overflow(page), `${size} ${language}`).toEqual([]);
    if (size !== 'narrow') expect(await axeFindings(page), `${size} ${language}`).toEqual([]);
    await picture(page, `season-${size}-${language}`);
  }
  await page.emulateMedia({ media: 'print' });
  await page.setViewportSize({ width: 1040, height: 720 });
  expect(await page.locator('.season .table').evaluate((table) => table.scrollWidth <= (table.parentElement?.clientWidth ?? 0) + 1)).toBe(true);
  await picture(page, 'season-print');
  expect(faults).toEqual([]);
  await page.context().close();
});
