import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFailed, test } from 'vitest';

import type { WeekReading } from '../../src/contract.gen';
import { openPage, settled, signIn, sizes, startBrowser, type Watched } from './browser';
import { axeFindings, overflow, picture } from './inspect';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

async function opened(size: keyof typeof sizes): Promise<Watched> {
  const watched = await openPage(browser, sizes[size]);
  onTestFailed(async () => {
    console.error(watched.page.url(), watched.faults);
    await picture(watched.page, 'failed-week');
  });
  return watched;
}

const spaced = (text: string): string => text.replace(/\s+/g, ' ');

test.each(['phone', 'desk'] as const)('from signing in a grower reads which lots to look at and why, on a %s', async (size) => {
  const watched = await opened(size);
  const { page, faults } = watched;
  await signIn(page, 'grower');
  await settled(watched);
  await page.waitForURL(/\/week\?site=.*&section=.*&week=2026-W\d\d$/);
  const address = page.url();
  const site = new URL(address).searchParams.get('site') ?? '';
  const section = new URL(address).searchParams.get('section') ?? '';
  const reading = (await (await page.request.get(`/api/v1/week?site_id=${site}&section_id=${section}`)).json()) as WeekReading;
  const mine = reading.sections.find(({ section_id }) => section_id === section);
  if (!mine) throw new Error('the grower of the demo looks after no section');
  expect(mine.listed.length).toBeGreaterThan(0);
  expect(await page.getByRole('link', { name: `${mine.name} (yours)` }).getAttribute('aria-current')).toBe('page');
  expect(spaced(await page.locator('.week-section .answer').innerText())).toContain(`of ${mine.lots} lots`);

  const lots = page.locator('.week-lot');
  expect(await lots.count()).toBe(mine.listed.length);
  for (const [i, lot] of mine.listed.entries()) {
    const said = spaced(await lots.nth(i).innerText());
    expect(said).toContain(`${lot.code} ${lot.cultivar}`);
    expect(said).toMatch(/W\d\d: .*plants.*%/);
    if (lot.houses.length > 0) expect(said).toContain(`All ${lot.cultivar} in `);
    expect(said).not.toMatch(/undefined|NaN|null/);
  }
  for (const language of ['en', 'es'] as const) {
    if (language === 'es') await page.getByRole('button', { name: 'Español' }).click();
    await page.locator(`html[lang=${language}]`).waitFor();
    await settled(watched);
    expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);
    await picture(page, `week-${size}-${language}`);
  }

  // by keyboard: through the weeks of the first trend, and into its looks
  const points = lots.first().locator('.point');
  await points.last().focus();
  await page.keyboard.press('ArrowLeft');
  expect(await points.evaluateAll((all) => all.findIndex((one) => one === document.activeElement))).toBe((await points.count()) - 2);
  await page.keyboard.press('Enter');
  await page.waitForURL(/\/trends\?by=lot&.*week=/);
  await page.goBack();
  await settled(watched);
  const first = lots.first().getByRole('link').first();
  await first.focus();
  await page.keyboard.press('Enter');
  await page.waitForURL((url) => url.searchParams.get('open') === mine.listed[0]?.lot_id);
  await settled(watched);
  expect(await page.locator('h1').innerText()).toBe(mine.listed[0]?.code);
  expect(faults).toEqual([]);
  await page.context().close();
});

test('an address shows another person of the site the same, and each section prints on one sheet', async () => {
  const watched = await opened('desk');
  const { page, faults } = watched;
  await signIn(page, 'receiver');
  const [site] = ((await (await page.request.get('/api/v1/sites')).json()) as { items: { id: string }[] }).items;
  await page.goto(`/week?site=${site?.id ?? ''}&section=all&week=2026-W37`);
  await settled(watched);
  const sections = await page.locator('.week-section').count();
  expect(sections).toBeGreaterThan(1);
  const receiver = await page.locator('.week-section').first().innerText();
  const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
  expect(pdf.match(/\/Type \/Page\b/g)).toHaveLength(sections);
  expect(pdf).toMatch(/\/MediaBox \[0 0 59\d(\.\d+)? 84\d(\.\d+)?\]/); // A4 upright, in points

  const grower = await opened('desk');
  await signIn(grower.page, 'grower');
  await grower.page.goto(page.url());
  await settled(grower);
  expect(await grower.page.locator('.week-section').first().innerText()).toBe(receiver);

  await page.getByRole('link', { name: /the week before/ }).click();
  await page.waitForURL(/week=2026-W36/);
  await settled(watched);
  expect(spaced(await page.locator('.week-which').innerText())).toContain('Advice is given for today only');
  await page.getByRole('link', { name: 'Back to now' }).click();
  await page.waitForURL(/week=2026-W37/);
  expect([...faults, ...grower.faults]).toEqual([]);
  await page.context().close();
  await grower.page.context().close();
});

test('what is due comes into a calendar by an address of one’s own, until it is withdrawn', async () => {
  const watched = await opened('phone');
  const { page, faults } = watched;
  await signIn(page, 'grower');
  await page.goto('/week?section=all');
  await settled(watched);
  await page.getByText('What is due, in your own calendar').click();
  await page.getByRole('button', { name: 'Make an address' }).click();
  const address = await page.locator('.week-address').innerText();
  expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);
  await picture(page, 'week-calendar');
  const stranger = await browser.newContext();
  const calendar = await stranger.request.get(address);
  expect(calendar.headers()['content-type']).toBe('text/calendar; charset=utf-8');
  const text = await calendar.text();
  expect(text).toMatch(/^BEGIN:VCALENDAR\r\n/);
  expect(text).toContain('SUMMARY:Round of week 38\r\n');
  await page.getByRole('button', { name: /^Withdraw/ }).last().click();
  await page.getByText('Withdrawn: the address shows nothing any more.').waitFor();
  expect((await stranger.request.get(address)).status()).toBe(404);
  expect(faults).toEqual([]);
  await stranger.close();
  await page.context().close();
});

test('the week by e-mail is asked for, stopped, and not offered where no mail server is set up', async () => {
  const watched = await opened('phone');
  const { page } = watched;
  await signIn(page, 'grower');
  await settled(watched);
  expect(await page.getByText('This week by e-mail').count()).toBe(0);
  // the demo has no mail server: from here on the page is told that there is one, and that it takes the letter
  const session = (await (await page.request.get('/api/v1/session')).json()) as object;
  await page.route('**/api/v1/session', (route) => route.fulfill({ json: { ...session, letters: true } }));
  await page.route('**/api/v1/letter-now', (route) => route.fulfill({ status: 204 }));
  await page.reload();
  await settled(watched);
  await page.getByText('This week by e-mail').click();
  await page.getByRole('button', { name: /^Send me .* every Monday$/ }).click();
  await page.getByText('It comes on Monday morning.').waitFor();
  await page.getByRole('button', { name: 'Send me one now' }).click();
  await page.getByText('Sent to grower@demo.example.').waitFor();
  expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);
  await picture(page, 'week-letters');
  await page.getByRole('button', { name: /^Stop: / }).click();
  await page.getByText('Stopped: no more letters about it.').waitFor();
  await page.getByRole('button', { name: /^Send me .* every Monday$/ }).waitFor();
  expect(watched.faults).toEqual([]);
  await page.context().close();
});
