/** Mean and deviation of equally long curves, one after another: memory does not grow with their number. */
export interface StrideAverage {
  readonly add: (curves: readonly ArrayLike<number>[]) => void;
  readonly count: () => number;
  readonly mean: () => Float64Array[];
  /** Sample deviation (n − 1) between the curves at each place; NaN for fewer than two. */
  readonly deviation: () => Float64Array[];
}

/**
 * Running mean and sum of squares, place by place:
 *
 *     d = x − m,   m ← m + d/n,   s ← s + d·(x − m),   deviation = √(s/(n − 1))
 *
 * Welford, Technometrics 4 (1962) 419–420. Unlike Σx² − n·m² it does not lose digits where the mean is large.
 */
export function averageStrides(channels: number, samples: number): StrideAverage {
  const mean = Array.from({ length: channels }, () => new Float64Array(samples));
  const square = Array.from({ length: channels }, () => new Float64Array(samples));
  let n = 0;
  return {
    add(curves) {
      n++;
      for (let c = 0; c < channels; c++) {
        const [x, m, s] = [curves[c], mean[c], square[c]];
        for (let i = 0; i < samples; i++) {
          const d = x[i] - m[i];
          m[i] += d / n;
          s[i] += d * (x[i] - m[i]);
        }
      }
    },
    count: () => n,
    mean: () => mean.map((m) => (n === 0 ? m.slice().fill(Number.NaN) : m.slice())),
    deviation: () => square.map((s) => s.map((x) => (n < 2 ? Number.NaN : Math.sqrt(x / (n - 1))))),
  };
}
