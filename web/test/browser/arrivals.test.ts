import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFailed, test } from 'vitest';

import type { Arrivals, House, HouseMap, Trends } from '../../src/contract.gen';
import { openPage, settled, signIn, sizes, startBrowser, type Person, type Watched } from './browser';
import { axeFindings, overflow, picture } from './inspect';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

async function signedIn(person: Person, size: keyof typeof sizes): Promise<Watched> {
  const watched = await openPage(browser, sizes[size]);
  onTestFailed(async () => {
    console.error(watched.page.url(), watched.faults);
    await picture(watched.page, `failed-arrivals-${person}`);
  });
  await signIn(watched.page, person);
  return watched;
}

const spaced = (text: string): string => text.replace(/\s+/g, ' ');

async function speak(page: Page, language: 'en' | 'es'): Promise<void> {
  if ((await page.locator('html').getAttribute('lang')) === language) return;
  await page.getByRole('button', { name: language === 'es' ? 'Español' : 'English' }).click();
  await page.locator(`html[lang=${language}]`).waitFor();
}

const focused = async (page: Page): Promise<string> => spaced(await page.evaluate(() => document.activeElement?.textContent ?? ''));

/** The sentence the page begins with. */
const answer = async (page: Page): Promise<string> => spaced(await page.locator('main .answer').first().innerText());

/** All of the page but its filters, which offer each person what is theirs. */
const reading = async (page: Page): Promise<string[]> => (await page.locator('main .answer, main .section').allInnerTexts()).map(spaced);

test('arrivals are compared at the same age, every cell opens by keyboard to its lots, looks and plants, and another person sees the same by the address', async () => {
  const watched = await signedIn('owner', 'desk');
  const { page, faults } = watched;
  await page.goto('/trends');
  await settled(watched);
  await page.getByRole('navigation', { name: 'Pages of Trends' }).getByRole('link', { name: 'Arrivals by age' }).click();
  await settled(watched);
  const site = new URL(page.url()).searchParams.get('site') ?? '';
  const found = (await (await page.request.get(`/api/v1/arrivals?site_id=${site}`)).json()) as Arrivals;

  // The sentence says what the server worked out at the age it names.
  const at = found.ages.find(({ age_weeks: weeks, code }) => weeks === 4 && code === 'known');
  const highest = at?.groups[0];
  if (!at || !highest) throw new Error('the demo has no arrivals to compare at 4 weeks');
  await page.getByRole('link', { name: /compare 4 weeks after arrival/i }).click();
  await settled(watched);
  const said = await answer(page);
  expect(said).toContain('4 weeks after arrival');
  expect(said).toContain(`${highest.infested_plants} of ${highest.plants_looked_at} plants`);
  expect(said).toMatch(/differ|stands out|cannot be told apart/);

  // Each cell has both counts and its bounds, and is reached with the arrow keys.
  const cells = found.weeks.flatMap(({ cells }) => cells);
  expect(await page.locator('.heat-cell').count()).toBe(cells.length);
  const reached = new Set<string>();
  await page.locator('.heat-table a[tabindex="0"]').focus();
  for (let row = 0; row < found.weeks.length; row++) {
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Home');
    for (let last = '', now = await focused(page); last !== now; now = await focused(page)) {
      reached.add(now);
      last = now;
      await page.keyboard.press('ArrowRight');
    }
    await page.keyboard.press('Home');
  }
  expect(reached.size).toBe(cells.length);
  expect([...reached].filter((text) => !/^.*\(W\d\d\): \d+ of [\d,]+.*%.\(.*–.*\)/.test(text))).toEqual([]);

  // Enter opens one: its lots add up to it, a look opens down to its plants.
  await page.keyboard.press('Enter');
  await settled(watched);
  const opened = page.locator('.opened');
  const share = spaced(await opened.locator('.answer').innerText());
  const [infested = 0, looked = 0] = share.match(/\d+/g)?.map(Number) ?? [];
  const lots = (await opened.getByRole('region', { name: 'The lots of it' }).locator('tbody td.num').allInnerTexts()).map((text) => text.replaceAll(',', '').match(/\d+/g)?.map(Number) ?? []);
  expect(lots.reduce((sum, [some = 0]) => sum + some, 0)).toBe(infested);
  expect(lots.reduce((sum, [, all = 0]) => sum + all, 0)).toBe(looked);
  await opened.locator('.table .look-link').last().click();
  await settled(watched);
  await opened.locator('.look-detail .plants').first().waitFor();
  expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);

  // The same address, another person: the same page. A stranger sees the sign-in.
  const address = new URL(page.url()).pathname + new URL(page.url()).search;
  const shown = await reading(page);
  const other = await signedIn('receiver', 'desk'); // who sees the same sites: what plants of a block share is read from all one sees
  await other.page.goto(address);
  await settled(other);
  expect(await reading(other.page)).toEqual(shown);
  const stranger = await openPage(browser, sizes.desk);
  await stranger.page.goto(address);
  await stranger.page.getByRole('button', { name: 'Sign in' }).waitFor();
  expect(await stranger.page.locator('body').innerText()).not.toContain(String(looked));
  expect([...faults, ...other.faults]).toEqual([]);
  for (const one of [watched, other, stranger]) await one.page.context().close();
});

test('the map of arrivals is narrowed by cultivar, tone and house, and fits a phone and paper in both languages', async () => {
  const watched = await signedIn('grower', 'phone');
  const { page, faults } = watched;
  await page.goto('/trends/arrivals');
  await settled(watched);
  for (const language of ['en', 'es'] as const) {
    await speak(page, language);
    for (const size of ['phone', 'desk'] as const) {
      await page.setViewportSize(sizes[size]);
      await settled(watched);
      expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);
      expect(await page.locator('main').innerText()).not.toMatch(/undefined|NaN|null/);
      await picture(page, `arrivals-${size}-${language}`);
    }
  }
  await speak(page, 'en');
  const before = await page.locator('.heat-cell').count();
  await page.getByLabel('Foliage tone').selectOption('dark');
  await page.waitForURL(/foliage=dark/);
  await settled(watched);
  expect(await page.locator('.heat-cell').count()).toBeLessThanOrEqual(before);
  await page.getByLabel('House').selectOption({ index: 3 });
  await page.waitForURL(/house=/);
  await settled(watched);
  await page.emulateMedia({ media: 'print' });
  await picture(page, 'arrivals-print');
  expect(faults).toEqual([]);
  await page.context().close();
});

test('a house is a map of its blocks week by week: by keyboard and slider, down to the looks, the same by its address', async () => {
  const watched = await signedIn('owner', 'desk');
  const { page, faults } = watched;
  await page.goto('/trends/map');
  await page.waitForURL(/house=/);
  await settled(watched);
  const site = new URL(page.url()).searchParams.get('site') ?? '';
  const houses = ((await (await page.request.get(`/api/v1/houses?site_id=${site}`)).json()) as { items: House[] }).items;
  const maps = await Promise.all(houses.map(async ({ id }) => (await (await page.request.get(`/api/v1/house-map?house_id=${id}`)).json()) as HouseMap));
  const map = maps.find(({ blocks }) => blocks.some(({ weeks }) => weeks.some(({ code }) => code === 'above')));
  const week = map?.blocks.flatMap(({ weeks }) => weeks).find(({ code }) => code === 'above')?.week;
  if (!map || week === undefined) throw new Error('the demo has no block over its limit');
  const over = map.blocks.filter(({ weeks }) => weeks.some((one) => one.week === week && one.code === 'above'));
  const address = `/trends/map?site=${site}&house=${map.house_id}&week=${week}`;
  await page.goto(address);
  await settled(watched);

  // The sentence has the counts of the house, and the blocks over their limit.
  const point = map.points.find((one) => one.week === week);
  const said = await answer(page);
  expect(said).toContain(`${point?.infested_plants ?? -1} of ${point?.plants_looked_at ?? -1} plants`);
  expect(said).toContain(over.length === 1 ? '1 block is over the limit' : `${over.length} blocks are over the limit`);
  expect(await page.locator('.map-over').count()).toBe(over.length);
  const notSeen = map.blocks.filter(({ weeks }) => weeks.some((one) => one.week === week && !one.share && one.standing_plants > 0));
  expect(await page.locator('.map-not_looked_at').count()).toBe(notSeen.length);

  // Every block is reached with the arrow keys.
  await page.locator('.map a[tabindex="0"]').focus();
  const reached = new Set([await focused(page)]);
  for (let steps = 0; steps < 4 * map.blocks.length && reached.size < map.blocks.length; steps++) {
    const before = await focused(page);
    await page.keyboard.press('ArrowRight');
    if ((await focused(page)) === before) {
      await page.keyboard.press('Home');
      await page.keyboard.press('ArrowDown');
      await page.keyboard.press('Home');
    }
    reached.add(await focused(page));
  }
  expect(reached.size).toBe(map.blocks.length);

  // The slider moves the week with the arrow keys, and the address with it.
  const slider = page.getByRole('slider', { name: 'Week' });
  await slider.focus();
  await page.keyboard.press('ArrowLeft');
  await page.waitForURL((url) => url.searchParams.get('week') !== week);
  await page.keyboard.press('ArrowRight');
  await page.waitForURL((url) => url.searchParams.get('week') === week);
  expect(await slider.getAttribute('aria-valuetext')).toMatch(/^W\d\d · /);

  // A block opens to its looks and their plants.
  await page.locator('.map-over').first().focus();
  await page.keyboard.press('Enter');
  await settled(watched);
  await page.locator('.opened .table .look-link').first().click();
  await settled(watched);
  await page.locator('.opened .look-detail .plants').first().waitFor();
  await page.getByText('as a table').click();
  expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);

  const here = new URL(page.url()).pathname + new URL(page.url()).search;
  const other = await signedIn('receiver', 'desk');
  await other.page.goto(here);
  await settled(other);
  expect(await answer(other.page)).toBe(said);
  expect(await other.page.locator('.map').innerText()).toBe(await page.locator('.map').innerText());
  await other.page.locator('.opened .look-detail').waitFor();
  await page.goto(address);
  for (const language of ['en', 'es'] as const) {
    await speak(page, language);
    for (const size of ['phone', 'desk'] as const) {
      await page.setViewportSize(sizes[size]);
      await settled(watched);
      expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);
      expect(await page.locator('main').innerText()).not.toMatch(/undefined|NaN|null/);
      await picture(page, `map-${size}-${language}`);
    }
  }
  expect([...faults, ...other.faults]).toEqual([]);
  for (const one of [watched, other]) await one.page.context().close();
});

test('an opened lot has what was done with it on its time axis, and in words', async () => {
  const watched = await signedIn('grower', 'desk');
  const { page, faults } = watched;
  const { groups } = (await (await page.request.get('/api/v1/trends?by=lot')).json()) as Trends;
  const lot = groups.find(({ key, points }) => key !== '' && points.length > 4);
  if (!lot) throw new Error('the demo has no lot looked at in five weeks');
  await page.goto(`/trends?by=lot&open=${lot.key}`);
  await settled(watched);
  const done = page.locator('.trend-done li');
  await done.first().waitFor({ state: 'attached' });
  expect(await page.locator('.axis-mark').count()).toBeGreaterThan(0);
  expect(await page.locator('.axis-mark').count()).toBeLessThanOrEqual(await done.count());
  expect([...(await overflow(page)), ...(await axeFindings(page)), ...faults]).toEqual([]);
  await picture(page, 'trends-lot-done');
  await page.context().close();
});
