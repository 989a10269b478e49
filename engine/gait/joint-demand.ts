import { newArray, type TakeArray } from '../numeric/reused-arrays.ts';
import { sampleCurve } from './curve.ts';
import { type JointDemand, STRIDE_SAMPLES, type StrideDemand } from './demand-result.ts';
import type { MomentScale } from './moment-scale.ts';
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

/** Moment, power, their peaks and work of a joint whose human moment is known. */
function delivered(
  velocity: Float64Array,
  device: Float64Array,
  humanMoment: Float64Array,
  weight: Float64Array,
  strideTime: number,
): Pick<JointDemand, 'humanMoment' | 'moment' | 'power' | 'work'> & {
  readonly peak: Omit<JointDemand['peak'], 'speed' | 'speedPercent'>;
} {
  const moment = new Float64Array(STRIDE_SAMPLES);
  const power = new Float64Array(STRIDE_SAMPLES);
  const keepHuman = Number.isNaN(device[0]);
  let generation = 0;
  let absorption = 0;
  let most = -1;
  let mostAt = -1;
  for (let i = 0; i < STRIDE_SAMPLES; i++) {
    const human = humanMoment[i];
    const m = keepHuman ? human : weight[i] * human + (1 - weight[i]) * device[i];
    const p = m * velocity[i];
    moment[i] = m;
    power[i] = p;
    if (p > generation) generation = p;
    else if (p < absorption) absorption = p;
    const size = m < 0 ? -m : m;
    if (size > most) {
      most = size;
      mostAt = i;
    }
  }
  const known = mostAt >= 0;
  return {
    humanMoment,
    moment,
    power,
    peak: {
      moment: known ? most : Number.NaN,
      momentPercent: known ? percentOf(mostAt) : Number.NaN,
      generation: known ? generation : Number.NaN,
      absorption: known ? absorption : Number.NaN,
    },
    work: jointWork(power, strideTime / (STRIDE_SAMPLES - 1)),
  };
}

const percentOf = (index: number): number => (100 * index) / (STRIDE_SAMPLES - 1);

/**
 * Demand of one joint: human moment m·M·scale in stance, the device's own in swing, mixed by `weight`.
 * `device` all NaN means that swing dynamics are unknown: the human moment is kept throughout.
 */
export function jointDemand(
  stride: Stride,
  joint: JointName,
  mass: number,
  scale: MomentScale,
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
  const human = new Float64Array(STRIDE_SAMPLES).fill(Number.NaN);
  if (perMass !== undefined)
    for (let i = 0; i < STRIDE_SAMPLES; i++) human[i] = perMass[i] * mass * scale.factor;
  const fastest = largest(velocity);
  const made = delivered(velocity, device, human, weight, stride.strideTime);
  return {
    ...made,
    angle: sampled.value,
    velocity,
    acceleration,
    deviceMoment: device,
    peak: { ...made.peak, speed: Math.abs(velocity[fastest]), speedPercent: percentOf(fastest) },
    momentScale: scale.factor,
    momentCover: scale.cover,
    momentScatter: scale.scatter,
    scaleNotes: scale.notes,
  };
}

/** Whose moments a joint's demand is made of beside the human one: stance weight by sample, and s a stride. */
type StrideTiming = Pick<StrideDemand, 'stanceWeight' | 'strideTime'>;

/**
 * The same joint with the human moment times `factor` throughout; motion and the device's own dynamics as they were. Human moment,
 * power, peaks and work are worked out when they are asked for: thousands of people are drawn of whom only the joint's torque is
 * asked. `take` gives the array for that one.
 */
export function withHumanMoment(
  joint: JointDemand,
  factor: number,
  timing: StrideTiming,
  take: TakeArray = newArray,
): JointDemand {
  const { humanMoment: before, deviceMoment: device } = joint;
  const { stanceWeight: weight } = timing;
  const moment = take(STRIDE_SAMPLES);
  const keepHuman = Number.isNaN(device[0]);
  for (let i = 0; i < STRIDE_SAMPLES; i++) {
    const human = before[i] * factor;
    moment[i] = keepHuman ? human : weight[i] * human + (1 - weight[i]) * device[i];
  }
  return new OtherPersonsJoint(joint, factor, timing, moment);
}

/** A class for its getters: in a record they cost ten times the curve. */
class OtherPersonsJoint implements JointDemand {
  readonly angle: Float64Array;
  readonly velocity: Float64Array;
  readonly acceleration: Float64Array;
  readonly moment: Float64Array;
  readonly deviceMoment: Float64Array;
  readonly momentScale: number;
  readonly momentCover: number;
  readonly momentScatter: number;
  readonly scaleNotes: readonly string[];
  readonly #mean: JointDemand;
  readonly #factor: number;
  readonly #timing: StrideTiming;
  #human: Float64Array | undefined;
  #made: ReturnType<typeof delivered> | undefined;

  constructor(mean: JointDemand, factor: number, timing: StrideTiming, moment: Float64Array) {
    this.angle = mean.angle;
    this.velocity = mean.velocity;
    this.acceleration = mean.acceleration;
    this.moment = moment;
    this.deviceMoment = mean.deviceMoment;
    this.momentScale = mean.momentScale * factor;
    this.momentCover = mean.momentCover;
    this.momentScatter = mean.momentScatter;
    this.scaleNotes = mean.scaleNotes;
    this.#mean = mean;
    this.#factor = factor;
    this.#timing = timing;
  }

  get humanMoment(): Float64Array {
    this.#human ??= this.#mean.humanMoment.map((x) => x * this.#factor);
    return this.#human;
  }

  get #delivered(): ReturnType<typeof delivered> {
    const { stanceWeight, strideTime } = this.#timing;
    this.#made ??= delivered(this.velocity, this.deviceMoment, this.humanMoment, stanceWeight, strideTime);
    return this.#made;
  }

  get power(): Float64Array {
    return this.#delivered.power;
  }

  get peak(): JointDemand['peak'] {
    return { ...this.#mean.peak, ...this.#delivered.peak };
  }

  get work(): JointDemand['work'] {
    return this.#delivered.work;
  }
}
