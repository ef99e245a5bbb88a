import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

import type { Look, LookList, Plans } from '../../src/contract.gen';
import { openPage, signIn, sizes, startBrowser } from './browser';
import { onPhone, strip } from './phone';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

/** A grower on the list of blocks, with a thumb whose taps are counted. */
async function walking(): Promise<{ page: Page; faults: string[]; tap: (what: Locator) => Promise<void>; taps: () => number }> {
  const { page, faults } = await openPage(browser, sizes.phone);
  await signIn(page, 'grower');
  await page.goto('/walk');
  await page.locator('.walk-stop').first().waitFor();
  let count = 0;
  const tap = async (what: Locator): Promise<void> => {
    count++;
    await what.tap();
  };
  return { page, faults, tap, taps: () => count };
}

const marks = (page: Page): Locator => page.locator('.walk-strip li');
const left = (page: Page): Locator => page.locator('.walk-stop .walk-left a').first();

/** The look on the page as the server has it, once it has it. */
async function storedLook(page: Page): Promise<Look> {
  await page.waitForURL(/\/walk\/looks\//);
  const path = `/api/v1/looks/${new URL(page.url()).pathname.split('/').at(-1) ?? ''}`;
  await expect.poll(async () => (await page.request.get(path)).status(), { timeout: 10_000 }).toBe(200);
  return (await (await page.request.get(path)).json()) as Look;
}

describe('a block on the walk', () => {
  test('takes at most 28 taps for 18 plants, four with a sign each, from the list and back to it', async () => {
    const { page, faults, tap, taps } = await walking();
    await tap(left(page));
    for (let plant = 1; plant <= 18; plant++) {
      const found = plant % 5 === 3;
      await tap(page.getByRole('button', { name: found ? 'Seen' : 'None seen', exact: true }));
      if (found) await tap(page.getByRole('button', { name: 'large nymph, old growth' }));
      await expect.poll(() => marks(page).count()).toBe(plant); // shown once it is on disk
    }
    await tap(page.getByRole('button', { name: 'Finish' }));
    await strip(page).getByText('All sent').waitFor();
    const look = await storedLook(page);
    await page.getByText('4 of 18 plants', { exact: true }).waitFor();
    await page.getByText('22 % (9–45)', { exact: true }).waitFor();
    await tap(page.getByRole('link', { name: 'To the blocks' }));
    await page.getByText('18 looked at · 4 with').first().waitFor();
    expect(taps()).toBeLessThanOrEqual(28);
    expect(look.results).toMatchObject([{ plants_looked_at: 18, infested_plants: 4 }]);
    expect(look.targets[0]?.plants?.filter(({ signs }) => signs?.length === 1)).toHaveLength(4);
    expect(faults).toEqual([]);
    await page.context().close();
  });

  test('keeps its marks over a reload and a lost answer, and is stored once', async () => {
    const { page, tap } = await walking();
    await tap(left(page));
    await tap(page.getByRole('button', { name: 'None seen', exact: true }));
    await tap(page.getByRole('button', { name: 'Seen', exact: true }));
    await tap(page.getByRole('button', { name: 'empty case, old growth' }));
    await page.getByText('1 seen, not counted as infested').waitFor();
    await page.reload();
    await marks(page).nth(1).waitFor();

    // The server stores it, but its answer is lost on the way.
    let lost = false;
    await page.route('**/api/v1/outbox', async (route) => {
      if (lost) return route.continue();
      lost = true;
      await route.fetch();
      await route.abort();
    });
    await tap(page.getByRole('button', { name: 'Finish' }));
    await page.getByText('So far only on this phone.').waitFor();
    await strip(page).getByText('No network · 1 only on this phone').waitFor();
    await strip(page).getByText('All sent').waitFor(); // by itself

    const look = await storedLook(page);
    expect(look.version).toBe(1);
    expect(look.results).toMatchObject([{ plants_looked_at: 2, infested_plants: 0 }]);
    await page.getByText('Counts as not infested: only an empty case.').waitFor();
    const all = (await (await page.request.get(`/api/v1/looks?block_id=${look.block_id}&week=${look.week}`)).json()) as LookList;
    expect(all.items.filter(({ id }) => id === look.id)).toHaveLength(1);
    expect(await onPhone(page)).toEqual({ begun: [], outbox: [] });

    // Undone right away it is withdrawn, not deleted.
    await tap(page.getByRole('button', { name: 'Undo' }));
    await page.getByText('This look is withdrawn').waitFor();
    await strip(page).getByText('All sent').waitFor();
    expect((await storedLook(page)).withdrawn_because).toBeTruthy();
    await page.context().close();
  });
});

describe('the plan of the round', () => {
  test('is made for the minutes there are, and says which rule gives way and what keeping it would cost', async () => {
    const { page, faults } = await walking();
    const plan = page.locator('.walk-plan').first();
    const blocks = async (): Promise<number> => Number.parseInt(await plan.locator('b').first().innerText());
    const whole = await blocks();
    const minutes = plan.getByLabel(/^I have, minutes for /);
    await minutes.fill('20');
    await minutes.press('Enter');
    await plan.getByText(/^No time for: 5\s%\sof the plants; .* more would do\.$/).waitFor();
    expect(await blocks()).toBeLessThan(whole);

    // The minutes are kept on this phone, and given back.
    await page.reload();
    await plan.getByText(/^No time for: /).first().waitFor();
    expect(await minutes.inputValue()).toBe('20');
    await minutes.fill('');
    await minutes.press('Enter');
    await expect.poll(blocks).toBe(whole);
    expect(faults).toEqual([]);
    await page.context().close();
  });

  test('says what is wrong with the minutes, and keeps the focus where it is planned again', async () => {
    const { page } = await walking();
    const plan = page.locator('.walk-plan').first();
    const minutes = plan.getByLabel(/^I have, minutes for /);
    await minutes.fill('30m');
    await minutes.blur();
    await plan.getByText('This is not a number.').waitFor();
    expect(await minutes.inputValue()).toBe('30m');
    await minutes.fill('7000');
    await minutes.press('Enter');
    await plan.getByText('Too large.').waitFor();

    let answer = (): void => undefined;
    const held = new Promise<void>((go) => (answer = go));
    let tries = 0;
    await page.route('**/api/v1/plans?*', async (route) => {
      if (++tries === 1) return route.abort();
      await held;
      await route.continue();
    });
    await minutes.fill('20');
    await minutes.press('Enter');
    const again = plan.getByRole('button', { name: 'Plan again' });
    await again.focus();
    await page.keyboard.press('Enter');
    await plan.getByText('Planning …').waitFor();
    expect(await again.getAttribute('aria-disabled')).toBe('true');
    answer();
    await plan.getByText('Planning …').waitFor({ state: 'detached' });
    await plan.getByText(/^No time for: /).first().waitFor();
    expect(await again.evaluate((it) => it === document.activeElement)).toBe(true);
    await page.context().close();
  });

  test('says in the hand when it is enough, without a network, and marks what is done', async () => {
    const { page, tap } = await walking();
    await page.locator('.walk-plan').first().waitFor();
    const here = (await page.locator('.walk-stop .walk-left a').first().getAttribute('href')) ?? '';
    await tap(page.locator('.walk-stop .walk-left a').first());
    await page.locator('.walk-mark').waitFor();
    await page.context().setOffline(true);
    const line = page.locator('.walk-ask');
    const asked = Number(/of\s(\d+)/.exec(await line.innerText())?.[1]);
    const first = /next: plant (\d+)/.exec(await line.innerText())?.[1];
    await tap(page.getByRole('button', { name: 'Seen', exact: true }));
    await line.getByText(new RegExp(`^1\\sof\\s${asked} planned`)).waitFor();
    expect(/next: plant (\d+)/.exec(await line.innerText())?.[1]).not.toBe(first);
    expect(await line.innerText()).toMatch(/Not before .* to go\)|Not before .* in its planned block/);
    for (let plant = 2; plant <= asked; plant++) await tap(page.getByRole('button', { name: 'Seen', exact: true }));
    await line.getByText('next: plant').waitFor({ state: 'hidden' });
    await line.tap(); // why
    await page.getByText(/ this week: .* plants with it\. .*(limit of|patches|No limit)/).waitFor();

    // Back on the list the plants count, though no server has them yet.
    await page.getByRole('link', { name: 'Blocks' }).tap();
    const row = page.locator('.walk-stop .walk-looked').filter({ has: page.locator(`a[href="${here}"]`) });
    await row.getByText('done').waitFor();
    await row.getByRole('link').tap();
    await tap(page.getByRole('button', { name: 'Finish' }));
    await strip(page).getByText('No network · 1 only on this phone').waitFor();
    await page.context().setOffline(false);
    await strip(page).getByText('All sent').waitFor();
    const look = await storedLook(page);
    expect(look.results).toMatchObject([{ plants_looked_at: asked, infested_plants: asked }]);
    const plans = (await (await page.request.get(`/api/v1/plans?site_id=${look.site_id}&house_id=${look.house_id}`)).json()) as Plans;
    const block = plans.plans[0]?.blocks.find(({ block_id }) => block_id === look.block_id);
    expect(block?.looks.find(({ lot_id }) => lot_id === look.lot_id)).toMatchObject({ done_plants: asked });
    await page.context().close();
  });
});

test('the time on a block is worked out from the taps, and pauses are left out', async () => {
  const { page, tap } = await walking();
  await page.clock.install();
  await page.reload();
  await tap(page.locator('.walk-stop .walk-left a').last());
  const after = async (seconds: number): Promise<void> => {
    await page.clock.fastForward(seconds * 1000);
    const before = await marks(page).count();
    await tap(page.getByRole('button', { name: 'None seen', exact: true }));
    await expect.poll(() => marks(page).count()).toBe(before + 1);
  };
  await page.locator('.walk-mark').waitFor();
  await after(40);
  await after(200); // a talk with the neighbour
  await after(50);
  await tap(page.getByRole('button', { name: 'Finish' }));
  await page.getByText('about 2 min, pauses left out').waitFor();
  const { seconds = 0 } = await storedLook(page);
  expect(seconds).toBeGreaterThanOrEqual(90);
  expect(seconds).toBeLessThan(120); // what the taps themselves took
  await page.context().close();
});
