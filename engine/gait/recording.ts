import { cubicSpline, splineAt } from '../numeric/cubic-spline.ts';
import { Fault } from '../quantity/fault.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';
import type { JointName } from './stride.ts';

/** What a column of a recording holds, in engine signs once multiplied by its factor. */
export type Channel = `${JointName}.${'angle' | 'moment' | 'power'}` | 'thigh';

/** One mapped column: SI and engine sign = cell × factor. */
export interface ChannelRecipe {
  readonly channel: Channel;
  readonly column: string;
  readonly factor: number;
}

/** How the laboratory's strides are read, as numbers. */
export interface Recipe {
  readonly channels: readonly ChannelRecipe[];
  /** s; needed where the recording has per cent and no time. */
  readonly strideTime?: number;
  /** 0–1 */
  readonly stance: number;
  /** m/s */
  readonly speed?: number;
  /** Hz: the Fourier series of each curve is cut here. */
  readonly cutOff: number;
  /** Share of range by which a curve may end elsewhere than it began. */
  readonly largestGap: number;
}

/** Mean and scatter of strides seen so far; memory does not grow with their number. */
export interface StrideAverage {
  readonly channels: readonly Channel[];
  count: number;
  /** s, mean of the strides averaged. */
  strideTime: number;
  readonly mean: Float64Array[];
  /** Sum of squared deviations. */
  readonly square: Float64Array[];
}

export const emptyAverage = (channels: readonly Channel[]): StrideAverage => ({
  channels,
  count: 0,
  strideTime: 0,
  mean: channels.map(() => new Float64Array(STRIDE_SAMPLES)),
  square: channels.map(() => new Float64Array(STRIDE_SAMPLES)),
});

/**
 * Adds one stride: `at` are its instants (s, or per cent) from initial contact to the next, `values` one array a channel.
 * Each channel is splined (not-a-knot) and read at every half per cent; mean and scatter by Welford's update
 * (Technometrics 4 (1962) 419–420). Faults: fewer than ten instants; instants that do not rise.
 */
export function addStride(
  average: StrideAverage,
  at: ArrayLike<number>,
  values: readonly ArrayLike<number>[],
  strideTime: number,
  where: string,
): void {
  const n = at.length;
  if (n < 10) {
    throw new Fault({
      code: 'gait.empty-stride',
      what: n === 0 ? 'the stride is empty' : `the stride has only ${n} rows`,
      mend: 'Give at least ten rows from one initial contact to the next; check the stride column of the recipe',
      place: { file: where },
    });
  }
  for (let i = 1; i < n; i++) {
    if (at[i] > at[i - 1]) continue;
    throw new Fault({
      code: 'gait.time-goes-back',
      what:
        at[i] === at[i - 1]
          ? `${at[i]} stands twice`
          : `time or per cent falls from ${at[i - 1]} to ${at[i]}`,
      mend: 'Sort the rows, or split the recording where the recorder restarted',
      place: { file: where },
    });
  }
  average.count++;
  average.strideTime += (strideTime - average.strideTime) / average.count;
  const [from, to] = [at[0], at[n - 1]];
  values.forEach((y, c) => {
    const spline = cubicSpline(at, y, 'not-a-knot');
    const mean = average.mean[c];
    const square = average.square[c];
    for (let i = 0; i < STRIDE_SAMPLES; i++) {
      const t = i === STRIDE_SAMPLES - 1 ? to : from + ((to - from) * i) / (STRIDE_SAMPLES - 1);
      const x = splineAt(spline, t).value;
      const before = x - mean[i];
      mean[i] += before / average.count;
      square[i] += before * (x - mean[i]);
    }
  });
}
