import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';

import { openPage, signIn, sizes, startBrowser } from './browser';
import { axeFindings, overflow, picture } from './inspect';
import { onPhone } from './phone';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

const target = (page: Page, name: string): Locator => page.getByRole('button', { name, exact: true });
const marks = (page: Page): Locator => page.locator('.walk-strip li');

async function leftOf(what: Locator): Promise<number> {
  return (await what.boundingBox())?.x ?? NaN;
}

/** Notes from the next page on how the phone was made to vibrate. */
async function feel(page: Page): Promise<() => Promise<unknown[]>> {
  await page.addInitScript(() => {
    const felt: unknown[] = [];
    Object.assign(globalThis, { felt });
    navigator.vibrate = (pattern) => felt.push(pattern) > 0;
  });
  return () => page.evaluate(() => Reflect.get(globalThis, 'felt') as unknown[]);
}

test('the targets are swapped for the left hand, and stay so on this phone', async () => {
  const { page, faults } = await openPage(browser, { width: 320, height: 640 });
  await signIn(page, 'grower');
  await page.goto('/walk');
  await page.locator('.walk-stop .walk-left a').first().tap();
  await page.getByText('This phone', { exact: true }).tap();
  expect(await leftOf(target(page, 'Seen'))).toBeGreaterThan(await leftOf(target(page, 'None seen')));
  await page.getByText('Left hand: “Seen” on the left').tap();
  await expect.poll(() => leftOf(target(page, 'Seen'))).toBeLessThan(await leftOf(target(page, 'Finish')));
  expect(await leftOf(target(page, 'Seen'))).toBeLessThan(await leftOf(target(page, 'None seen')));
  expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);
  await picture(page, 'walk-this-phone-320-en');
  await page.reload();
  await target(page, 'Seen').waitFor();
  expect(await leftOf(target(page, 'Seen'))).toBeLessThan(await leftOf(target(page, 'None seen')));
  // In the order of reading, too.
  const order = await page.locator('.walk-targets button').allInnerTexts();
  expect(order).toEqual(['Seen', 'None seen']);
  expect(faults).toEqual([]);
  await page.context().close();
});

test('a tick is felt when the mark is on disk, and not when the phone is full', async () => {
  const { page } = await openPage(browser, sizes.phone);
  const felt = await feel(page);
  await signIn(page, 'grower');
  await page.goto('/walk');
  await page.locator('.walk-stop .walk-left a').last().tap();
  await target(page, 'None seen').tap();
  await expect.poll(felt).toEqual([[15]]);
  expect((await onPhone(page)).begun).toHaveLength(1);
  await target(page, 'Seen').tap();
  await expect.poll(felt).toEqual([[15], [15, 50, 15]]);

  await page.evaluate(() => {
    IDBObjectStore.prototype.put = () => {
      throw new DOMException('no room', 'QuotaExceededError');
    };
  });
  await target(page, 'Seen').tap();
  await page.getByText('This phone is full').waitFor();
  expect(await felt()).toHaveLength(2);
  expect(await marks(page).count()).toBe(2);

  await page.reload();
  await page.getByText('This phone', { exact: true }).tap();
  await page.getByText('Vibrate when a mark is kept').tap();
  await target(page, 'None seen').tap();
  await expect.poll(() => marks(page).count()).toBe(3);
  expect(await felt()).toEqual([]);
  await page.context().close();
});

/** What the focus stands on while Tab goes through the page once, where something else lies over it. */
async function covered(page: Page): Promise<string[]> {
  const found: string[] = [];
  for (let i = 0; i < 60; i++) {
    await page.keyboard.press('Tab');
    const at = await page.evaluate(() => {
      const focus = document.activeElement;
      if (!focus || focus === document.body) return null;
      const { left, top, width, height } = focus.getBoundingClientRect();
      const over = document.elementFromPoint(left + width / 2, top + height / 2);
      const clear = over !== null && (focus.contains(over) || over.contains(focus));
      return clear ? '' : `${focus.ariaLabel ?? focus.textContent} under ${over?.className ?? 'the edge of the window'}`;
    });
    if (at === null) break;
    if (at !== '') found.push(at);
  }
  return found;
}

test('what has the focus is never under the targets: on small phones, on one held sideways, and at 200 %', async () => {
  const { page } = await openPage(browser, sizes.phone);
  await signIn(page, 'grower');
  await page.goto('/walk');
  await page.locator('.walk-stop .walk-left a').first().tap();
  await target(page, 'Seen').tap();
  await expect.poll(() => marks(page).count()).toBeGreaterThan(0);
  for (const [width, height] of [[640, 360], [844, 390], [320, 640], [390, 664], [390, 844]] as const) {
    await page.setViewportSize({ width, height });
    await page.locator('h1').focus();
    expect([`${width} × ${height}`, ...(await covered(page))]).toEqual([`${width} × ${height}`]);
    await picture(page, `walk-focus-${width}`, 'window');
  }
  await page.context().close();
});

test('where the phone asks for more contrast, as in full sun, every text has at least 7 to 1', async () => {
  const { page } = await openPage(browser, sizes.phone);
  await signIn(page, 'grower');
  await page.emulateMedia({ contrast: 'more' });
  const faint = async (): Promise<unknown> => {
    expect(await axeFindings(page)).toEqual([]); // brings axe along
    return page.evaluate(`axe.run({ runOnly: ['color-contrast-enhanced'], rules: { 'color-contrast-enhanced': { enabled: true } } })
      .then(({ violations, passes }) => [passes.length, ...violations.flatMap(({ nodes }) => nodes.map(({ html }) => html.slice(0, 120)))])`);
  };
  await page.goto('/walk');
  await page.locator('.walk-stop').first().waitFor();
  expect(await faint()).toEqual([1]);
  await picture(page, 'walk-contrast-390-en', 'window');
  await page.locator('.walk-stop .walk-left a').first().tap();
  await target(page, 'Seen').tap();
  await expect.poll(() => marks(page).count()).toBeGreaterThan(0);
  expect(await faint()).toEqual([1]);
  await picture(page, 'walk-contrast-block-390-en', 'window');
  await page.goto('/dock');
  await page.getByRole('link', { name: 'New shipment' }).first().waitFor();
  expect(await faint()).toEqual([1]);
  await page.context().close();
});
