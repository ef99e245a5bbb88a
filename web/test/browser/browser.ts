import { setTimeout as wait } from 'node:timers/promises';

import { chromium, type Browser, type BrowserContext, type Page, type Request } from 'playwright-core';
import { inject } from 'vitest';

/** The three accounts of the demo. */
export const people = ['receiver', 'grower', 'owner'] as const;
export type Person = (typeof people)[number];

/** A phone and a desk. */
export const sizes = { phone: { width: 390, height: 844 }, desk: { width: 1280, height: 800 } };

/** How Chromium is started: it asks nobody on the network. `more` are switches of a test's own. */
export function launching(...more: string[]): { executablePath: string; args: string[] } {
  const asRoot = process.getuid?.() === 0;
  return {
    executablePath: process.env.BENCHTRAIL_CHROMIUM ?? '/usr/bin/chromium',
    args: [
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--disable-dev-shm-usage',
      ...(asRoot ? ['--no-sandbox'] : []), // Chromium's sandbox refuses root
      ...more,
    ],
  };
}

/** Starts Chromium with an empty profile. */
export async function startBrowser(...more: string[]): Promise<Browser> {
  return chromium.launch(launching(...more));
}

/** A page, and everything that went wrong on it so far. */
export interface Watched {
  page: Page;
  faults: string[];
  /** Requests that have no answer yet. */
  underWay: Set<Request>;
}

/** Opens a page of its own, not signed in, that notes errors on the console, exceptions and failed requests. */
export async function openPage(browser: Browser, size: { width: number; height: number }): Promise<Watched> {
  const context: BrowserContext = await browser.newContext({
    baseURL: inject('address'),
    viewport: size,
    hasTouch: size.width < 600,
    locale: 'en-GB',
    reducedMotion: 'reduce', // so that a picture never catches a movement half way
  });
  context.setDefaultTimeout(20_000);
  const page = await context.newPage();
  const faults: string[] = [];
  const underWay = new Set<Request>();
  page.on('request', (request) => underWay.add(request));
  page.on('requestfinished', (request) => underWay.delete(request));
  // Who is signed in? is asked once before anybody is: its 401 is an answer.
  const isFirstQuestion = (address: string): boolean => new URL(address, 'http://none').pathname === '/api/v1/session';
  page.on('console', (message) => {
    if (!['error', 'warning'].includes(message.type()) || isFirstQuestion(message.location().url)) return;
    faults.push(`console ${message.type()}: ${message.text()} ${message.location().url}`);
  });
  page.on('pageerror', (error) => faults.push(`exception: ${error.message}`));
  page.on('response', (response) => {
    if (response.status() >= 400 && !(response.status() === 401 && isFirstQuestion(response.url()))) {
      faults.push(`${response.status()} for ${response.request().method()} ${response.url()}`);
    }
  });
  page.on('requestfailed', (request) => {
    underWay.delete(request);
    const why = request.failure()?.errorText ?? '';
    if (why !== 'net::ERR_ABORTED') faults.push(`${why} for ${request.method()} ${request.url()}`); // aborted: the page no longer wants the answer
  });
  return { page, faults, underWay };
}

/** Signs in through the form. */
export async function signIn(page: Page, person: Person): Promise<void> {
  await page.goto('/sign-in');
  await page.getByLabel('Email').fill(`${person}@demo.example`);
  await page.getByLabel('Password').fill('cuttings-demo');
  await page.getByRole('button', { name: 'Sign in' }).click();
  await page.getByRole('navigation').first().waitFor();
}

/** Waits until everything asked for has come and is shown. */
export async function settled({ page, underWay }: Watched): Promise<void> {
  await page.locator('h1').first().waitFor();
  for (let quiet = 0; quiet < 2; ) {
    await page.waitForFunction(() => document.querySelector('[aria-busy="true"], .busy') === null);
    quiet = underWay.size === 0 ? quiet + 1 : 0; // an answer may lead to the next question
    await wait(40);
  }
}
