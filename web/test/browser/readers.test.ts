import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFailed, test } from 'vitest';

import type { Lot, Session, Shipment, Site } from '../../src/contract.gen';
import { openPage, settled, signIn, sizes, startBrowser, type Watched } from './browser';
import { axeFindings, overflow, picture } from './inspect';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

const password = 'a class of the year';

async function opened(size: keyof typeof sizes): Promise<Watched> {
  const watched = await openPage(browser, sizes[size]);
  onTestFailed(async () => {
    console.error(watched.page.url(), watched.faults);
    await picture(watched.page, 'failed-readers');
  });
  return watched;
}

async function speak(page: Page, language: 'en' | 'es'): Promise<void> {
  if ((await page.locator('html').getAttribute('lang')) === language) return;
  await page.getByRole('button', { name: language === 'es' ? 'Español' : 'English' }).click();
  await page.locator(`html[lang=${language}]`).waitFor();
}

async function enter(page: Page, email: string): Promise<void> {
  await page.getByLabel('Email').fill(email);
  await page.getByLabel('Password').fill(password);
  await page.getByRole('button', { name: 'Sign in' }).click();
}

/** The day of the demo's clock, and some days after it. */
function dayAfter(session: Session, days: number): string {
  return new Date(Date.parse(session.now) + days * 86_400_000).toISOString().slice(0, 10);
}

async function list<T>({ page }: Watched, path: string): Promise<T[]> {
  const answer = await page.request.get(`/api/v1/${path}`);
  expect(answer.ok()).toBe(true);
  return ((await answer.json()) as { items: T[] }).items;
}

/** What would record something. */
const records = /^(It is here|Make|Record|Add|Correct|Withdraw|Save|Inspect|Paste|Enter|Write|New shipment|Make a token|Second look|Decide|Next:)/;

test('an owner gives a class an account that reads until a day, and takes it back early', async () => {
  const owner = await opened('desk');
  await signIn(owner.page, 'owner');
  await settled(owner);
  const session = (await (await owner.page.request.get('/api/v1/session')).json()) as Session;
  const site = (await list<Site>(owner, 'sites')).toSorted((a, b) => a.name.localeCompare(b.name))[0];
  if (!site) throw new Error('the demo has no site');
  const email = `class-${Date.now()}@people.test`;
  const name = `Class ${Date.now() % 100_000}`;

  // The form, by keyboard.
  await owner.page.goto('/setup/accounts');
  await settled(owner);
  await owner.page.getByRole('button', { name: 'Add an account' }).press('Enter');
  await owner.page.getByLabel('Name', { exact: true }).fill(name);
  await owner.page.getByLabel('Email').fill(email);
  await owner.page.getByLabel('Password').fill(password);
  await owner.page.getByLabel('Role', { exact: true }).selectOption('reader');
  await owner.page.getByLabel('Site', { exact: true }).last().selectOption({ label: site.name });
  await owner.page.getByLabel('Last day').fill(dayAfter(session, 30));
  expect([...(await axeFindings(owner.page)), ...(await overflow(owner.page))]).toEqual([]);
  await picture(owner.page, 'readers-form-1280-en');
  await owner.page.getByRole('button', { name: 'Save', exact: true }).press('Enter');
  const row = owner.page.getByText(`reader at ${site.name} · last day`).last();
  await row.waitFor();

  // The reader, on a phone.
  const reader = await opened('phone');
  await reader.page.goto('/sign-in');
  await enter(reader.page, email);
  await settled(reader);
  await expect.poll(() => reader.page.url()).toContain('/trends');
  const foot = reader.page.locator('.foot');
  expect(await foot.innerText()).toMatch(/until 14\sOct\s2026/);
  expect(await foot.innerText()).toContain('you see what is here and record nothing');
  const shipment = (await list<Shipment>(reader, `shipments?site_id=${site.id}`)).findLast((one) => one.docked_at);
  const lot = (await list<Lot>(reader, `lots?site_id=${site.id}&state=inspected`))[0];
  if (!shipment || !lot) throw new Error('the demo has no arrivals');
  for (const address of ['/trends', '/dock', `/dock/shipments/${shipment.id}`, `/dock/lots/${lot.id}`, '/walk', '/week', '/setup/stock', '/setup/tokens']) {
    await reader.page.goto(address);
    await settled(reader);
    const offered = await reader.page.locator('main :is(button, a.btn)').allInnerTexts();
    expect(offered.filter((text) => records.test(text.trim())), address).toEqual([]);
    expect([...(await axeFindings(reader.page)), ...(await overflow(reader.page))], address).toEqual([]);
  }
  await reader.page.goto(`/dock/lots/${lot.id}`);
  await settled(reader);
  await picture(reader.page, 'readers-lot-390-en');
  for (const language of ['es', 'en'] as const) {
    await reader.page.goto(`/dock/lots/${lot.id}/inspect`);
    await settled(reader);
    await speak(reader.page, language);
    await reader.page.getByRole('heading', { level: 1, name: language === 'es' ? 'Esta cuenta solo lee' : 'This account only reads' }).waitFor();
    await picture(reader.page, `readers-inspect-390-${language}`);
  }
  const refused = await reader.page.request.put(`/api/v1/customers/${crypto.randomUUID()}`, { data: { name: 'Mine' } });
  expect(refused.status()).toBe(403);
  expect(reader.faults).toEqual([]);

  // The last day is set to one that is over.
  await owner.page.getByRole('button', { name: `Correct ${name}` }).click();
  await owner.page.getByLabel('Last day').fill(dayAfter(session, -3));
  await owner.page.getByRole('button', { name: 'Save', exact: true }).click();
  await owner.page.getByText(`reader at ${site.name} · ended after`).last().waitFor();
  await picture(owner.page, 'readers-list-1280-en');
  await speak(owner.page, 'es');
  await picture(owner.page, 'readers-list-1280-es');
  expect(owner.faults).toEqual([]);

  await reader.page.goto('/trends');
  await reader.page.getByText('The last day of this account has passed').waitFor();
  await enter(reader.page, email);
  await expect.poll(() => reader.page.locator('.sign-in-failure').innerText()).toContain('The last day of this account has passed');
  expect(await axeFindings(reader.page)).toEqual([]);
  await picture(reader.page, 'readers-ended-390-en');
  await speak(reader.page, 'es');
  await expect.poll(() => reader.page.locator('.sign-in-failure').innerText()).toContain('El último día de esta cuenta ya pasó');
  await picture(reader.page, 'readers-ended-390-es');
});
