// The evidence page as it is looked at, with a requirement being changed: both widths, both themes.
import type { Browser, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { axe, CHROME, LOOKS, openAt, WITHOUT } from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';

const ID = 'ankle-speed';

describe.skipIf(CHROME === undefined)(`look of the evidence page${WITHOUT}`, () => {
  let served: ServedCopy;
  let browser: Browser;
  servedPages((made) => {
    ({ served, browser } = made);
  });
  const bound = (page: Page) =>
    page.locator(`[data-requirement="${ID}"]`).getByRole('textbox', { name: /at least/ });

  test.each(LOOKS)(
    'axe finds nothing, nothing scrolls sideways: $width px by $theme',
    async (look) => {
      const { page, wrong } = await openAt(browser, served, `page=evidence&row=${ID}`, look);
      await page.locator('.ledger[data-whole]').waitFor({ timeout: 60_000 });
      await bound(page).fill('1.6');
      await bound(page).press('Enter');
      await page.getByRole('button', { name: 'Save …' }).click();
      await page.locator('.save .diff').waitFor();
      await page.evaluate(() => document.fonts.ready);
      expect(await axe(page)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(look.width);
      await page.screenshot({ path: `screenshots/requirement-${look.width}-${look.theme}.png` });
      expect(wrong).toEqual([]);
    },
    120_000,
  );
});
