import { readFileSync } from 'node:fs';

import type { APIRequestContext, Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, onTestFailed, test } from 'vitest';

import type { Claim, Cultivar, Lot, Organism, Photo, Session, Shipment, Site, Supplier } from '../../src/contract.gen';
import { uuid7 } from '../../src/local/uuid7';
import { openPage, settled, signIn, sizes, startBrowser, type Watched } from './browser';
import { axeFindings, overflow, picture } from './inspect';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

const hour = 3_600_000;

async function get<T>(api: APIRequestContext, path: string): Promise<T> {
  const answer = await api.get(`/api/v1/${path}`);
  if (!answer.ok()) throw new Error(`${answer.status()} for GET ${path}: ${await answer.text()}`);
  return (await answer.json()) as T;
}

const items = async <T>(api: APIRequestContext, path: string): Promise<T[]> => (await get<{ items: T[] }>(api, path)).items;

async function put(api: APIRequestContext, noun: string, body: object): Promise<string> {
  const id = uuid7();
  const answer = await api.put(`/api/v1/${noun}/${id}`, { data: body, headers: { Origin: new URL(inject('address')).origin } });
  if (!answer.ok()) throw new Error(`${answer.status()} for PUT ${noun}: ${await answer.text()}`);
  return id;
}

interface Arrived {
  shipment: string;
  supplier: Supplier;
  lot: Lot;
  cultivar: Cultivar;
  /** Hours since it reached the dock; a claim can be sent for one more. */
  hours: number;
}

/** A shipment with one hour left for a claim: a warm box, a lot that is short and infested. */
async function arrive(api: APIRequestContext): Promise<Arrived> {
  const now = Date.parse((await get<Session>(api, 'session')).now);
  const ago = (hours: number): string => new Date(now - hours * hour).toISOString();
  const [site] = (await items<Site>(api, 'sites')).toSorted((a, b) => a.name.localeCompare(b.name));
  const [supplier] = await items<Supplier>(api, 'suppliers');
  const [cultivar] = await items<Cultivar>(api, 'cultivars');
  const organism = (await items<Organism>(api, 'organisms')).find(({ common_name }) => /whitefly/i.test(common_name));
  if (!site || !supplier || !cultivar || !organism) throw new Error('the demo has no site, supplier, cultivar or whitefly');
  const hours = (supplier.claim_hours ?? 24) - 1;
  const shipment = await put(api, 'shipments', {
    site_id: site.id,
    supplier_id: supplier.id,
    expected_on: ago(hours).slice(0, 10),
    left_at: ago(hours + 20),
    docked_at: ago(hours),
    opened_at: ago(hours - 0.5),
    papers: [{ kind: 'invoice', number: 'INV 7781' }],
    order_lines: [{ cultivar_id: cultivar.id, form: 'callused', ordered: 1000, invoiced: 1000 }],
    boxes: [
      { label: '1 of 2', temperature_c: 14.2, opened_at: ago(hours - 0.5) },
      { label: '2 of 2', temperature_c: 19.4, opened_at: ago(hours - 0.6) },
    ],
  });
  const lotId = await put(api, 'lots', { shipment_id: shipment, cultivar_id: cultivar.id, form: 'callused', plants: 1000, supplier_lot_code: 'KF-0915' });
  await put(api, 'movements', { lot_id: lotId, kind: 'receive', moved_at: ago(hours - 1), plants: 960 });
  const inspection = await put(api, 'inspections', {
    lot_id: lotId,
    kind: 'dock',
    inspected_at: ago(hours - 2),
    lens_power: 10,
    findings: [{ organism_id: organism.id, plants_looked_at: 57, infested_plants: 2 }],
    condition: { sound: 50, badly_damaged: 7 },
  });
  await put(api, 'verdicts', { inspection_id: inspection, decision: 'hold', because: 'warm box' });
  return { shipment, supplier, lot: await get<Lot>(api, `lots/${lotId}`), cultivar, hours };
}

/** A picture as a camera gives it. */
async function snapshot(page: Page): Promise<Buffer> {
  const bytes = await page.evaluate(async () => {
    const canvas = Object.assign(document.createElement('canvas'), { width: 1200, height: 900 });
    const context = canvas.getContext('2d');
    for (let x = 0; x < 1200; x += 20) {
      if (context) context.fillStyle = `hsl(${90 + (x % 60)} 45% ${35 + (x % 30)}%)`;
      context?.fillRect(x, 0, 20, 900);
    }
    const blob = await new Promise<Blob | null>((go) => canvas.toBlob(go, 'image/jpeg'));
    return [...new Uint8Array((await blob?.arrayBuffer()) ?? new ArrayBuffer())];
  });
  return Buffer.from(bytes);
}

async function takePhoto(page: Page, button: string): Promise<void> {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: button }).click()]);
  await chooser.setFiles({ name: 'photo.jpg', mimeType: 'image/jpeg', buffer: await snapshot(page) });
}

async function speak(page: Page, language: 'en' | 'es'): Promise<void> {
  if ((await page.locator('html').getAttribute('lang')) === language) return;
  await page.getByRole('button', { name: language === 'es' ? 'Español' : 'English' }).click();
  await page.locator(`html[lang=${language}]`).waitFor();
}

/** What is wrong with the page as it stands, on a phone and at a desk, in both languages. */
async function wrongWith(watched: Watched, name: string): Promise<string[]> {
  const { page } = watched;
  const wrong: string[] = [];
  for (const language of ['es', 'en'] as const) {
    await speak(page, language);
    for (const [size, viewport] of Object.entries(sizes)) {
      await page.setViewportSize(viewport);
      await settled(watched);
      wrong.push(...[...(await axeFindings(page)), ...(await overflow(page))].map((fault) => `${name}, ${size}, ${language}: ${fault}`));
      await picture(page, `claim-${name}-${size}-${language}`);
    }
  }
  return wrong;
}

/** How many sheets of paper it takes. */
async function sheets(page: Page, format: 'A4' | 'Letter'): Promise<number> {
  const folder = process.env.BENCHTRAIL_SCREENSHOTS;
  const pdf = await page.pdf({ format, preferCSSPageSize: false, ...(folder && { path: `${folder}/claim-${format}.pdf` }) });
  return [...(folder ? readFileSync(`${folder}/claim-${format}.pdf`) : pdf).toString('latin1').matchAll(/\/Type\s*\/Page\b(?!s)/g)].length;
}

const plain = (text: string): string => text.replace(/\s+/g, ' ');

test('a claim is written from the records of a shipment, printed on one page with its photo, and due until it is sent', async () => {
  const watched = await openPage(browser, sizes.desk);
  const { page, faults } = watched;
  onTestFailed(async () => {
    console.error(page.url(), faults);
    await picture(page, 'failed-claim');
  });
  await signIn(page, 'receiver');
  const api = page.request;
  const { shipment, supplier, lot, cultivar } = await arrive(api);

  // The clock runs: it is among those due, in the order in which they end.
  await page.goto('/dock');
  const due = page.locator('section', { has: page.getByRole('heading', { name: 'Claims due' }) });
  const row = due.locator(`a[href^="/dock/shipments/${shipment}/claim"]`);
  await row.waitFor();
  const ids = await due.locator(':scope > ul a').evaluateAll((links) => links.map((link) => link.getAttribute('href')?.split('/')[3] ?? ''));
  const ends = await Promise.all(ids.map(async (id) => Date.parse((await get<Shipment>(api, `shipments/${id}`)).claim_closes_at ?? '')));
  expect(ends.length).toBeGreaterThan(1);
  expect(ends).toEqual(ends.toSorted((a, b) => a - b));
  expect(plain(await row.innerText())).toMatch(new RegExp(`^${supplier.name} no claim written (1 h|5\\d min)( \\d+ min)? left, by .* Write a claim$`));

  await page.goto(`/dock/shipments/${shipment}`);
  await page.getByText('No claim is written for this shipment.').waitFor();
  await page.getByRole('link', { name: 'Write a claim' }).click();
  await page.getByText(/left: a claim must be sent by/).waitFor();
  await page.getByText('Nothing is claimed yet').waitFor();
  const wrong = await wrongWith(watched, 'form');

  // What the records show is taken over with a tap; the plants are the person's to say.
  const name = `${lot.code ?? ''} ${cultivar.name}`;
  await page.getByRole('button', { name: `Claim this: Short, ${name}` }).click();
  await page.getByRole('button', { name: 'Claim this: Too warm, The shipment as a whole' }).click();
  await page.getByRole('button', { name: `Claim this: Damaged, ${name}` }).click();
  const plants = page.getByLabel('Plants claimed');
  expect(await plants.first().inputValue()).toBe('40');
  await plants.last().fill('120');
  await page.getByLabel('To the supplier').fill('Box 2 stood in the sun.\nPlease credit 160 cuttings.');
  await page.getByRole('button', { name: 'Save the claim' }).click();

  const sheet = page.getByRole('article', { name: 'The page to send' });
  await sheet.waitFor();
  const claims = (): Promise<Claim[]> => items<Claim>(api, `claims?shipment_id=${shipment}`);
  await expect.poll(claims).toMatchObject([
    {
      text: 'Box 2 stood in the sun.\nPlease credit 160 cuttings.',
      items: [
        { what: 'short', lot_id: lot.id, plants: 40 },
        { what: 'too_warm', note: 'Box 2 of 2: 19.4 °C' },
        { what: 'damaged', lot_id: lot.id, plants: 120 },
      ],
    },
  ]);

  // A photo taken here is on the page once it is with the server, under its caption.
  await takePhoto(page, 'Photo of a box');
  await expect.poll(async () => (await items<Photo>(api, `photos?shipment_id=${shipment}`)).filter(({ picture: there }) => there).length).toBe(1);
  await page.getByLabel(/^Caption of /).fill('box 2, label and thermometer');
  await page.getByLabel(/^Caption of /).press('Enter');
  await expect.poll(async () => (await items<Photo>(api, `photos?shipment_id=${shipment}`))[0]?.note).toBe('box 2, label and thermometer');
  await page.keyboard.press('Tab');
  const photo = sheet.getByRole('img', { name: 'Photo 1: Box, box 2, label and thermometer' });
  await expect.poll(() => photo.evaluate((it) => (it as HTMLImageElement).naturalWidth)).toBe(1200);

  // The facts, each with its counts. Wilson (1927), worked out by hand: 2 of 57 is 3.5 %, from 0.97 to 11.92 %.
  const said = plain(await sheet.innerText());
  expect(said).toContain(`To ${supplier.name}`);
  expect(said).toContain('KF-0915');
  expect(said).toContain('2 of 2 boxes measured, 14.2 to 19.4 °C.');
  expect(said).toContain(`${cultivar.name} callused ${lot.code ?? ''} 1,000 1,000 1,000 960 −40 57`);
  expect(said).toMatch(/2 of 57 · 3\.5 % \(1\.0–11\.9\)/);
  expect(said).toContain('Condition (57 plants): sound 50 and badly damaged 7');
  expect(said).toMatch(/On hold · .* · warm box/);
  expect(said).toContain('Draft, not sent yet.');
  wrong.push(...(await wrongWith(watched, 'page')));

  // On paper it is this page and nothing else.
  expect([await sheets(page, 'A4'), await sheets(page, 'Letter')]).toEqual([1, 1]);
  await page.emulateMedia({ media: 'print' });
  await page.setViewportSize({ width: 703, height: 1030 });
  expect(await page.getByRole('button', { name: 'Print or save as PDF' }).isVisible()).toBe(false);
  expect(await page.getByText(/left: a claim must be sent by/).isVisible()).toBe(false);
  expect(await sheet.isVisible()).toBe(true);
  await picture(page, 'claim-print');
  await page.emulateMedia({ media: 'screen' });
  await page.setViewportSize(sizes.desk);

  // Due as a draft, until it is written down that it was sent.
  await page.goto('/dock');
  await expect.poll(async () => plain(await row.innerText())).toMatch(/draft, not sent .* left, by .* Open the draft$/);
  wrong.push(...(await wrongWith(watched, 'due')));
  await page.setViewportSize(sizes.desk);
  await row.click();
  await page.getByLabel(/^How and to whom/).fill('e-mail to the sales office');
  await page.getByRole('button', { name: 'It was sent' }).click();
  await page.getByText(/, in time: .* before the end/).waitFor();
  await expect.poll(claims).toMatchObject([{ in_time: true, sent_by: 'e-mail to the sales office', version: 2 }]);
  await page.goto('/dock');
  await page.getByText(/^Sent, no answer yet: /).waitFor();
  expect(await due.locator(':scope > ul').locator(`a[href^="/dock/shipments/${shipment}/claim"]`).count()).toBe(0);
  await page.goto(`/dock/shipments/${shipment}`);
  await page.getByText('sent, no answer yet').waitFor();
  expect((await get<Shipment>(api, `shipments/${shipment}`)).version).toBe(1);

  expect([...wrong, ...faults]).toEqual([]);
  await page.context().close();
});

test('a claim and a photo made with no network are on the page at once, and the sign-in says whose they are until they are sent', async () => {
  const watched = await openPage(browser, sizes.phone);
  const { page } = watched;
  onTestFailed(async () => {
    console.error(page.url());
    await picture(page, 'failed-claim-offline');
  });
  await signIn(page, 'receiver');
  const { shipment, lot, cultivar } = await arrive(page.request);
  const claims = (): Promise<Claim[]> => items<Claim>(page.request, `claims?shipment_id=${shipment}`);
  await page.goto(`/dock/shipments/${shipment}/claim`);
  const short = page.getByRole('button', { name: `Claim this: Short, ${lot.code ?? ''} ${cultivar.name}` });
  await short.waitFor();
  await settled(watched);

  await page.context().setOffline(true);
  await short.click();
  await page.getByRole('button', { name: 'Save the claim' }).click();
  const sheet = page.getByRole('article', { name: 'The page to send' });
  await sheet.waitFor();
  await page.getByText('So far only on this phone.').waitFor();
  await takePhoto(page, 'Photo of a box');
  await page.getByLabel(/^Caption of /).fill('lid');
  await page.getByLabel(/^Caption of /).press('Enter');
  const photo = sheet.getByRole('img', { name: 'Photo 1: Box, lid' });
  await expect.poll(() => photo.evaluate((it) => (it as HTMLImageElement).naturalWidth)).toBe(1200);
  await picture(page, 'claim-offline');

  // There is a network, but what waits does not get through before one signs out.
  await page.context().route(/\/api\/v1\/(outbox|photos\/)/, (route) => (route.request().method() === 'GET' ? route.continue() : route.abort()));
  await page.context().setOffline(false);
  const close = page.getByRole('button', { name: 'Close' }); // notices lie over the foot for a while
  while ((await close.count()) > 0) await close.first().click();
  await page.getByRole('button', { name: 'Sign out' }).click();
  const waits = page.getByText(/wait here/);
  await waits.waitFor();
  expect(plain(await waits.innerText())).toMatch(/^1 record and 1 photo of (.+) wait here; they are sent when \1 signs in\.$/);
  await speak(page, 'es');
  expect(plain(await page.getByText(/esperan aquí/).innerText())).toMatch(/^1 registro y 1 foto de (.+) esperan aquí; se envían cuando \1 inicie sesión\.$/);
  expect([...(await axeFindings(page)), ...(await overflow(page))]).toEqual([]);
  await picture(page, 'claim-sign-in-es');
  await speak(page, 'en');

  await page.context().unrouteAll();
  await signIn(page, 'receiver');
  await expect.poll(claims).toMatchObject([{ items: [{ what: 'short', plants: 40 }], version: 1 }]);
  await expect.poll(() => items<Photo>(page.request, `photos?shipment_id=${shipment}`)).toMatchObject([{ note: 'lid', picture: { width: 1200 } }]);
  await page.context().close();
});
