import { gzipSync } from 'node:zlib';

import type { Browser, BrowserContext, CDPSession, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';

import { signIn, sizes, startBrowser } from './browser';
import { startFront } from './front';

let browser: Browser;

beforeAll(async () => {
  browser = await startBrowser();
});

afterAll(() => browser.close());

const newContext = (baseURL: string): Promise<BrowserContext> =>
  browser.newContext({ baseURL, viewport: sizes.phone, hasTouch: true, locale: 'en-GB', reducedMotion: 'reduce' });

/** A phone of the cheaper kind on a poor network: 400 kB/s, 100 ms, a quarter of this machine's speed. */
async function slowDown(page: Page): Promise<CDPSession> {
  const session = await page.context().newCDPSession(page);
  await session.send('Network.enable');
  await session.send('Network.emulateNetworkConditions', { offline: false, latency: 100, downloadThroughput: 400 * 1024, uploadThroughput: 100 * 1024 });
  await session.send('Emulation.setCPUThrottlingRate', { rate: 4 });
  return session;
}

async function packedSize(address: string): Promise<number> {
  const content = await (await fetch(address)).arrayBuffer();
  return gzipSync(content, { level: 9 }).length;
}

const say = (what: string, value: string): void => console.log(`${what}: ${value}`);

test('what Walk needs is at most 120 kB of JavaScript, packed, and the first load on a slow phone takes as long as it says here', async () => {
  const front = await startFront();
  const context = await newContext(front.address);
  context.setDefaultTimeout(60_000);
  const page = await context.newPage();
  const scripts = new Set<string>();
  page.on('response', (response) => {
    const { pathname } = new URL(response.url());
    if (pathname.startsWith('/assets/') && pathname.endsWith('.js')) scripts.add(pathname);
  });
  const session = await slowDown(page);

  const began = Date.now();
  await page.goto('/walk');
  await page.getByLabel('Email').fill('g');
  say('cold, slow phone: the sign-in page of Walk can be used after', `${Date.now() - began} ms`);

  await page.getByLabel('Email').fill('grower@demo.example');
  await page.getByLabel('Password').fill('cuttings-demo');
  const signed = Date.now();
  await page.getByRole('button', { name: 'Sign in' }).tap();
  await page.locator('.walk-stop').first().waitFor();
  say('signed in, slow phone: the round is on the phone and shown after', `${Date.now() - signed} ms`);
  await session.send('Emulation.setCPUThrottlingRate', { rate: 1 });
  const packed = await Promise.all([...scripts].map((path) => packedSize(front.address + path)));
  const kilobytes = packed.reduce((sum, size) => sum + size, 0) / 1000;
  say('JavaScript for Walk, packed', `${kilobytes.toFixed(1)} kB in ${packed.length} files`);
  expect([...scripts]).toEqual(expect.arrayContaining([expect.stringContaining('/index-'), expect.stringContaining('/walk-'), expect.stringContaining('/core-')]));
  expect(kilobytes).toBeLessThanOrEqual(120);
  await context.close();
  await front.cut();
});

test('the start of Walk from the worker and the daybook, with no network, takes as long as it says here', async () => {
  const front = await startFront();
  const context = await newContext(front.address);
  context.setDefaultTimeout(60_000);
  const page = await context.newPage();
  await signIn(page, 'grower');
  await page.goto('/walk');
  await page.locator('.walk-stop').first().waitFor();
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await front.cut();
  await context.setOffline(true);
  const took: number[] = [];
  for (let i = 0; i < 5; i++) {
    const fresh = await context.newPage();
    const session = await context.newCDPSession(fresh);
    await session.send('Emulation.setCPUThrottlingRate', { rate: 4 });
    const began = Date.now();
    await fresh.goto('/walk', { waitUntil: 'commit' });
    await fresh.locator('.walk-stop').first().waitFor();
    took.push(Date.now() - began);
    await fresh.close();
  }
  say('warm, slow phone, no network: the blocks of the round are shown after', `${took.sort((a, b) => a - b).join(', ')} ms`);
  expect(took).toHaveLength(5);
  await context.close();
});
