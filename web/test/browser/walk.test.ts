import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

import type { Look, LookList } from '../../src/contract.gen';
import { openPage, signIn, sizes, startBrowser } from './browser';

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

async function storedLook(page: Page): Promise<Look> {
  await page.waitForURL(/\/walk\/looks\//);
  const answer = await page.request.get(`/api/v1/looks/${new URL(page.url()).pathname.split('/').at(-1) ?? ''}`);
  return (await answer.json()) as Look;
}

describe('a block on the walk', () => {
  test('takes at most 28 taps for 18 plants, four with a sign each, from the list and back to it', async () => {
    const { page, faults, tap, taps } = await walking();
    await tap(left(page));
    for (let plant = 1; plant <= 18; plant++) {
      const found = plant % 5 === 3;
      await tap(page.getByRole('button', { name: found ? 'Seen' : 'None seen', exact: true }));
      if (found) await tap(page.getByRole('button', { name: 'large nymph, old growth' }));
      expect(await marks(page).count()).toBe(plant);
    }
    await tap(page.getByRole('button', { name: 'Finish' }));
    const look = await storedLook(page);
    await page.getByText('4 of 18 plants').waitFor();
    await page.getByText('22 % (9–45)').waitFor();
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
    await page.route('**/api/v1/looks/*', async (route) => {
      if (route.request().method() !== 'PUT' || lost) return route.continue();
      lost = true;
      await route.fetch();
      await route.abort();
    });
    await tap(page.getByRole('button', { name: 'Finish' }));
    await page.getByText('All marks are kept on this phone.').waitFor();
    await tap(page.getByRole('button', { name: 'Send again' }));

    const look = await storedLook(page);
    expect(look.version).toBe(1);
    expect(look.results).toMatchObject([{ plants_looked_at: 2, infested_plants: 0 }]);
    await page.getByText('Counts as not infested: only an empty case.').waitFor();
    const all = (await (await page.request.get(`/api/v1/looks?block_id=${look.block_id}&week=${look.week}`)).json()) as LookList;
    expect(all.items.filter(({ id }) => id === look.id)).toHaveLength(1);
    expect(await page.evaluate(() => Object.keys(localStorage).filter((key) => key.includes('draft')))).toEqual([]);

    // Undone right away it is withdrawn, not deleted.
    await tap(page.getByRole('button', { name: 'Undo' }));
    await page.getByText('This look is withdrawn').waitFor();
    expect((await storedLook(page)).withdrawn_because).toBeTruthy();
    await page.context().close();
  });
});
