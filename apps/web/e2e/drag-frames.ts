import type { Page } from 'playwright-core';

/** ms between frames while something is dragged. */
export interface FrameTimes {
  readonly frames: number;
  readonly median: number;
  readonly p95: number;
}

// As text: what a compiler adds to functions is not known in the page.
const RECORD = `{
  const times = [];
  window.frameTimes = times;
  let last = performance.now();
  requestAnimationFrame(function note(now) {
    times.push(now - last);
    last = now;
    if (window.frameTimes === times) requestAnimationFrame(note);
  });
}`;

/** Drags over the part `where` and back for about two seconds and notes every frame. */
export async function dragFrames(
  page: Page,
  where: '.rule-face' | '.slide-face' | '.ask',
): Promise<FrameTimes> {
  const face = page.locator(where);
  await face.scrollIntoViewIfNeeded();
  const box = await face.boundingBox();
  if (box === null) throw new Error(`${where} is not on the page`);
  const [left, right] = [box.x + 0.18 * box.width, box.x + 0.88 * box.width];
  const y = box.y + Math.min(120, box.height / 2);
  await page.mouse.move(left, y);
  await page.mouse.down();
  await page.evaluate(RECORD);
  for (let k = 0; k < 240; k++) {
    const share = (1 - Math.cos((2 * Math.PI * k) / 120)) / 2;
    await page.mouse.move(left + share * (right - left), y);
  }
  const times = await page.evaluate(() =>
    (window as unknown as { frameTimes: number[] }).frameTimes.slice(2),
  );
  await page.mouse.up();
  const sorted = times.toSorted((a, b) => a - b);
  const at = (share: number) =>
    sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
  return { frames: times.length, median: at(0.5), p95: at(0.95) };
}
