// The walk page as it is looked at: both widths, both themes.
import type { Browser } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { axe, CHROME, LOOKS, WITHOUT } from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';
import { bracketed, openWalk, picture, places } from './walk-page.ts';

describe.skipIf(CHROME === undefined)(`look of the walk page${WITHOUT}`, { timeout: 300_000 }, () => {
  let served: ServedCopy;
  let browser: Browser;

  servedPages((made) => {
    ({ served, browser } = made);
  });

  test.each(LOOKS)('axe finds nothing, nothing scrolls sideways: $width px by $theme', async (look) => {
    const { page, wrong } = await openWalk(browser, served, 'speed=1.1&at=52', look);
    await picture(page);
    await bracketed(page);
    const { acts } = await places(page);
    expect(acts).toBeLessThan(look.width === 390 ? 844 : 900);
    await page.getByRole('button', { name: 'Show these curves as a table' }).click();
    await page.evaluate(() => document.fonts.ready);
    expect(await axe(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(look.width);
    expect(await page.locator('body').textContent()).not.toMatch(/NaN|undefined|Infinity/);
    await page.getByRole('button', { name: 'Hide the table of these curves' }).click();
    await page.evaluate(() => scrollTo(0, 0));
    await page.screenshot({ path: `screenshots/walk-${look.width}-${look.theme}.png` });
    await page.screenshot({ path: `screenshots/walk-${look.width}-${look.theme}-whole.png`, fullPage: true });
    expect(wrong).toEqual([]);
  });
});
