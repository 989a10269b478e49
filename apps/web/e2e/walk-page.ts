import {
  openScenario,
  openWalkReport,
  type StudyInput,
  type WalkChoice,
  type WalkRecord,
  type WalkReport,
} from '@striderule/engine';
import type { Browser, Page } from 'playwright-core';
import { frameFor } from '../rule/frame.ts';
import { type Look, openAt, type WatchedPage, WIDE } from './browser.ts';
import type { ServedCopy } from './served.ts';

/** ms: a machine that does other work too walks slowly. */
export const SLOW = { timeout: 60_000 };

export function walked(input: StudyInput, choice: WalkChoice): { report: WalkReport; record: WalkRecord } {
  const walk = openWalkReport(input, choice, { step: 2.5e-4, strides: 20 });
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < 20 && walk.stride(); k++);
  return { report: walk.report(), record: walk.record() };
}

export function walkedScenario(input: StudyInput, name: string, step = 2.5e-4): WalkReport {
  const scenario = input.scenarios!.find(({ id }) => id === name)!;
  const walk = openScenario(input, scenario, step);
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < scenario.strides && walk.stride(); k++);
  return walk.report();
}

export async function openWalk(
  browser: Browser,
  served: ServedCopy,
  hash: string,
  look: Look = WIDE,
): Promise<WatchedPage> {
  const watched = await openAt(browser, served, `page=walk&${hash}`, look);
  await watched.page.locator('.walk').waitFor(SLOW);
  return watched;
}

export const picture = (page: Page) => page.locator('.walk-face').waitFor(SLOW);
export const verdict = (page: Page, text: RegExp) =>
  page.locator('.walk-told [role=status]', { hasText: text }).waitFor(SLOW);
/** A walk that is shown again without being walked. */
export const walkedBefore = async (page: Page, text: RegExp): Promise<void> => {
  await page.locator('.walk-why', { hasText: 'As walked before' }).waitFor(SLOW);
  await verdict(page, text);
};
export const ticks = (page: Page) => page.getByRole('slider', { name: 'Tick of the controller' });
export const cell = (page: Page, key: string) => page.locator(`.walk [data-cell="${key}"]`).textContent();

export const bracketed = (page: Page) =>
  page.waitForFunction(
    () =>
      [...document.querySelectorAll('.bracket td')].filter((td) => /\d/.test(td.textContent ?? '')).length ===
      10,
    undefined,
    SLOW,
  );

/** px down the page at which the picture's controls end, and the rule's second scale. */
export async function places(page: Page): Promise<{ acts: number; scales: number }> {
  const box = async (where: string) => (await page.locator(where).boundingBox())!;
  const [acts, rule] = [await box('.walk-acts'), await box('.walk-rule .rule-face')];
  const { top, band } = frameFor(rule.width, [], true);
  return { acts: acts.y + acts.height, scales: rule.y + top + 2 * band };
}

/** Sum of what moved on the page by itself since it was loaded. */
export const shifted = (page: Page): Promise<number> =>
  page.evaluate(
    () =>
      new Promise<number>((tell) => {
        let sum = 0;
        new PerformanceObserver((list) => {
          for (const entry of list.getEntries() as unknown as { value: number; hadRecentInput: boolean }[])
            if (!entry.hadRecentInput) sum += entry.value;
        }).observe({ type: 'layout-shift', buffered: true });
        // what was observed before is told in the next task
        setTimeout(() => tell(sum), 100);
      }),
  );

/** Moves the hairline to a share of the axis by the keys. */
export async function hairlineTo(page: Page, percent: number): Promise<void> {
  await page.locator('.hairline').focus();
  await page.keyboard.press('Home');
  for (let k = 10; k <= percent; k += 10) await page.keyboard.press('Shift+ArrowRight');
  for (let k = 0; k < percent % 10; k++) await page.keyboard.press('ArrowRight');
}
