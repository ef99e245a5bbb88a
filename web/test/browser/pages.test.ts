import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';

import { everyPage } from './addresses';
import { openPage, people, settled, signIn, sizes, startBrowser, type Person, type Watched } from './browser';
import { axeFindings, overflow, picture } from './inspect';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

const languages = ['en', 'es'] as const;

/** Turns the page to the other language with its own button, if it shows another one. */
async function speak({ page }: Watched, language: (typeof languages)[number]): Promise<void> {
  if ((await page.locator('html').getAttribute('lang')) === language) return;
  await page.getByRole('button', { name: language === 'es' ? 'Español' : 'English' }).click();
  await page.locator(`html[lang=${language}]`).waitFor();
}

/** Whether the page says that it does not exist, or that it could not be shown. */
async function notThere(page: Page): Promise<boolean> {
  const missing = page.getByRole('heading', { level: 1, name: /^(There is no such page|Esa página no existe)$/ });
  return (await missing.count()) + (await page.locator('main [role=alert].notice').count()) > 0;
}

/** Besides a phone and a desk: the narrowest that reflow is promised for (WCAG 2.2, 1.4.10), which is a desk at 400 % zoom, and a tablet. */
const widths = { ...sizes, narrow: { width: 320, height: 640 }, tablet: { width: 768, height: 1024 } };

interface View {
  size: keyof typeof widths;
  language: (typeof languages)[number];
}

const viewsAt = (...at: View['size'][]): View[] => languages.flatMap((language) => at.map((size) => ({ size, language })));

/** Each size and each language once; the others are the same elements in other words and widths, so axe is asked in these. */
const twoViews: View[] = [
  { size: 'phone', language: 'es' },
  { size: 'desk', language: 'en' },
];

/** Where pictures are wanted, everybody looks at everything. */
const everything = process.env.BENCHTRAIL_SCREENSHOTS !== undefined;

const everyView: View[] = everything ? viewsAt('phone', 'desk', 'narrow', 'tablet') : [...viewsAt('phone', 'desk'), { size: 'narrow', language: 'es' }];

/** The others' pages are the owner's with less on them. */
const viewsOf = (person: Person): View[] => (person === 'owner' || everything ? everyView : twoViews.filter(({ size }) => size === (person === 'receiver' ? 'phone' : 'desk')));

const isForAxe = (view: View): boolean => everything || twoViews.some(({ size, language }) => size === view.size && language === view.language);

/** Looks at the page in each view; says what is wrong with it. */
async function look(watched: Watched, name: string, views: View[]): Promise<string[]> {
  const { page, faults } = watched;
  const wrong: string[] = [];
  for (const view of views) {
    const { size, language } = view;
    await page.setViewportSize(widths[size]);
    await speak(watched, language);
    await settled(watched);
    const found = [...(await overflow(page)), ...(isForAxe(view) ? await axeFindings(page) : [])];
    wrong.push(...found.map((fault) => `${name}, ${size}, ${language}: ${fault}`));
    await picture(page, `${name}-${size}-${language}`);
  }
  wrong.push(...faults.splice(0).map((fault) => `${name}: ${fault}`));
  return wrong;
}

describe('every page on a phone and at a desk, in English and Spanish, has no fault, no overflow down to 320 px and nothing that axe finds', () => {
  test('the sign-in', async () => {
    const watched = await openPage(browser, sizes.phone);
    await watched.page.goto('/sign-in');
    expect(await look(watched, 'sign-in', everyView)).toEqual([]);
    await watched.page.context().close();
  });

  // At once: each waits for the server now and then, and pages draw in processes of their own.
  test.concurrent.each(people)('as %s', async (person) => {
    const watched = await openPage(browser, sizes.phone);
    const { page } = watched;
    await signIn(page, person);
    const wrong: string[] = [];
    for (const [name, address] of await everyPage(page.request)) {
      await page.goto(address);
      await settled(watched).catch((error: unknown) => {
        throw new Error(`${person}-${name}: ${address} does not come to rest`, { cause: error });
      });
      if ((await notThere(page)) !== (name === 'no-such-page')) wrong.push(`${person}-${name}: ${address} shows: ${await page.locator('main').innerText()}`);
      wrong.push(...(await look(watched, `${person}-${name}`, viewsOf(person))));
    }
    expect(wrong).toEqual([]);
    await page.context().close();
  });
});
