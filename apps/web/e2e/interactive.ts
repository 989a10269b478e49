import type { Browser } from 'playwright-core';
import { openPage } from './browser.ts';
import type { ServedCopy } from './served.ts';

// As text: what a compiler adds to functions is not known in the page.
/** Presses an arrow key on the first slider as soon as there is one, and notes when it has answered. */
const PRESS = `{
  let before;
  const look = () => {
    const slider = document.querySelector('[role=slider]');
    const now = slider?.getAttribute('aria-valuenow');
    if (now != null && before === undefined) {
      before = now;
      slider.focus();
      slider.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true, cancelable: true }));
    }
    if (before !== undefined && now !== before) window.answeredAt = performance.now();
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}`;

/** ms from the address until the page's slider (hairline or ratio) has answered a key, in a browser that knows the page from nowhere. */
export async function interactiveTime(
  browser: Browser,
  { server, origin }: Pick<ServedCopy, 'server' | 'origin'>,
  hash: string,
): Promise<number> {
  const { page } = await openPage(browser, origin, { width: 1440, theme: 'day' });
  try {
    // the token is exchanged for its cookie first, on an address without a page behind it
    await page.request.get(server.url, { maxRedirects: 0 });
    await page.addInitScript(PRESS);
    await page.goto(`${origin}/#${hash}`);
    await page.waitForFunction(() => 'answeredAt' in window);
    return await page.evaluate(() => (window as unknown as { answeredAt: number }).answeredAt);
  } finally {
    await page.context().close();
  }
}
