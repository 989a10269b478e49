import {
  type AskedImpedance,
  type DrivenJoint,
  type RatioBurden,
  RENDERED_SWING,
  renderedImpedance,
  renderedInertia,
} from '@striderule/engine';
import type { Fields } from './log-fields.ts';

/** Hz that are shown: from slow motion to a fifth of the sample rate, beyond which the formula does not hold. */
const LOW = 0.2;
const POINTS = 121;
const topOf = (of: AskedImpedance): number => Math.min(200, 0.2 / of.joint.period);

const spaced = (low: number, high: number, n: number): number[] =>
  Array.from({ length: n }, (_, k) => low * (high / low) ** (k / (n - 1)));

/** Share by which rendered stiffness may be off, as `stiffnessBandwidth` counts it. */
const OFF = 0.1;

/** Stiffness, damping and inertia over frequency, as asked and as they come. */
export function renderedFields(of: AskedImpedance, joint: DrivenJoint): Fields {
  const { requested, software, joint: sampled } = of;
  const at = spaced(LOW, topOf(of), POINTS);
  const [moved, slick] = [RENDERED_SWING, Number.POSITIVE_INFINITY].map((amplitude) =>
    at.map((f) => renderedImpedance(sampled, software, f, amplitude)),
  ) as [ReturnType<typeof renderedImpedance>[], ReturnType<typeof renderedImpedance>[]];
  const { stiffness: K, damping: B } = requested;
  const band = [K * (1 - OFF), K * (1 + OFF)] as const;
  const upTo = of.stiffnessBandwidth;
  const J = sampled.rotorInertia + sampled.outputInertia;
  return {
    ...{ at, low: LOW, high: topOf(of), along: 'frequency, Hz' },
    fields: [
      {
        ...{
          name: 'Stiffness',
          unit: 'N·m/rad; band: ±10 % of asked',
          low: -0.6 * K,
          high: 2.4 * K,
          band,
        },
        curves: [
          {
            label: 'rendered',
            look: `curve ${joint}`,
            ink: `in-${joint}`,
            values: moved.map((r) => r.stiffness),
          },
        ],
        lines: [{ value: K, label: 'asked' }],
      },
      {
        ...{ name: 'Damping', unit: 'N·m·s/rad', low: -1.5 * B, high: 4.5 * B },
        curves: [
          {
            ...{ label: 'no dry friction', look: `second ${joint} dash-human`, ink: `in-${joint}` },
            values: slick.map((r) => r.damping),
          },
          {
            label: 'rendered',
            look: `curve ${joint}`,
            ink: `in-${joint}`,
            values: moved.map((r) => r.damping),
          },
        ],
        lines: [{ value: B, label: 'asked' }],
      },
      {
        ...{ name: 'Inertia', unit: 'kg·m²; without friction and mesh loss', low: -0.6 * J, high: 1.2 * J },
        curves: [
          {
            label: 'rendered',
            look: `curve ${joint}`,
            ink: `in-${joint}`,
            values: at.map((f) => renderedInertia(sampled, of, f)),
          },
        ],
        lines: [
          { value: 0, label: 'asked' },
          { value: J, label: 'the joint’s own' },
        ],
      },
    ],
    places:
      upTo > LOW && Number.isFinite(upTo)
        ? [{ value: upTo, label: `stiffness within ±10 % to ${Number(upTo.toPrecision(3))} Hz` }]
        : [],
  };
}

/** Ratios at which the burden is drawn: as many as the slide of the ratio reaches, evenly apart on its scale. */
export const BURDEN_RATIOS: readonly number[] = spaced(4, 120, 41).map((ratio) =>
  Number(ratio.toPrecision(3)),
);
/** Bands of the burden: our proposal, as the chapter says. */
const SERVES = 0.1;
const TUNED = 0.3;

/** What re-tuning mends and what it does not, against the ratio. */
export function burdenFields(burden: readonly RatioBurden[], joint: DrivenJoint, ratio: number): Fields {
  const of = (what: 'mismatch' | 'mendable' | 'lasting') => burden.map(({ burden: b }) => b[what]);
  const held = burden.filter(({ burden: b }) => b.limited > 0).map((each) => each.ratio);
  const lacks = held.length === 0 ? Number.NaN : Math.max(...held);
  return {
    at: burden.map((each) => each.ratio),
    ...{ low: 4, high: 120, along: 'ratio, motor : joint' },
    fields: [
      {
        ...{ name: 'Missing torque', unit: 'rms missing ÷ rms asked, over stance', low: 0, high: 1 },
        curves: [
          { label: 'all', look: `curve ${joint}`, ink: `in-${joint}`, values: of('mismatch') },
          {
            ...{ label: 'other gains mend', look: `second ${joint} dash-human`, ink: `in-${joint}` },
            values: of('mendable'),
          },
          { label: 'none mend', look: `second ${joint} dash-d`, ink: `in-${joint}`, values: of('lasting') },
        ],
        lines: [
          { value: SERVES, label: 'human gains serve' },
          { value: TUNED, label: 'tuned by phase' },
        ],
      },
    ],
    places: [
      { value: ratio, label: `this leg ${Number(ratio.toPrecision(4))} : 1` },
      ...(Number.isNaN(lacks) || lacks >= ratio ? [] : [{ value: lacks, label: 'lacks torque' }]),
    ],
  };
}
