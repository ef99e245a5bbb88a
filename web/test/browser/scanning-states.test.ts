import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, inject, test } from 'vitest';

import type { LotList, SiteList } from '../../src/contract.gen';
import { blockAddress, labelAddress } from '../../src/labels/address';
import { uuid7 } from '../../src/local/uuid7';
import { scan as english } from '../../src/words/en/scan';
import { scan as spanish } from '../../src/words/es/scan';
import { signIn, sizes, startBrowser } from './browser';
import { cameraSeeing } from './camera-feed';
import { axeFindings, overflow, picture } from './inspect';

let browser: Browser;
let remove: () => void;

beforeAll(async () => {
  const camera = cameraSeeing([]); // a bench without a label
  remove = camera.remove;
  browser = await startBrowser(...camera.switches);
});

afterAll(async () => {
  await browser.close();
  remove();
});

/** How the camera behaves: as the browser's own, with a light, without an answer, or with a fault of this name. */
type Behaviour = 'own' | 'light' | 'silent' | 'insecure' | 'NotAllowedError' | 'NotFoundError' | 'NotReadableError';

/** Puts a camera before the browser's own that behaves as the test says, from one opening to the next. */
function actAs(): void {
  const { mediaDevices } = navigator;
  const open = mediaDevices.getUserMedia.bind(mediaDevices);
  const acting: { as: Behaviour } = { as: 'own' };
  Object.assign(globalThis, { acting });
  Object.defineProperty(globalThis, 'isSecureContext', { get: () => acting.as !== 'insecure' });
  mediaDevices.getUserMedia = async (wish) => {
    if (acting.as === 'silent') return new Promise(() => undefined);
    if (acting.as.endsWith('Error')) throw new DOMException('', acting.as);
    const stream = await open(wish);
    const [track] = stream.getVideoTracks();
    if (track && acting.as === 'light') {
      track.getCapabilities = () => Object.assign({ deviceId: '' }, { torch: true });
      track.applyConstraints = () => Promise.resolve();
    }
    return stream;
  };
}

const widths = { narrow: { width: 320, height: 640 }, ...sizes };

async function opened(language: 'en' | 'es', size: { width: number; height: number }): Promise<Page> {
  const context: BrowserContext = await browser.newContext({ baseURL: inject('address'), viewport: size, locale: 'en-GB', reducedMotion: 'reduce' });
  context.setDefaultTimeout(20_000);
  await context.addInitScript(actAs);
  const page = await context.newPage();
  await signIn(page, 'owner');
  await page.evaluate((key) => localStorage.setItem('benchtrail.language', key), language);
  await page.goto('/walk');
  await page.locator('.walk-top').waitFor();
  return page;
}

/** A lot of the first site that stands in no block, and one of another site. */
async function lotsOf(page: Page): Promise<{ unplaced: string; elsewhere: string; other: string }> {
  const ask = async <T>(path: string): Promise<T> => (await (await page.request.get(`/api/v1/${path}`)).json()) as T;
  const [here, there] = (await ask<SiteList>('sites')).items.toSorted((a, b) => a.name.localeCompare(b.name));
  if (!here || !there) throw new Error('the demo has no two sites');
  const { items } = await ask<LotList>(`lots?site_id=${here.id}&limit=200`);
  const unplaced = items.find(({ state }) => state === 'received');
  const [elsewhere] = (await ask<LotList>(`lots?site_id=${there.id}&limit=1`)).items;
  if (!unplaced || !elsewhere) throw new Error('the demo has no lot that waits for its place, or none at the other site');
  const address = ({ id, code }: typeof unplaced): string => labelAddress(inject('address'), { id, code: code ?? '' });
  return { unplaced: address(unplaced), elsewhere: address(elsewhere), other: there.name };
}

const languages = { en: english, es: spanish };

for (const language of ['en', 'es'] as const) {
  for (const [name, size] of Object.entries(widths)) {
    test(`every state is said, ${language}, ${size.width} px, with nothing for axe to find`, async () => {
      const page = await opened(language, size);
      const said = languages[language];
      const lots = await lotsOf(page);
      const dialog = page.getByRole('dialog', { name: said.title });
      const open = async (as: Behaviour): Promise<void> => {
        await page.evaluate((behaviour) => Object.assign((globalThis as { acting?: object }).acting ?? {}, { as: behaviour }), as);
        await page.getByRole('button', { name: said.title }).click();
        await dialog.waitFor();
      };
      const holds = async (state: string, text: string): Promise<void> => {
        await dialog.getByText(text, { exact: false }).waitFor();
        await picture(page, `scan-${state}-${language}-${name}`, 'window');
        expect([...(await axeFindings(page)), ...(await overflow(page))], state).toEqual([]);
        const wide = await dialog.evaluate(({ scrollWidth, clientWidth }) => scrollWidth - clientWidth);
        expect(wide, `${state}: the dialog is wider than its window`).toBeLessThanOrEqual(0);
      };
      const close = async (): Promise<void> => {
        await page.keyboard.press('Escape');
        await dialog.waitFor({ state: 'detached' });
      };

      for (const [as, text] of [
        ['silent', said.asking],
        ['NotAllowedError', said.trouble.refused.title],
        ['NotFoundError', said.trouble.none.title],
        ['NotReadableError', said.trouble.busy.title],
        ['insecure', said.trouble.insecure.title],
      ] as const) {
        await open(as);
        await holds(as, text);
        await close();
      }

      await open('light');
      await holds('looking', said.looking);
      const light = dialog.getByRole('button', { name: said.light });
      await light.click();
      await expect.poll(() => light.getAttribute('aria-pressed')).toBe('true');
      const type = async (text: string): Promise<void> => {
        await dialog.getByLabel(said.typed).fill(text);
        await dialog.getByRole('button', { name: said.typedGo, exact: true }).click();
      };
      await type('https://elsewhere.example/menu');
      await holds('foreign', said.foreign('https://elsewhere.example/menu'));
      await type(`${inject('address')}/01/04006381333932/10/A-1`);
      await holds('misread', said.misread);
      await type(blockAddress(inject('address'), uuid7()));
      await holds('unknown', said.nowhere.block);
      await type(`${inject('address')}/01/04006381333931/10/no-such-lot`);
      await holds('unknown-item', said.allSeasons);
      await type(lots.unplaced);
      await holds('nowhere', said.openLot);
      await type(lots.elsewhere);
      await holds('elsewhere', said.toSite(lots.other));
      await close();

      await page.context().setOffline(true);
      await open('own');
      await type(blockAddress(inject('address'), uuid7()));
      await dialog.getByText(said.notHeld.block('').slice(0, 20)).waitFor();
      await picture(page, `scan-offline-${language}-${name}`, 'window');
      await close();
      await page.context().close();
    });
  }
}
