// Dragging the hairline and the ratio slide of the page in the system's Chromium: time from frame to frame. At 60 frames a second a frame is 16.7 ms;
// p95 should stay at or below 20 ms on a quiet machine.

import { CHROME, launch, openPage } from '../apps/web/e2e/browser.ts';
import type { FrameTimes } from '../apps/web/e2e/drag-frames.ts';
import { dragFrames } from '../apps/web/e2e/drag-frames.ts';
import { servedCopy } from '../apps/web/e2e/served.ts';

interface DragMeasure {
  readonly dragged: FrameTimes;
  /** The same page with the pointer moving beside it: what this machine's frames cost without us. */
  readonly idle: FrameTimes;
}

/** What is dragged, and on which page: all joints with two tasks laid under is the fullest rule; the ratio moves all of Drive. */
const DRAGS = {
  hairline: {
    hash: 'page=demand&task=walk-natural&joint=all&at=50&under=walk-fast,walk-slow',
    face: '.rule-face',
  },
  ratio: { hash: 'page=drive&task=walk-natural&joint=ankle&at=50', face: '.slide-face' },
} as const;

/** Undefined where there is no Chromium to measure in. */
async function measureDrag(what: keyof typeof DRAGS): Promise<DragMeasure | undefined> {
  const { hash, face } = DRAGS[what];
  if (CHROME === undefined) return undefined;
  const served = await servedCopy();
  const browser = await launch();
  try {
    const { page } = await openPage(browser, served.origin, { width: 1440, theme: 'day' });
    await page.goto(served.server.url);
    await page.locator('.rule').waitFor();
    await page.goto('about:blank');
    await page.goto(`${served.origin}/#${hash}`);
    // the workers have answered: nothing but the drag is at work
    await page.getByRole('link', { name: /^Evidence .*\d open/ }).waitFor({ timeout: 60_000 });
    const idle = await dragFrames(page, '.ask');
    await dragFrames(page, face); // compiled now
    const dragged = await dragFrames(page, face);
    return { dragged, idle };
  } finally {
    await browser.close();
    await served.end();
  }
}

/** One paragraph for the runner. */
async function dragTime(what: keyof typeof DRAGS, title: string): Promise<string> {
  const measured = await measureDrag(what);
  if (measured === undefined) return `${title}: not measured, no Chromium here (install it or set $CHROME).`;
  const line = ({ frames, median, p95 }: FrameTimes): string =>
    `p50 ${median.toFixed(1)} ms, p95 ${p95.toFixed(1)} ms over ${frames} frames`;
  return [
    title,
    `  dragged            ${line(measured.dragged)}   (asked: p95 ≤ 20 ms)`,
    `  pointer beside it  ${line(measured.idle)}`,
    `  ratio of p95       ${(measured.dragged.p95 / measured.idle.p95).toFixed(2)}`,
  ].join('\n');
}

export const hairlineTime = (): Promise<string> =>
  dragTime('hairline', 'Hairline, frame to frame while it is dragged over the fullest rule');

export const slideTime = (): Promise<string> =>
  dragTime('ratio', 'Ratio slide, frame to frame while it is dragged and all of Drive follows');
