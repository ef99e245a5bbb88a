import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';

import type { Daybook, Look, LookBody, LookList, OutboxRecord } from '../../src/contract.gen';
import { launching, signIn, sizes } from './browser';
import { dataFolder, startDemo, type Demo } from './demo';
import { startFront, type Front } from './front';
import { onPhone, strip, workerInControl } from './phone';

const blocks = 30;
const plantsEach = 20;

const folder = dataFolder();
const profile = mkdtempSync(join(tmpdir(), 'bt-phone-'));
let demo: Demo;
let front: Front;

beforeAll(async () => {
  demo = await startDemo(folder);
  front = await startFront(demo.address);
}, 240_000);

afterAll(async () => {
  await front.cut();
  await demo.stop();
  rmSync(folder, { recursive: true, force: true });
  rmSync(profile, { recursive: true, force: true });
});

/** The phone switched on: the browser with what it kept on disk. */
async function switchOn(): Promise<{ context: BrowserContext; page: Page }> {
  const context = await chromium.launchPersistentContext(profile, {
    ...launching(),
    baseURL: front.address,
    viewport: sizes.phone,
    hasTouch: true,
    locale: 'en-GB',
    reducedMotion: 'reduce',
  });
  context.setDefaultTimeout(30_000);
  return { context, page: context.pages()[0] ?? (await context.newPage()) };
}

/** The battery is taken out: nothing is closed in order. */
async function takeBatteryOut(context: BrowserContext): Promise<void> {
  const closed = new Promise((go) => context.once('close', go));
  execFileSync('pkill', ['-9', '-f', `user-data-dir=${profile}`]);
  await closed;
}

/** Whether the plant has it, and whether a sign is noted: the same each time, and not the same in two blocks. */
const isFound = (block: number, plant: number): boolean => (plant * 7 + block * 3) % 5 === 0;
const isNoted = (block: number, plant: number): boolean => isFound(block, plant) && (plant + block) % 2 === 0;

/** Taps the button with these words where it stands; the locators of the browser's driver take longer than 600 plants have. */
async function tap(page: Page, name: string): Promise<void> {
  const at = await page.evaluate((wanted) => {
    const button = [...document.querySelectorAll('button')].find((one) => (one.ariaLabel ?? one.textContent.trim()) === wanted);
    button?.scrollIntoView({ block: 'nearest' });
    const box = button?.getBoundingClientRect();
    return box === undefined ? null : { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  }, name);
  if (at === null) throw new Error(`no button "${name}"`);
  await page.touchscreen.tap(at.x, at.y);
}

async function tapPlants(page: Page, block: number, from: number, to: number): Promise<void> {
  for (let plant = from; plant < to; plant++) {
    await tap(page, isFound(block, plant) ? 'Seen' : 'None seen');
    await page.waitForFunction((marks) => document.querySelectorAll('.walk-strip li').length === marks, plant + 1); // shown: it is on disk
    if (isNoted(block, plant)) await tap(page, 'large nymph, old growth');
  }
}

/** What a body says: empty members, and false where that is what leaving out means, say nothing. */
const said = (body: object): unknown => JSON.parse(JSON.stringify(body, (name, value: unknown) => (value === null || (name === 'signs_looked_for' && value === false) ? undefined : value)));

async function goTo(page: Page, address: string): Promise<void> {
  await page.evaluate((to) => {
    history.pushState(null, '', to);
    dispatchEvent(new PopStateEvent('popstate'));
  }, address);
}

test('a round of 30 blocks and 600 plants, recorded with no network over a reload, a dead phone and a restarted server, is sent once and as it was tapped', { timeout: 600_000 }, async () => {
  let { context, page } = await switchOn();
  await signIn(page, 'grower');
  await page.goto('/walk');
  await page.locator('.walk-stop').first().waitFor();
  await workerInControl(page);
  const cookies = await context.cookies();
  const sites = (await (await page.request.get('/api/v1/sites')).json()) as { items: { id: string }[] };
  const book = (await (await page.request.get(`/api/v1/daybook?site_id=${sites.items[0]?.id ?? ''}`)).json()) as Daybook;
  const stops = [...new Map(book.placements.map((one) => [one.block_id, one])).values()].slice(0, blocks);
  expect(stops).toHaveLength(blocks);

  await front.cut();
  await context.setOffline(true);
  for (const [i, { block_id, lot_id }] of stops.entries()) {
    await goTo(page, `/walk/blocks/${block_id}?lot=${lot_id}`);
    await page.locator('.walk-mark').waitFor();
    await tapPlants(page, i, 0, plantsEach / 2);
    if (i === 10) {
      await page.reload();
      await page.locator('.walk-strip li').nth(plantsEach / 2 - 1).waitFor();
    }
    if (i === 20) {
      await takeBatteryOut(context);
      await demo.stop('SIGKILL');
      ({ context, page } = await switchOn());
      await context.setOffline(true);
      await page.goto(`/walk/blocks/${block_id}?lot=${lot_id}`);
      await page.locator('.walk-strip li').nth(plantsEach / 2 - 1).waitFor();
    }
    await tapPlants(page, i, plantsEach / 2, plantsEach);
    await page.getByRole('button', { name: 'Finish' }).tap();
    await page.getByText('So far only on this phone.').waitFor();
    await strip(page).getByText(`No network · ${i + 1} only on this phone`).waitFor();
  }
  const { begun, outbox } = await onPhone(page);
  expect(begun).toEqual([]);
  expect(outbox).toHaveLength(blocks);

  const again = await startDemo(folder, new URL(demo.address).host);
  demo = again;
  await front.mend();
  await context.addCookies(cookies);
  await context.setOffline(false);
  await strip(page).getByText('All sent').waitFor({ timeout: 150_000 });
  expect(await onPhone(page)).toEqual({ begun: [], outbox: [] });

  const looks = new Map<string, Look>();
  for (const { block_id } of stops) {
    const list = (await (await page.request.get(`/api/v1/looks?block_id=${block_id}&week=${book.week}`)).json()) as LookList;
    for (const look of list.items) looks.set(look.id, look);
  }
  const before = new Set(book.looks.map(({ id }) => id));
  expect([...looks.keys()].filter((id) => !before.has(id)).toSorted()).toEqual(outbox.map(({ id }) => id).toSorted());
  for (const [i, record] of outbox.entries()) {
    const look = looks.get(record.id);
    expect(look).toMatchObject({ version: 1, block_id: stops[i]?.block_id, lot_id: stops[i]?.lot_id });
    const marks = look?.targets[0]?.plants ?? [];
    expect(marks.map(({ seen }) => seen)).toEqual(Array.from({ length: plantsEach }, (_, plant) => isFound(i, plant)));
    expect(marks.map(({ signs }) => (signs ?? []).length > 0)).toEqual(Array.from({ length: plantsEach }, (_, plant) => isNoted(i, plant)));
    const revisions = (await (await page.request.get(`/api/v1/revisions?record_id=${record.id}`)).json()) as { items: { body: LookBody; made?: OutboxRecord['made'] }[] };
    expect(revisions.items).toHaveLength(1);
    expect(revisions.items[0]?.body).toEqual(said(record.body)); // kept as it was sent
    const made = revisions.items[0]?.made; // the moment may come back in another offset
    expect({ ...made, at: Date.parse(made?.at ?? '') }).toEqual({ ...record.made, at: Date.parse(record.made?.at ?? '') });
  }
  await context.close();
});
