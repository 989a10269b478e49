import { expect, test, vi } from 'vitest';
import { whileSeen } from './while-seen.ts';

test('shows the first at once, nothing while out of sight, the last that was missed on coming back', () => {
  let see = (_: readonly { readonly isIntersecting: boolean }[]) => {};
  let watching = true;
  class Observer {
    constructor(callback: typeof see) {
      see = callback;
    }
    observe() {}
    disconnect() {
      watching = false;
    }
  }
  vi.stubGlobal('IntersectionObserver', Observer);
  let tell = (_: number) => {};
  let following = true;
  const shown: number[] = [];
  const stop = whileSeen(
    {} as Element,
    (show: (value: number) => void) => {
      tell = show;
      show(1);
      return () => {
        following = false;
      };
    },
    (value) => shown.push(value),
  );
  expect(shown).toEqual([1]);
  tell(2);
  tell(3);
  expect(shown).toEqual([1]);
  // gone and back within one call: only where it is now counts
  see([{ isIntersecting: true }, { isIntersecting: false }]);
  expect(shown).toEqual([1]);
  see([{ isIntersecting: true }]);
  see([{ isIntersecting: true }]);
  tell(4);
  see([{ isIntersecting: false }]);
  tell(5);
  expect(shown).toEqual([1, 3, 4]);
  stop();
  expect([watching, following]).toEqual([false, false]);
  vi.unstubAllGlobals();
});
