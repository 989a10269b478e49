import type { FaultData } from '../quantity/fault.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';
import type { Channel, Recipe, StrideAverage } from './recording.ts';

/** A figure of the recording that was looked at, and whether it is sound. */
export interface RecordingCheck {
  readonly what: string;
  readonly figure: string;
}

/** Larger joint angles than a person walks, climbs or runs with, and smaller ranges than any stride has, rad. COMMON PRACTICE. */
const LARGEST_ANGLE = 3;
const SMALLEST_RANGE = 0.05;
/** N·m/kg: above the largest joint moments of sprinting. COMMON PRACTICE. */
const LARGEST_MOMENT = 8;
const SMALLEST_ANKLE_MOMENT = 0.1;
/** Share of power that moment × velocity may miss, as slope. COMMON PRACTICE. */
const POWER_SLOPE = 0.25;
const RAD_PER_DEG = Math.PI / 180;

const extent = (y: Float64Array) => ({ low: Math.min(...y), high: Math.max(...y) });
const between = (y: Float64Array, from: number, to: number) => y.subarray(from * 2, to * 2 + 1);
const meanOf = (y: Float64Array) => y.reduce((s, x) => s + x, 0) / y.length;

/** Slope of y on x through the origin, and their correlation. */
function through(x: Float64Array, y: Float64Array): { slope: number; r: number } {
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (let i = 0; i < x.length; i++) {
    xx += x[i] * x[i];
    yy += y[i] * y[i];
    xy += x[i] * y[i];
  }
  return { slope: xy / xx, r: xy / Math.sqrt(xx * yy) };
}

/** What a power that is not moment × velocity looks like. */
function powerSignature(slope: number): string {
  if (slope < 0 && Math.abs(slope + 1) < POWER_SLOPE) return 'the sign of angle, moment or power is turned';
  if (Math.abs(Math.abs(slope) * RAD_PER_DEG - 1) < POWER_SLOPE)
    return 'an angle given as degrees is in radians';
  if (Math.abs(Math.abs(slope) / RAD_PER_DEG - 1) < POWER_SLOPE)
    return 'an angle given as radians is in degrees';
  if (Math.abs(slope) > 30) return 'power is not per kilogram, or moment is divided by mass twice';
  if (Math.abs(slope) < 1 / 30) return 'moment is not per kilogram, or power is divided by mass twice';
  return 'the stride time is wrong, or the columns belong to different strides';
}

/**
 * Checks an averaged recording: unit, sign, closing, power. Thresholds are COMMON PRACTICE and wide: they catch a wrong mapping,
 * not an unusual walker. `velocity` gives the joint velocity after smoothing, rad/s, for the power identity.
 */
export function recordingFaults(
  average: StrideAverage,
  recipe: Recipe,
  where: string,
  velocity: (channel: Channel) => Float64Array,
): { faults: FaultData[]; checks: RecordingCheck[] } {
  const faults: FaultData[] = [];
  const checks: RecordingCheck[] = [];
  const column = (channel: Channel) => recipe.channels.find((c) => c.channel === channel)?.column ?? channel;
  const fault = (code: string, channel: Channel, what: string, mend: string) =>
    faults.push({
      code: `gait.${code}`,
      what: `column \`${column(channel)}\` (${channel}): ${what}`,
      mend,
      place: { file: where },
    });
  const curve = (channel: Channel): Float64Array | undefined => {
    const at = average.channels.indexOf(channel);
    return at < 0 ? undefined : average.mean[at];
  };

  for (const channel of average.channels) {
    const y = curve(channel) as Float64Array;
    const { low, high } = extent(y);
    const range = high - low;
    const isAngle = channel === 'thigh' || channel.endsWith('.angle');
    if (range === 0)
      fault('flat', channel, 'every value is the same', 'Name the column that holds the curve');
    else if (isAngle && Math.max(-low, high) > LARGEST_ANGLE)
      fault(
        'unit',
        channel,
        `reaches ${Math.max(-low, high).toFixed(1)} rad, more than any joint`,
        'It looks like degrees read as radians: set `unit: deg`',
      );
    else if (isAngle && range < SMALLEST_RANGE)
      fault(
        'unit',
        channel,
        `moves over ${range.toFixed(4)} rad only`,
        'It looks like radians read as degrees: set `unit: rad`',
      );
    else if (channel.endsWith('.moment') && Math.max(-low, high) > LARGEST_MOMENT)
      fault(
        'unit',
        channel,
        `reaches ${Math.max(-low, high).toFixed(0)} N·m/kg`,
        'It looks like N·m: set `unit: N*m` and give `bodyMass:`',
      );
    else {
      const gap = Math.abs(y[STRIDE_SAMPLES - 1] - y[0]) / range;
      checks.push({ what: `${channel} closes`, figure: `${(100 * gap).toFixed(1)} % of range` });
      if (gap > recipe.largestGap) {
        fault(
          'not-periodic',
          channel,
          `ends ${(100 * gap).toFixed(0)} % of its range from where it began`,
          `Cut the strides at initial contact, or allow it with \`largestGap: ${Math.ceil(100 * gap)} %\` where the movement does not repeat`,
        );
      }
    }
  }
  if (faults.length > 0) return { faults, checks };

  const ankle = curve('ankle.moment');
  if (ankle !== undefined) {
    const push = meanOf(between(ankle, 35, 55));
    checks.push({
      what: 'ankle moment late in stance',
      figure: `${(-push).toFixed(2)} N·m/kg plantarflexor`,
    });
    if (push > SMALLEST_ANKLE_MOMENT)
      fault(
        'sign',
        'ankle.moment',
        'dorsiflexor late in stance, where a foot pushes off',
        'Turn its sign: change `positive:` in the recipe',
      );
    else if (Math.abs(push) < SMALLEST_ANKLE_MOMENT)
      fault(
        'unit',
        'ankle.moment',
        `only ${Math.abs(push).toFixed(3)} N·m/kg late in stance`,
        'Check its unit, and that 0 % is initial contact',
      );
  }
  const knee = curve('knee.angle');
  if (knee !== undefined) {
    const swing = meanOf(between(knee, 65, 80));
    const stance = meanOf(between(knee, 30, 45));
    checks.push({
      what: 'knee flexes in swing',
      figure: `${((swing - stance) / RAD_PER_DEG).toFixed(0)}° more than in mid stance`,
    });
    if (swing < stance)
      fault(
        'sign',
        'knee.angle',
        'extends in swing, where a knee flexes',
        'Turn its sign, or check that 0 % is initial contact',
      );
  }
  for (const joint of ['hip', 'knee', 'ankle'] as const) {
    const moment = curve(`${joint}.moment`);
    const power = curve(`${joint}.power`);
    if (moment === undefined || power === undefined || curve(`${joint}.angle`) === undefined) continue;
    const w = velocity(`${joint}.angle`);
    const { slope, r } = through(
      moment.map((m, i) => m * w[i]),
      power,
    );
    checks.push({
      what: `${joint} power is moment × velocity`,
      figure: `slope ${slope.toFixed(2)}, r ${r.toFixed(3)}`,
    });
    if (Math.abs(slope - 1) > POWER_SLOPE || r < 0.8)
      fault(
        'power',
        `${joint}.power`,
        `power is ${slope.toFixed(2)} × moment × velocity (r ${r.toFixed(2)})`,
        `Check the mapping: ${powerSignature(slope)}`,
      );
  }
  return { faults, checks };
}
