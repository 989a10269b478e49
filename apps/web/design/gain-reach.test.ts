import { expect, test } from 'vitest';
import { gainKey, onGainScales, withinGainScales } from './gain-reach.ts';

test('gains stand on the scales to three figures, inside their ends', () => {
  expect(onGainScales({ stiffness: 270.59999, damping: 3.936 })).toEqual({ stiffness: 271, damping: 3.94 });
  expect(onGainScales({ stiffness: 1e6, damping: 0 })).toEqual({ stiffness: 3000, damping: 0.01 });
  expect(withinGainScales({ stiffness: 3000, damping: 100 })).toBe(true);
  for (const damping of [0, -1, Number.NaN, 101])
    expect(withinGainScales({ stiffness: 100, damping })).toBe(false);
});

test('a key and its opposite lead back; Shift goes ten steps; every key moves a value that is rounded', () => {
  const at = { stiffness: 271, damping: 3.94 };
  for (const what of ['stiffness', 'damping'] as const) {
    const moved = gainKey(what, 'ArrowRight', false, at)!;
    expect(onGainScales(moved)).not.toEqual(at);
    const again = gainKey(what, 'ArrowDown', false, moved)!;
    expect(again.stiffness).toBeCloseTo(271, 9);
    expect(again.damping).toBeCloseTo(3.94, 9);
  }
  let slow = at;
  for (let k = 0; k < 10; k++) slow = gainKey('stiffness', 'ArrowRight', false, slow)!;
  expect(gainKey('stiffness', 'ArrowRight', true, at)!.stiffness).toBeCloseTo(slow.stiffness, 9);
  // rounding is coarsest at the beginning of a decade, 1 in 100
  for (const stiffness of [10, 100.5, 101, 999]) {
    const on = onGainScales({ stiffness, damping: 1 });
    expect(onGainScales(gainKey('stiffness', 'ArrowRight', false, on)!).stiffness).toBeGreaterThan(
      on.stiffness,
    );
  }
  expect(gainKey('damping', 'End', false, at)).toEqual({ stiffness: 271, damping: 100 });
  expect(gainKey('stiffness', 'a', false, at)).toBeUndefined();
});
