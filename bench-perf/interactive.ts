// From the address to a page that answers a key, in the system's Chromium: at most 1 s on a quiet machine. Each round is a browser
// context that knows nothing yet, so scripts are compiled anew.

import type { Browser } from 'playwright-core';
import { CHROME, launch, openPage } from '../apps/web/e2e/browser.ts';
import { interactiveTime } from '../apps/web/e2e/interactive.ts';
import { type ServedCopy, servedCopy } from '../apps/web/e2e/served.ts';
import { inTurnAsync, timingText } from './rounds.ts';

const AT = 'task=walk-natural&joint=ankle&at=50';

/** The same, for a page that is one small file: what browser and server take without us. */
async function smallFile(browser: Browser, { server, origin }: ServedCopy): Promise<void> {
  const { page } = await openPage(browser, origin, { width: 1440, theme: 'day' });
  await page.request.get(server.url, { maxRedirects: 0 });
  await page.goto(`${origin}/index.html`, { waitUntil: 'commit' });
  await page.context().close();
}

/** One paragraph for the runner. */
export async function interactive(): Promise<string> {
  if (CHROME === undefined) return 'Interactive: not measured, no Chromium here (install it or set $CHROME).';
  const served = await servedCopy();
  const browser = await launch();
  try {
    const times: Record<'demand' | 'drive', number[]> = { demand: [], drive: [] };
    const walls = await inTurnAsync(
      {
        demand: async () => times.demand.push(await interactiveTime(browser, served, `page=demand&${AT}`)),
        drive: async () => times.drive.push(await interactiveTime(browser, served, `page=drive&${AT}`)),
        small: () => smallFile(browser, served),
      },
      { rounds: 9, warmUp: 1 },
    );
    const line = (name: 'demand' | 'drive'): string => {
      const sorted = times[name].slice(1).toSorted((a, b) => a - b);
      const at = (share: number) => (sorted[Math.floor(share * sorted.length)] ?? Number.NaN).toFixed(0);
      return `  ${name.padEnd(8)} p50 ${at(0.5)} ms, ${at(0)} … ${at(0.9)} ms   (asked: ≤ 1000 ms)`;
    };
    return [
      'From the address until the page answers a key, in a browser that opens it for the first time',
      line('demand'),
      line('drive'),
      `  the same with opening and closing the browser's window: ${timingText(walls.demand)}`,
      `  a page without scripts, opened and closed:              ${timingText(walls.small)}`,
      `  ratio                                                   ${(walls.demand.median / walls.small.median).toFixed(1)}`,
    ].join('\n');
  } finally {
    await browser.close();
    await served.end();
  }
}
