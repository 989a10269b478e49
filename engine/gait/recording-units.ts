import { rangeOf } from './cut-off.ts';
import { type Channel, columnName, UNIT_FACTORS } from './recording-channels.ts';
import type { Finding } from './recording-check.ts';

/**
 * Ranges, greatest minus least over one stride, that a curve of human locomotion from slow walking to running has.
 * COMMON PRACTICE, kept wide: they tell units apart, not people. rad, N·m/kg, W/kg, body weights.
 */
const PLAUSIBLE = {
  angle: [0.04, 3.5],
  moment: [0.1, 8],
  power: [0.15, 40],
  force: [0.05, 6],
} as const;

/** Stride times of people on foot, s: from sprinting to very slow walking. COMMON PRACTICE. */
export const STRIDE_TIME = [0.35, 4] as const;

const SI_UNIT = { angle: 'rad', moment: 'N·m/kg', power: 'W/kg', force: 'body weights' } as const;

/** Body mass, kg, by which another unit is tried where the recipe has none. Our choice; it only serves the hint. */
const MASS_FOR_HINT = 75;

const digits = (x: number) => Number(x.toPrecision(3));

/** Does the curve span what its declared unit would make plausible? Where not, which unit would. */
export function unitFinding(channel: Channel, mean: Float64Array, bodyMass: number | undefined): Finding {
  const { name, kind, column, unit, factor } = channel;
  const [least, most] = PLAUSIBLE[kind];
  const range = rangeOf(mean);
  const base = { id: `unit ${name}`, figure: range, unit: SI_UNIT[kind], path: name };
  const spans = `${columnName(column)} read in ${unit} spans ${digits(range)} ${SI_UNIT[kind]} over the stride`;
  if (range >= least && range <= most) return { ...base, verdict: 'holds', what: spans };
  const raw = range / Math.abs(factor);
  const likely = Object.entries(UNIT_FACTORS[kind])
    .filter(([other]) => other !== unit)
    .map(([other, toSi]) => ({ other, value: raw * toSi(bodyMass ?? MASS_FOR_HINT) }))
    .filter(({ value }) => value >= least && value <= most);
  const say = likely.map(({ other, value }) => `${other} (then ${digits(value)} ${SI_UNIT[kind]})`);
  return {
    ...base,
    verdict: 'fault',
    what: `${spans}, where people show ${least} to ${most}`,
    mend:
      likely.length === 0
        ? 'Check the column and its unit'
        : `It looks like ${say.join(' or ')}: correct \`unit:\` in the recipe`,
  };
}
