import { expect, test, vi } from 'vitest';
import { keyTarget, makeHairline, sampleAt } from './hairline.ts';

test('moves in half per cents, stays on the stride, tells its followers once a frame', () => {
  let frame = () => {};
  vi.stubGlobal('requestAnimationFrame', (run: () => void) => {
    frame = run;
  });
  const hairline = makeHairline(40);
  const seen: number[] = [];
  const stop = hairline.follow((p) => seen.push(p));
  hairline.moveTo(41.3);
  hairline.moveTo(41.8);
  frame();
  hairline.moveTo(140);
  frame();
  hairline.moveTo(Number.NaN);
  stop();
  expect(seen).toEqual([40, 42, 100]);
  expect(hairline.at()).toBe(100);
  vi.unstubAllGlobals();
});

test('keys: one, ten with shift or page, ends', () => {
  const from = (key: string, shift = false) => keyTarget(key, shift, 54);
  expect([from('ArrowLeft'), from('ArrowRight'), from('ArrowRight', true)]).toEqual([53, 55, 64]);
  expect([from('PageUp'), from('PageDown'), from('Home'), from('End')]).toEqual([64, 44, 0, 100]);
  expect(from('a')).toBeUndefined();
  expect(keyTarget('ArrowRight', false, 54.5)).toBe(55);
  expect(sampleAt(54.5)).toBe(109);
});
