import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { keyTarget, makeHairline } from '../hairline.ts';
import { makePlayhead, tickHairline } from './playhead.ts';

// one frame later, without a browser
let frames: (() => void)[] = [];
const frame = () => {
  const now = frames;
  frames = [];
  for (const each of now) each();
};
beforeEach(() => vi.stubGlobal('requestAnimationFrame', (call: () => void) => frames.push(call)));
afterEach(() => vi.unstubAllGlobals());

test('a tick is finer than the hairline, which follows without taking it back', () => {
  const hairline = makeHairline(50);
  const head = makePlayhead(hairline, 1217, 1217);
  expect(head.tick()).toBe(609); // 608.5 to the nearest
  for (const tick of [610, 611, 612, 613]) {
    head.moveTo(tick);
    frame();
    expect(head.tick()).toBe(tick);
  }
  expect(hairline.at()).toBe(50.5); // 613/1217 is 50.37 %
});

test('the hairline takes the tick along, not beyond what there is', () => {
  const hairline = makeHairline(0);
  const head = makePlayhead(hairline, 1200, 700);
  const seen: number[] = [];
  head.follow((tick) => seen.push(tick));
  hairline.moveTo(25);
  frame();
  hairline.moveTo(90); // the leg fell before
  frame();
  head.end();
  hairline.moveTo(10);
  frame();
  expect(seen).toEqual([0, 300, 700]);
});

test('the hairline of a rule stands at the tick, and keys take it through every per cent', () => {
  const ticks = 1217;
  const head = makePlayhead(makeHairline(0), ticks, ticks);
  const fine = tickHairline(head, ticks);
  head.moveTo(611);
  expect(fine.at()).toBe((100 * 611) / ticks);
  // what is read there is read at that tick
  expect(Math.round((fine.at() * ticks) / 100)).toBe(611);
  fine.moveTo(0);
  for (let percent = 1; percent <= 100; percent++) {
    fine.moveTo(keyTarget('ArrowRight', false, fine.at())!);
    expect([fine.at(), head.tick()]).toEqual([percent, Math.round((percent * ticks) / 100)]);
  }
});
