import type { Page } from 'playwright-core';

/**
 * From the next page on notes what the live regions of a page say, as a screen reader would
 * read it: what comes into a region that was there before, and alerts also as they come.
 */
export async function listen(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const heard: string[] = [];
    Object.assign(globalThis, { heard });
    const texts = new Map<Element, string>();
    const spoken = (node: Node): string => {
      if (node instanceof Text) return node.data;
      if (!(node instanceof HTMLElement) || node.hidden || node.ariaHidden === 'true') return '';
      return [...node.childNodes].map(spoken).join('');
    };
    const hear = (): void => {
      for (const region of document.querySelectorAll('[role=status], [role=alert], [aria-live]')) {
        const text = spoken(region).replace(/\s+/g, ' ').trim();
        const before = texts.get(region) ?? (region.role === 'alert' ? '' : text);
        texts.set(region, text);
        if (text !== '' && text !== before) heard.push(text);
      }
    };
    addEventListener('DOMContentLoaded', () => {
      new MutationObserver(hear).observe(document.body, { childList: true, subtree: true, characterData: true });
    });
  });
}

/** What was said since it was asked last. */
export async function heardSince(page: Page): Promise<string[]> {
  return await page.evaluate(() => (Reflect.get(globalThis, 'heard') as string[]).splice(0));
}

/** What has the focus, as it is called: its role or tag, and its name. */
export async function focused(page: Page): Promise<string> {
  const cdp = await page.context().newCDPSession(page);
  const { result } = await cdp.send('Runtime.evaluate', { expression: 'document.activeElement' });
  const { nodes } = await cdp.send('Accessibility.getPartialAXTree', { objectId: result.objectId ?? '', fetchRelatives: false });
  await cdp.detach();
  return `${String(nodes[0]?.role?.value)} ${String(nodes[0]?.name?.value ?? '')}`.trim().replaceAll('\u00a0', ' ');
}
