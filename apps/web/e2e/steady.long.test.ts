// Nothing moves out of its place while a page comes: from the start of the document until every number of its ledger stands.
import type { Browser } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { PAGES } from '../place.ts';
import { CHROME, openPage, WIDE, WITHOUT } from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';

/** Notes whatever moves without having been asked to; as text: what a compiler adds to functions is not known in the page. */
const WATCH = `{
  const moved = (window.moved = []);
  const name = (node) =>
    node === null ? 'something' : (node.nodeName + ' ' + (node.className ?? '') + ' ' + node.textContent.slice(0, 30)).trim();
  new PerformanceObserver((list) => {
    for (const { hadRecentInput, value, sources } of list.getEntries())
      if (!hadRecentInput) moved.push(value.toFixed(5) + ': ' + sources.map(({ node }) => name(node)).join('; '));
  }).observe({ type: 'layout-shift', buffered: true });
}`;

describe.skipIf(CHROME === undefined)(`steady pages${WITHOUT}`, () => {
  let served: ServedCopy;
  let browser: Browser;
  servedPages((made) => {
    ({ served, browser } = made);
  });

  test.each([390, 600, 760, 800, 900, 1024, 1440, 2560])(
    'no page moves while its numbers come, and none scrolls sideways: %i px',
    async (width) => {
      for (const name of PAGES) {
        const { page, wrong } = await openPage(browser, served.origin, WIDE);
        await page.setViewportSize({ width, height: 900 });
        await page.addInitScript(WATCH);
        await page.request.get(served.server.url, { maxRedirects: 0 });
        await page.goto(`${served.origin}/#page=${name}&task=walk-natural&joint=ankle&at=50`);
        await page.locator('main h1').waitFor();
        // values, then intervals; walks on Evidence
        await page.getByRole('link', { name: /^Evidence (?!.*to come)/ }).waitFor({ timeout: 120_000 });
        if (name === 'evidence')
          await page.getByRole('link', { name: /^Evidence (?!.*to walk)/ }).waitFor({ timeout: 300_000 });
        const moved = await page.evaluate(() => (window as unknown as { moved: string[] }).moved);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        expect({ name, moved, over: Math.max(0, wide - width) }).toEqual({ name, moved: [], over: 0 });
        expect(wrong).toEqual([]);
        await page.context().close();
      }
    },
    600_000,
  );
});
