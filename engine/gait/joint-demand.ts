import { sampleCurve } from './curve.ts';
import { type JointDemand, STRIDE_SAMPLES } from './demand-result.ts';
import type { JointName, Stride } from './stride.ts';

/** Positive and negative part of ∫ P dt, J; straight lines between samples, split where they cross zero. */
export function jointWork(power: Float64Array, step: number): { positive: number; negative: number } {
  let positive = 0;
  let negative = 0;
  for (let i = 1; i < power.length; i++) {
    const a = power[i - 1];
    const b = power[i];
    if (a >= 0 && b >= 0) positive += ((a + b) / 2) * step;
    else if (a <= 0 && b <= 0) negative += ((a + b) / 2) * step;
    else if (Number.isNaN(a + b)) return { positive: Number.NaN, negative: Number.NaN };
    else {
      const cross = a / (a - b);
      const first = (a / 2) * cross * step;
      const second = (b / 2) * (1 - cross) * step;
      positive += a > 0 ? first : second;
      negative += a > 0 ? second : first;
    }
  }
  return { positive, negative };
}

/** Index of the largest magnitude; −1 where every entry is NaN. */
function largest(y: Float64Array): number {
  let at = -1;
  for (let i = 0; i < y.length; i++)
    if (!Number.isNaN(y[i]) && (at < 0 || Math.abs(y[i]) > Math.abs(y[at]))) at = i;
  return at;
}

/** Peak |moment| per body mass of a stride's joint, N·m/kg; NaN where it has none. */
export function meanPeakMoment(stride: Stride, joint: JointName): number {
  const moment = stride.joints[joint]?.moment;
  if (moment === undefined) return Number.NaN;
  const { value } = sampleCurve(moment);
  return Math.abs(value[largest(value)]);
}

/**
 * Demand of one joint: human moment m·M·scale in stance, the device's own in swing, mixed by `weight`.
 * `device` all NaN means that swing dynamics are unknown: the human moment is kept throughout.
 */
export function jointDemand(
  stride: Stride,
  joint: JointName,
  mass: number,
  scale: { factor: number; notes: readonly string[] },
  device: Float64Array,
  weight: Float64Array,
): JointDemand {
  const curves = stride.joints[joint];
  if (curves === undefined) throw new Error(`${stride.id} has no ${joint}`);
  const sampled = sampleCurve(curves.angle);
  const rate = 100 / stride.strideTime;
  const velocity = new Float64Array(STRIDE_SAMPLES);
  const acceleration = new Float64Array(STRIDE_SAMPLES);
  for (let i = 0; i < STRIDE_SAMPLES; i++) {
    velocity[i] = sampled.slope[i] * rate;
    acceleration[i] = sampled.curvature[i] * rate * rate;
  }
  const perMass = curves.moment === undefined ? undefined : sampleCurve(curves.moment).value;
  const humanMoment = new Float64Array(STRIDE_SAMPLES).fill(Number.NaN);
  const moment = new Float64Array(STRIDE_SAMPLES).fill(Number.NaN);
  const power = new Float64Array(STRIDE_SAMPLES).fill(Number.NaN);
  const keepHuman = Number.isNaN(device[0]);
  if (perMass !== undefined) {
    for (let i = 0; i < STRIDE_SAMPLES; i++) {
      humanMoment[i] = perMass[i] * mass * scale.factor;
      moment[i] = keepHuman ? humanMoment[i] : weight[i] * humanMoment[i] + (1 - weight[i]) * device[i];
      power[i] = moment[i] * velocity[i];
    }
  }
  let generation = 0;
  let absorption = 0;
  for (const p of power) {
    if (p > generation) generation = p;
    else if (p < absorption) absorption = p;
  }
  const m = largest(moment);
  const v = largest(velocity);
  const percent = (i: number) => (i < 0 ? Number.NaN : (100 * i) / (STRIDE_SAMPLES - 1));
  return {
    angle: sampled.value,
    velocity,
    acceleration,
    moment,
    humanMoment,
    deviceMoment: device,
    power,
    peak: {
      moment: m < 0 ? Number.NaN : Math.abs(moment[m]),
      momentPercent: percent(m),
      speed: Math.abs(velocity[v]),
      speedPercent: percent(v),
      generation: m < 0 ? Number.NaN : generation,
      absorption: m < 0 ? Number.NaN : absorption,
    },
    work: jointWork(power, stride.strideTime / (STRIDE_SAMPLES - 1)),
    momentScale: scale.factor,
    scaleNotes: scale.notes,
  };
}
