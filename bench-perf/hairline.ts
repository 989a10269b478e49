// Dragging the hairline of the page in the system's Chromium: time from frame to frame. At 60 frames a second a frame is 16.7 ms;
// p95 should stay at or below 20 ms on a quiet machine.

import { CHROME, launch, openPage } from '../apps/web/e2e/browser.ts';
import type { FrameTimes } from '../apps/web/e2e/drag-frames.ts';
import { dragFrames } from '../apps/web/e2e/drag-frames.ts';
import { servedCopy } from '../apps/web/e2e/served.ts';

export interface HairlineMeasure {
  /** All joints with two tasks laid under: the fullest rule. */
  readonly dragged: FrameTimes;
  /** The same page with the pointer moving beside the rule: what this machine's frames cost without us. */
  readonly idle: FrameTimes;
}

/** Undefined where there is no Chromium to measure in. */
export async function measureHairline(): Promise<HairlineMeasure | undefined> {
  if (CHROME === undefined) return undefined;
  const served = await servedCopy();
  const browser = await launch();
  try {
    const { page } = await openPage(browser, served.origin, { width: 1440, theme: 'day' });
    await page.goto(served.server.url);
    await page.locator('.rule').waitFor();
    await page.goto(`${served.origin}/#task=walk-natural&joint=all&at=50&under=walk-fast,walk-slow`);
    await page.reload();
    await page.locator('.rule').waitFor();
    await page.waitForTimeout(500);
    const idle = await dragFrames(page, '.ask');
    const dragged = await dragFrames(page, '.rule-face');
    return { dragged, idle };
  } finally {
    await browser.close();
    await served.end();
  }
}

/** One paragraph for the runner. */
export async function hairlineTime(): Promise<string> {
  const measured = await measureHairline();
  if (measured === undefined) return 'Hairline: not measured, no Chromium here (install it or set $CHROME).';
  const line = ({ frames, median, p95 }: FrameTimes): string =>
    `p50 ${median.toFixed(1)} ms, p95 ${p95.toFixed(1)} ms over ${frames} frames`;
  return [
    'Hairline, frame to frame while it is dragged over the fullest rule',
    `  dragged            ${line(measured.dragged)}   (asked: p95 ≤ 20 ms)`,
    `  pointer beside it  ${line(measured.idle)}`,
    `  ratio of p95       ${(measured.dragged.p95 / measured.idle.p95).toFixed(2)}`,
  ].join('\n');
}
