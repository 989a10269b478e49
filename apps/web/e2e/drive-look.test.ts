// The drive page as it is looked at: both widths, both themes, and the drawings that it saves.
import { readFile } from 'node:fs/promises';
import type { Browser, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import {
  axe,
  CHROME,
  LOOKS,
  type Look,
  openAt,
  slowTest,
  type WatchedPage,
  WIDE,
  WITHOUT,
} from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';

describe.skipIf(CHROME === undefined)(`look of the drive page${WITHOUT}`, () => {
  let served: ServedCopy;
  let browser: Browser;
  servedPages((made) => {
    ({ served, browser } = made);
  });
  const opened = async (hash: string, look: Look = WIDE): Promise<WatchedPage> => {
    const watched = await openAt(browser, served, `page=drive&${hash}`, look);
    await watched.page.locator('.slide').waitFor();
    return watched;
  };
  const typed = (page: Page) => page.getByRole('textbox', { name: /^Ratio/ });

  slowTest('SVG files of slide, rule, plane and day are whole', async () => {
    const { page } = await opened('task=walk-natural&joint=ankle&at=50');
    await typed(page).fill('18');
    await typed(page).press('Enter');
    for (const [where, name] of [
      ['.slide', 'Save the slide as SVG'],
      ['.rule', 'Save as SVG'],
      ['.cols .plane', 'Save the plane as SVG'],
      ['.heat', 'Save the day as SVG'],
      ['.scan', 'Save the scan as SVG'],
      ['main', 'Save the energy as SVG'],
      ['main', 'Save the loss as SVG'],
      ['main', 'Save the tolerances as SVG'],
    ] as const) {
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        page.locator(where).getByRole('button', { name }).click(),
      ]);
      const text = await readFile(await file.path(), 'utf8');
      expect(text).not.toMatch(/var\(|https?:\/\/(?!www\.w3\.org\/2000\/svg)|NaN|undefined/);
      expect(
        await page.evaluate(
          (svg) =>
            new DOMParser().parseFromString(svg, 'image/svg+xml').querySelector('parsererror')?.textContent,
          text,
        ),
      ).toBeUndefined();
    }
  });

  test.each(LOOKS)(
    'axe finds nothing, nothing scrolls sideways: $width px by $theme',
    async (look) => {
      const { page, wrong } = await opened('task=walk-fast&joint=knee&at=50', look);
      await typed(page).fill('17');
      await typed(page).press('Enter');
      await page.getByRole('button', { name: 'Save …' }).click();
      await page.locator('.diff').waitFor();
      for (const name of [
        'Show the day as a table',
        'Show its marks as a table',
        'Show the scan as a table',
        'Show the energy as a table',
      ])
        await page.getByRole('button', { name }).click();
      await page.locator('.drawing-legs').scrollIntoViewIfNeeded();
      await page.getByText('200 legs and people drawn.').waitFor({ timeout: 120_000 });
      await page.locator('[aria-label^="Power lost"]').first().scrollIntoViewIfNeeded();
      await page.getByText('No single resistance serves both').waitFor();
      await page.evaluate(() => document.fonts.ready);
      expect(await axe(page)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(look.width);
      expect(await page.locator('body').textContent()).not.toMatch(/NaN|undefined|Infinity/);
      await page.getByRole('button', { name: 'Not now' }).click();
      const hide = page.getByRole('button', { name: /^Hide .*table/ });
      for (let left = await hide.count(); left > 0; left--) await hide.first().click();
      await page.screenshot({
        path: `screenshots/drive-${look.width}-${look.theme}-whole.png`,
        fullPage: true,
      });
      expect(wrong).toEqual([]);
    },
    180_000,
  );
});
