import type { Gains } from '@striderule/engine';

/**
 * Stiffness, N·m/rad, and damping, N·m·s/rad, that slide and map reach: our choice, from less than a knee in swing to more than any gears
 * of a leg hold, and from less than a joint damps by itself to more than sampled software bears.
 */
export const STIFFNESS_REACH = { low: 3, high: 3000 } as const;
export const DAMPING_REACH = { low: 0.01, high: 100 } as const;

const within = ({ low, high }: { readonly low: number; readonly high: number }, value: number): boolean =>
  value >= low && value <= high;

export const withinGainScales = ({ stiffness, damping }: Gains): boolean =>
  within(STIFFNESS_REACH, stiffness) && within(DAMPING_REACH, damping);

const place = ({ low, high }: { readonly low: number; readonly high: number }, value: number): number =>
  Number(Math.min(high, Math.max(low, value)).toPrecision(3));

/** The nearest place of the scales, to three figures: as fine as they can be read. */
export const onGainScales = ({ stiffness, damping }: Gains): Gains => ({
  stiffness: place(STIFFNESS_REACH, stiffness),
  damping: place(DAMPING_REACH, damping),
});

const SCALES = {
  stiffness: { reach: STIFFNESS_REACH, step: 1.01 },
  damping: { reach: DAMPING_REACH, step: 1.02 },
} as const;

/**
 * Where a key takes one of the gains: arrows by a hundredth of the stiffness, a fiftieth of the damping, with Shift or a page key ten steps;
 * Home and End the ends. Undefined where the key is none of ours.
 */
export function gainKey(what: keyof Gains, key: string, shift: boolean, gains: Gains): Gains | undefined {
  const { reach, step } = SCALES[what];
  const times = (steps: number): Gains => ({ ...gains, [what]: gains[what] * step ** steps });
  switch (key) {
    case 'ArrowLeft':
    case 'ArrowDown':
      return times(shift ? -10 : -1);
    case 'ArrowRight':
    case 'ArrowUp':
      return times(shift ? 10 : 1);
    case 'PageDown':
      return times(-10);
    case 'PageUp':
      return times(10);
    case 'Home':
      return { ...gains, [what]: reach.low };
    case 'End':
      return { ...gains, [what]: reach.high };
    default:
      return undefined;
  }
}
