import { mkdirSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';

import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** The rules of WCAG 2.2, levels A and AA, that a program can check. */
const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

/** What axe finds on the page as it stands, a line for each finding. */
export async function axeFindings(page: Page): Promise<string[]> {
  if (!(await page.evaluate(() => 'axe' in globalThis))) await page.evaluate(axe);
  const found: AxeResults = await page.evaluate(`axe.run({ runOnly: ${JSON.stringify(rules)}, resultTypes: ['violations'] })`);
  return found.violations.map(({ id, help, nodes }) => `axe ${id}: ${help}: ${nodes.slice(0, 3).map(({ html }) => html.slice(0, 160)).join(' | ')}`);
}

/** Says if the page is wider than the window, and what sticks out. */
export async function overflow(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const { scrollWidth, clientWidth } = document.documentElement;
    if (scrollWidth <= clientWidth) return [];
    const widest = [...document.querySelectorAll('main *')]
      .filter((element) => element.getBoundingClientRect().right > clientWidth + 1)
      .slice(0, 3)
      .map((element) => element.outerHTML.slice(0, 120));
    return [`${scrollWidth - clientWidth} px wider than the window: ${widest.join(' | ')}`];
  });
}

/** Saves a picture of the page, or of the window alone, in the folder that BENCHTRAIL_SCREENSHOTS names, if it does. */
export async function picture(page: Page, name: string, of: 'page' | 'window' = 'page'): Promise<void> {
  const folder = process.env.BENCHTRAIL_SCREENSHOTS;
  if (!folder) return;
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${name}.png`), fullPage: of === 'page' });
}
