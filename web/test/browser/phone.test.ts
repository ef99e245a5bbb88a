import { readFileSync, rmSync } from 'node:fs';

import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';

import type { Daybook, Look, LookList, PhotoList, Placement } from '../../src/contract.gen';
import { uuid7 } from '../../src/local/uuid7';
import { signIn, sizes, startBrowser, type Person } from './browser';
import { startFront, type Front } from './front';
import { axeFindings, overflow } from './inspect';
import { buildNext } from './next-build';
import { fillUp, onPhone, strip, workerInControl } from './phone';

let browser: Browser;
let front: Front;
let contexts: BrowserContext[] = [];

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

beforeEach(async () => {
  front = await startFront();
});

afterEach(async () => {
  for (const context of contexts) await context.close();
  contexts = [];
  await front.cut();
});

/** Another phone. */
async function newPhone(): Promise<BrowserContext> {
  const context = await browser.newContext({ baseURL: front.address, viewport: sizes.phone, hasTouch: true, locale: 'en-GB', reducedMotion: 'reduce' });
  context.setDefaultTimeout(30_000);
  contexts.push(context);
  return context;
}

/** A phone on which somebody is signed in and on the walk. */
async function walking(person: Person = 'grower', context?: BrowserContext): Promise<Page> {
  const page = await (context ?? (await newPhone())).newPage();
  await signIn(page, person);
  await page.goto('/walk');
  await page.locator('.walk-stop').first().waitFor();
  return page;
}

async function bookOf(page: Page): Promise<Daybook> {
  const sites = (await (await page.request.get('/api/v1/sites')).json()) as { items: { id: string }[] };
  return (await (await page.request.get(`/api/v1/daybook?site_id=${sites.items[0]?.id ?? ''}`)).json()) as Daybook;
}

const given = new Set<string>();

/** A lot in a block that no other test here has looked at. */
function freshPlace(book: Daybook): Placement {
  const place = book.placements.find(({ block_id }) => !given.has(block_id) && !book.looks.some((look) => look.block_id === block_id));
  if (!place) throw new Error('every block was looked at');
  given.add(place.block_id);
  return place;
}

async function goTo(page: Page, { block_id, lot_id }: Placement): Promise<void> {
  await page.evaluate((to) => {
    history.pushState(null, '', to);
    dispatchEvent(new PopStateEvent('popstate'));
  }, `/walk/blocks/${block_id}?lot=${lot_id}`);
  await page.locator('.walk-mark').waitFor();
}

const marks = (page: Page) => page.locator('.walk-strip li');
const tapNone = (page: Page): Promise<void> => page.getByRole('button', { name: 'None seen', exact: true }).tap();
const tapSeen = (page: Page): Promise<void> => page.getByRole('button', { name: 'Seen', exact: true }).tap();
const sent = (page: Page): Promise<void> => strip(page).getByText('All sent').waitFor({ timeout: 60_000 });

/** Marks two plants, one with a find, and finishes. Answers the id of the look. */
async function record(page: Page, place: Placement): Promise<string> {
  await goTo(page, place);
  await tapNone(page);
  await tapSeen(page);
  await marks(page).nth(1).waitFor();
  await page.getByRole('button', { name: 'Finish' }).tap();
  await page.waitForURL(/\/walk\/looks\//);
  return new URL(page.url()).pathname.split('/').at(-1) ?? '';
}

async function storedLook(page: Page, id: string): Promise<Look> {
  return (await (await page.request.get(`/api/v1/looks/${id}`)).json()) as Look;
}

describe('what is only on a phone', () => {
  test('is kept when the sign-in runs out in the middle of a block, and sent after signing in again', async () => {
    const page = await walking();
    const place = freshPlace(await bookOf(page));
    await goTo(page, place);
    await tapNone(page);
    await marks(page).first().waitFor();
    await page.request.delete('/api/v1/session');
    await tapSeen(page);
    await marks(page).nth(1).waitFor();
    await page.getByRole('button', { name: 'Finish' }).tap();
    await strip(page).getByText('Signed out by the server · 1 only on this phone').waitFor();
    await page.reload(); // also the page opened anew goes on
    await strip(page).getByText('Signed out by the server · 1 only on this phone').tap();
    await page.getByRole('heading', { level: 1, name: 'On this phone' }).waitFor();
    expect(await axeFindings(page)).toEqual([]);
    await page.getByRole('main').getByRole('link', { name: 'Sign in' }).tap();
    await page.getByLabel('Email').fill('grower@demo.example');
    await page.getByLabel('Password').fill('cuttings-demo');
    await page.getByRole('button', { name: 'Sign in' }).tap();
    await sent(page);
    await page.getByText('Nothing waits here.').waitFor();
    const looks = (await (await page.request.get(`/api/v1/looks?block_id=${place.block_id}`)).json()) as LookList;
    expect(looks.items.filter(({ results }) => results[0]?.plants_looked_at === 2 && results[0].infested_plants === 1)).toHaveLength(1);
  });

  test('is counted from the first tap on, before it is finished, and said where one signs in', async () => {
    const page = await walking();
    await page.setViewportSize({ width: 320, height: 640 });
    await goTo(page, freshPlace(await bookOf(page)));
    await tapNone(page);
    await strip(page).getByText('All sent · 1 unfinished').waitFor();
    await page.getByRole('button', { name: 'Español' }).tap();
    await strip(page).getByText('Todo enviado · 1 sin terminar').waitFor();
    expect([...(await overflow(page)), ...(await axeFindings(page))]).toEqual([]);
    await page.getByRole('button', { name: 'English' }).tap();
    await page.getByRole('button', { name: 'Sign out' }).tap();
    await page.getByText('1 unfinished look or form waits here for the person who began it.').waitFor();
    await signIn(page, 'owner');
    await strip(page).getByText('All sent', { exact: true }).waitFor();
    expect(await strip(page).getByText('unfinished').count()).toBe(0);
    await page.getByRole('button', { name: 'Sign out' }).tap();
    await signIn(page, 'grower');
    await page.goto('/phone');
    await page.getByText(/^1.look is begun\./).waitFor();
    await strip(page).getByText('All sent · 1 unfinished').waitFor();
  });

  test('is said to have no network as soon as the radio is gone, although nothing is asked, and back with it', async () => {
    const page = await walking();
    const book = await bookOf(page);
    await strip(page).getByText('All sent').waitFor();
    await page.context().setOffline(true);
    await strip(page).getByText('No network · nothing waits').waitFor({ timeout: 5_000 });
    await goTo(page, freshPlace(book));
    await tapNone(page);
    await strip(page).getByText('No network · 1 unfinished').waitFor();
    await page.getByRole('button', { name: 'Undo the last plant' }).tap();
    await page.context().setOffline(false);
    await strip(page).getByText('All sent').waitFor({ timeout: 5_000 });
  });

  test('stays when the account is closed: as a file to take away, and never sent under another name', async () => {
    const owner = await walking('owner');
    const book = await bookOf(owner);
    const account = { email: `${uuid7()}@demo.example`, name: 'Vera Nowhere', password: 'only-for-this-test', roles: [{ role: 'grower', site_id: book.site.id }] };
    const id = uuid7();
    expect((await owner.request.put(`/api/v1/accounts/${id}`, { data: account })).status()).toBe(201);

    const context = await newPhone();
    const page = await context.newPage();
    await page.goto('/sign-in');
    await page.getByLabel('Email').fill(account.email);
    await page.getByLabel('Password').fill(account.password);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('navigation').first().waitFor();
    await page.goto('/walk');
    await page.locator('.walk-stop').first().waitFor();
    await context.setOffline(true);
    const look = await record(page, freshPlace(book));
    const { password, ...rest } = account;
    expect(password).toBeTruthy();
    expect((await owner.request.put(`/api/v1/accounts/${id}`, { data: { ...rest, disabled: true }, headers: { 'If-Match': '"1"' } })).status()).toBe(200);
    await context.setOffline(false);
    await strip(page).getByText('Signed out by the server · 1 only on this phone').waitFor({ timeout: 60_000 });

    await strip(page).getByRole('link').tap();
    const download = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save as a file' }).tap();
    const saved = JSON.parse(readFileSync(await (await download).path(), 'utf8')) as { records: { id: string; person: string; body: object }[] };
    expect(saved.records).toMatchObject([{ id: look, person: 'Vera Nowhere', body: { targets: [{ plants: [{ seen: false }, { seen: true }] }] } }]);

    // Somebody else signs in on this phone.
    await page.getByRole('main').getByRole('link', { name: 'Sign in' }).tap();
    await page.getByLabel('Email').fill('grower@demo.example');
    await page.getByLabel('Password').fill('cuttings-demo');
    await page.getByRole('button', { name: 'Sign in' }).tap();
    await sent(page);
    await page.getByText(/^1\srecord of Vera Nowhere waits here; it is sent when Vera Nowhere signs in\.$/).waitFor();
    expect((await page.request.get(`/api/v1/looks/${look}`)).status()).toBe(404);
    expect((await onPhone(page)).outbox).toMatchObject([{ id: look, problem: null }]);
  });

  test('has the right time although the phone is a day ahead, and a doubt where its clock was set before sending', async () => {
    const context = await newPhone();
    const page = await context.newPage();
    await page.clock.install({ time: Date.now() + 86_400_000 });
    await signIn(page, 'grower');
    await page.goto('/walk');
    await page.locator('.walk-stop').first().waitFor();
    const book = await bookOf(page);
    const first = await storedAfterSending(page, await record(page, freshPlace(book)));
    expect(Math.abs(Date.parse(first.looked_at) - Date.parse(book.now))).toBeLessThan(120_000);
    expect(first.doubts).toEqual([]);

    await front.cut();
    const id = await record(page, freshPlace(book));
    await strip(page).getByText('No network · 1 only on this phone').waitFor(); // it was tried by the wrong clock
    await page.clock.setSystemTime(Date.now());
    await front.mend();
    const second = await storedAfterSending(page, id);
    expect(second.doubts.map(({ code }) => code)).toEqual(['clock_changed']);
    await page.getByText('In doubt', { exact: true }).waitFor();
  });

  test('is counted only when it is kept: on a full phone the tap is not, and nothing before it is lost', async () => {
    const context = await newPhone();
    const devtools = await context.newCDPSession(await context.newPage());
    await devtools.send('Storage.overrideQuotaForOrigin', { origin: front.address, quotaSize: 20_000_000 });
    const page = await walking('grower', context);
    await goTo(page, freshPlace(await bookOf(page)));
    await tapNone(page);
    await marks(page).first().waitFor();
    await fillUp(page);
    await tapSeen(page);
    await page.getByText('This phone is full').waitFor();
    expect(await marks(page).count()).toBe(1);
    expect(await axeFindings(page)).toEqual([]);
    await devtools.send('Storage.overrideQuotaForOrigin', { origin: front.address, quotaSize: 40_000_000 }); // a film was deleted
    await tapSeen(page);
    await marks(page).nth(1).waitFor();
    expect(await page.getByText('This phone is full').count()).toBe(0);
    await page.reload();
    await marks(page).nth(1).waitFor();
    expect(await marks(page).count()).toBe(2);
    await page.getByRole('button', { name: 'Finish' }).tap();
    await sent(page);
  });

  test('is not written over from a second tab', async () => {
    const page = await walking();
    const place = freshPlace(await bookOf(page));
    await goTo(page, place);
    await tapNone(page);
    await marks(page).first().waitFor();
    const other = await page.context().newPage();
    await other.goto(page.url());
    await marks(other).first().waitFor();
    await tapSeen(other);
    await marks(other).nth(1).waitFor();

    await tapNone(page);
    await page.getByText('This look went on in another tab').waitFor();
    await page.getByRole('button', { name: 'Show what is marked' }).tap();
    await marks(page).nth(1).waitFor();
    expect((await onPhone(page)).begun).toMatchObject([{ value: { plants: [{ found: [] }, { found: [{}] }] } }]);
    await page.getByRole('button', { name: 'Finish' }).tap();
    await sent(page);
    await strip(other).getByText('All sent').waitFor();
  });

  test('may be a photo: taken with no network, made smaller, and sent after its look', async () => {
    const page = await walking();
    const place = freshPlace(await bookOf(page));
    await page.context().setOffline(true);
    const id = await record(page, place);
    const large = await page.evaluate(async () => {
      const canvas = Object.assign(document.createElement('canvas'), { width: 3000, height: 2000 });
      const context = canvas.getContext('2d');
      for (let x = 0; x < 3000; x += 10) {
        if (context) context.fillStyle = `hsl(${x % 360} 70% 50%)`;
        context?.fillRect(x, 0, 10, 2000);
      }
      const blob = await new Promise<Blob | null>((go) => canvas.toBlob(go, 'image/jpeg'));
      return [...new Uint8Array((await blob?.arrayBuffer()) ?? new ArrayBuffer())];
    });
    const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Take a photo' }).tap()]);
    await chooser.setFiles({ name: 'leaf.jpg', mimeType: 'image/jpeg', buffer: Buffer.from(large) });
    await page.getByText('only on this phone', { exact: true }).waitFor();
    await strip(page).getByText('No network · 2 only on this phone').waitFor();
    await page.reload().catch(() => undefined); // with or without a worker: what is kept is on disk
    await page.context().setOffline(false);
    await page.goto(`/walk/looks/${id}`);
    await sent(page);
    const photos = (await (await page.request.get(`/api/v1/photos?subject_id=${id}`)).json()) as PhotoList;
    expect(photos.items).toMatchObject([{ subject_noun: 'looks', picture: { width: 1600, height: 1067 } }]);
    const shown = page.getByRole('img', { name: /^Photo: / });
    await expect.poll(() => shown.evaluate((it) => (it as HTMLImageElement).naturalWidth)).toBe(320);
    expect(await axeFindings(page)).toEqual([]);
  });

  test('of two phones in the same block is two looks', async () => {
    const [one, two] = [await walking(), await walking()];
    const place = freshPlace(await bookOf(one));
    await one.context().setOffline(true);
    await two.context().setOffline(true);
    const ids = [await record(one, place), await record(two, place)];
    for (const page of [one, two]) {
      await page.context().setOffline(false);
      await sent(page);
    }
    const looks = (await (await one.request.get(`/api/v1/looks?block_id=${place.block_id}`)).json()) as LookList;
    expect(ids.every((id) => looks.items.some((look) => look.id === id))).toBe(true);
  });

  test('outlives a new version of the pages', async () => {
    const next = await buildNext('B');
    const page = await walking();
    await workerInControl(page);
    const book = await bookOf(page);
    await front.cut();
    const id = await record(page, freshPlace(book));
    await goTo(page, freshPlace(book));
    await tapNone(page);
    await marks(page).first().waitFor();
    const before = await onPhone(page);
    expect(before.begun).toHaveLength(1);
    front.serve(next);
    front.breaks = ({ url }) => url === '/api/v1/outbox'; // the pages come, records do not get through
    await front.mend();
    await page.evaluate(async () => (await navigator.serviceWorker.getRegistration())?.update());
    await page.waitForFunction(async () => (await navigator.serviceWorker.getRegistration())?.waiting?.state === 'installed');
    await page.goto('/walk');
    await page.locator('.walk-stop').first().waitFor();
    await expect.poll(async () => {
      await page.getByRole('link', { name: 'Dock' }).tap();
      await page.getByRole('link', { name: 'Sums' }).first().tap();
      return page.getByRole('button', { name: 'Update now' }).count();
    }, { timeout: 30_000 }).toBe(1);
    await page.getByRole('button', { name: 'Update now' }).tap();
    await page.getByRole('heading', { level: 1, name: 'Sums B' }).waitFor();
    expect(await onPhone(page)).toEqual(before);
    front.breaks = () => false;
    await page.goto('/phone');
    const now = page.getByRole('button', { name: 'Send now' });
    if ((await now.count()) > 0) await now.tap();
    await sent(page);
    expect((await storedLook(page, id)).version).toBe(1);
    expect((await onPhone(page)).begun).toEqual(before.begun);
    rmSync(next, { recursive: true });
  });

  test('stays with the reason when the server refuses it, and goes through once a person has mended it', async () => {
    const one = await walking();
    const two = await walking('owner');
    const book = await bookOf(one);
    const id = await record(one, freshPlace(book));
    await sent(one);

    // Both correct the same look; the first to arrive wins.
    await one.context().setOffline(true);
    await one.getByText('Add a note').tap();
    await one.getByLabel('Note').fill('aphids on the edge');
    await one.getByRole('button', { name: 'Save' }).tap();
    await strip(one).getByText('No network · 1 only on this phone').waitFor();
    await two.goto(`/walk/looks/${id}`);
    await two.getByText('Add a note').tap();
    await two.getByLabel('Note').fill('seen by the door');
    await two.getByRole('button', { name: 'Save' }).tap();
    await expect.poll(async () => (await storedLook(two, id)).version).toBe(2); // the strip said "All sent" before it, too

    await one.context().setOffline(false);
    await strip(one).getByText(/^1\srecord not accepted$/).waitFor({ timeout: 60_000 });
    await strip(one).getByRole('link').tap();
    await one.getByText('Sending yours makes a new version; the earlier one is kept.', { exact: false }).waitFor();
    expect(await axeFindings(one)).toEqual([]);
    await one.getByRole('button', { name: 'Let it go' }).tap();
    await sent(one);
    await one.getByRole('button', { name: 'Undo' }).tap();
    await one.getByRole('button', { name: 'Send it over what is there' }).tap();
    await sent(one);
    expect(await storedLook(one, id)).toMatchObject({ version: 3, note: 'aphids on the edge' });
  });
});

async function storedAfterSending(page: Page, id: string): Promise<Look> {
  await sent(page);
  return await storedLook(page, id);
}
