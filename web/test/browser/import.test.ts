import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFailed, test } from 'vitest';

import type { Look } from '../../src/contract.gen';
import { openPage, settled, signIn, sizes, startBrowser, type Person, type Watched } from './browser';
import { axeFindings, overflow, picture } from './inspect';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

async function opened(person: Person, size: keyof typeof sizes = 'desk'): Promise<Watched> {
  const watched = await openPage(browser, sizes[size]);
  onTestFailed(async () => {
    console.error(watched.page.url(), watched.faults);
    await picture(watched.page, `failed-import-${person}`);
  });
  await signIn(watched.page, person);
  await settled(watched);
  await watched.page.goto('/setup/import');
  await watched.page.getByRole('heading', { level: 1 }).waitFor();
  await settled(watched);
  return watched;
}

/** Two blocks of the demo by the names of their houses and of themselves. */
async function blocks(page: Page): Promise<{ house: string; name: string }[]> {
  const read = async (path: string): Promise<{ items: { id: string; name: string; house_id?: string; site_id?: string }[] }> => {
    const answer = await page.request.get(`/api/v1/${path}`);
    return (await answer.json()) as { items: { id: string; name: string; house_id?: string }[] };
  };
  const site = await page.evaluate(() => localStorage.getItem('benchtrail.site'));
  const houses = (await read('houses?limit=200')).items;
  const sites = (await read('sites')).items.toSorted((a, b) => a.name.localeCompare(b.name));
  const mine = houses.filter(({ site_id }) => site_id === (site ?? sites[0]?.id));
  const all = (await read('blocks?limit=200')).items;
  return all
    .flatMap(({ name, house_id }) => {
      const house = mine.find(({ id }) => id === house_id);
      return house ? [{ house: house.name, name }] : [];
    })
    .slice(0, 2);
}

async function choose(page: Page, name: string, text: string): Promise<void> {
  await page.locator('input[type=file]').setInputFiles({ name, mimeType: 'text/csv', buffer: Buffer.from(text, 'latin1') });
}

test('a grower maps a file, reads which lines are wrong, mends it, stores it and undoes it', async () => {
  const watched = await opened('grower');
  const { page, faults } = watched;
  const [first, second] = await blocks(page);
  if (!first || !second) throw new Error('the demo has too few blocks');
  const who = `Iñigo ${Date.now()}`; // a demo that stays has the files of earlier runs
  const name = `mesas ${Date.now()}.csv`;
  const mine = page.locator('.import-past li', { hasText: name });
  // As an older spreadsheet in Spanish writes it: semicolons, Windows-1252, the day first.
  const heading = 'Fecha;Invernadero;Mesa;Revisadas hoy;Infestadas;Quién\r\n';
  const line = (day: number, at: { house: string; name: string }, looked: number, found: number | string): string =>
    `${day}/8/2025;${at.house};${at.name};${looked};${found};${who}\r\n`;
  await choose(page, name, heading + line(20, first, 60, 12) + line(27, second, 40, '20 %') + line(28, second, 40, 41));
  await page.getByText('The file cannot be read as looks yet.').waitFor();

  // The guess lacks what the heading does not say; a person says it.
  await page.getByLabel('Revisadas hoy holds').selectOption('plants_looked_at');
  await page.getByLabel('Quién holds').selectOption('observer');
  await page.getByLabel('organism', { exact: false }).first().selectOption({ label: 'greenhouse whitefly (Trialeurodes vaporariorum)' });
  await page.getByText(/2\slines of 3 are wrong/).waitFor();
  const table = page.locator('section', { has: page.getByRole('heading', { name: 'What is wrong' }) }).locator('tbody tr');
  await expect.poll(() => table.count()).toBe(2);
  expect((await table.nth(0).innerText()).replace(/\s+/g, ' ')).toMatch(/^Line 3 Infestadas 20 % A percentage without its two counts/);
  expect((await table.nth(1).innerText()).replace(/\s+/g, ' ')).toMatch(/^Line 4 Infestadas 41 More plants are infested/);
  expect(await page.getByRole('button', { name: /^Store/ }).count()).toBe(0);
  expect(await axeFindings(page)).toEqual([]);
  await picture(page, 'import-faults-1280-en');

  await choose(page, name, heading + line(20, first, 60, 12) + line(27, second, 40, 8) + line(28, second, 40, 4));
  await page.getByLabel('Revisadas hoy holds').selectOption('plants_looked_at');
  await page.getByLabel('Quién holds').selectOption('observer');
  await page.getByLabel('organism', { exact: false }).first().selectOption({ label: 'greenhouse whitefly (Trialeurodes vaporariorum)' });
  await page.getByText('All 3 lines are right: 3 looks can be stored.').waitFor();
  await picture(page, 'import-good-1280-en');
  await page.getByRole('button', { name: 'Store 3 looks' }).focus();
  await page.keyboard.press('Enter');
  await mine.getByText('3 looks from 3 lines').waitFor();

  const imports = (await (await page.request.get('/api/v1/imports')).json()) as { items: { id: string }[] };
  const looks = async (): Promise<Look[]> => {
    const answers = await Promise.all(['2025-W34', '2025-W35'].map((week) => page.request.get(`/api/v1/looks?week=${week}&limit=200`)));
    const lists = (await Promise.all(answers.map((answer) => answer.json()))) as { items: Look[] }[];
    return lists.flatMap(({ items }) => items).filter(({ import_id }) => imports.items.some(({ id }) => id === import_id));
  };
  expect((await looks()).map(({ observer, withdrawn_because }) => [observer?.name, withdrawn_because ?? '']).filter(([name]) => name === who)).toEqual(Array(3).fill([who, '']));

  expect(await (await page.request.get('/api/v1/looks/csv?week=2025-W34')).text()).toContain(who);

  // The same file again is told.
  await choose(page, `again ${name}`, heading + line(20, first, 60, 12) + line(27, second, 40, 8) + line(28, second, 40, 4));
  await page.getByLabel('Revisadas hoy holds').selectOption('plants_looked_at');
  await page.getByLabel('organism', { exact: false }).first().selectOption({ label: 'greenhouse whitefly (Trialeurodes vaporariorum)' });
  await page.getByText(`The same file is here already: ${name}`).waitFor();
  expect(await page.getByRole('button', { name: 'Store 3 looks' }).isDisabled()).toBe(true);

  await page.getByRole('button', { name: `Undo this import: ${name}` }).click();
  await page.getByLabel('Why').fill('It was the wrong house');
  await page.keyboard.press('Enter');
  await mine.getByText(/Undone by .*: It was the wrong house/).waitFor();
  expect((await looks()).filter(({ observer }) => observer?.name === who).every(({ withdrawn_because }) => withdrawn_because === 'It was the wrong house')).toBe(true);
  // What was withdrawn is in no export.
  expect(await (await page.request.get('/api/v1/looks/csv?week=2025-W34')).text()).not.toContain(who);
  expect(faults).toEqual([]);
  await page.context().close();
});

test('the page reads well on a phone in Spanish, with a pasted table and names to be made', async () => {
  const watched = await opened('owner', 'phone');
  const { page, faults } = watched;
  if ((await page.locator('html').getAttribute('lang')) !== 'es') await page.getByRole('button', { name: 'Español' }).click();
  await page.locator('html[lang=es]').waitFor();
  await page.getByText('O pegar la tabla').click();
  await page
    .getByLabel('La tabla, con sus encabezados')
    .fill('fecha\tinvernadero\tmesa\tplaga\tplantas revisadas\tinfestadas\n2024-08-20\tNave vieja\tA\tTRIAVA\t60\t12\n');
  await page.getByRole('button', { name: 'Leer' }).click();
  await page.getByText(/1\slínea de 1 está mal/).waitFor();
  expect(await axeFindings(page)).toEqual([]);
  expect(await overflow(page)).toEqual([]);
  await picture(page, 'import-names-390-es');
  await page.getByLabel('Crear los invernaderos que faltan').check();
  await page.getByLabel('Crear los bloques que faltan').check();
  await page.getByText(/La línea está bien: se puede guardar\s1\srevisión.*1\sinvernadero y 1\sbloque/).waitFor();
  await page.setViewportSize({ width: 320, height: 700 });
  expect(await overflow(page)).toEqual([]);
  await picture(page, 'import-good-320-es');
  expect(faults).toEqual([]);
  await page.context().close();
});
