import { chargedTo } from './capacitor.ts';

/** A bus that has lost its pack. */
export interface OpenBus {
  /** V at the moment the pack opens. */
  readonly voltage: number;
  /** F */
  readonly capacitance: number;
  /** Ω, and V above which it is switched on. Left out: there is none. */
  readonly brakeResistor?: { readonly resistance: number; readonly threshold: number };
}

/** What happens to the bus when the pack opens at the worst instant of a stride. */
export interface PackOpen {
  /** Highest bus voltage, V. */
  readonly voltage: number;
  /** The same by energy, without the resistor: √(V_0² + 2·E/C). */
  readonly withoutResistor: number;
  /** E: the most that braking returns before driving takes it back, J. */
  readonly energy: number;
  /** Sample at which the pack opens, and the one at which the bus is highest. */
  readonly opensAt: number;
  readonly highestAt: number;
  /** Largest power returned, W, and the mean over the stride of what is returned at all. */
  readonly peakReturn: number;
  readonly meanReturn: number;
  /** J into the resistor from then on; 0 without one. */
  readonly resistorEnergy: number;
}

/** Steps between two samples: the bus changes within R·C/2, some ten milliseconds. Our choice. */
const INNER = 16;

/** A gap in the power is a gap in the whole. */
const UNKNOWN: PackOpen = {
  voltage: Number.NaN,
  withoutResistor: Number.NaN,
  energy: Number.NaN,
  opensAt: -1,
  highestAt: -1,
  peakReturn: Number.NaN,
  meanReturn: Number.NaN,
  resistorEnergy: Number.NaN,
};

/**
 * The pack opens while the joints go on braking: what they return has nowhere to go but the capacitor and the brake resistor.
 *
 *     d(½·C·V²)/dt = −P(t) − V²/R·[V > V_t]          P: power the joints take from the bus, W; negative while they return it
 *
 * At V_t the resistor is switched so fast that the bus stays there while −P ≤ V_t²/R; beyond that it rises towards √(−P·R).
 * `power` is evenly sampled over one stride, both ends included, `step` s apart, and is taken to come round again. It opens where
 * power turns from drawn to returned, which is worse than any later moment of the same return: more in the bus at first is never less
 * afterwards. A run ends where the bus is back at its first voltage, and after one stride. Of equal peaks the one with more for the
 * resistor is told.
 * Between two samples power is linear; with constant power each short step is exact.
 *
 * Without losses of the electronics, which would take some of it: the voltage is on the high side. The joints go on as if nothing
 * had happened: what the electronics do once they see it is not in here.
 */
export function packOpen(power: Float64Array, step: number, bus: OpenBus): PackOpen {
  const n = power.length - 1;
  const start = 0.5 * bus.capacitance * bus.voltage ** 2;
  if (power.some(Number.isNaN)) return UNKNOWN;
  const plain = highest(power, step, start, { ...bus, brakeResistor: undefined });
  const braked = bus.brakeResistor === undefined ? plain : highest(power, step, start, bus);
  let peakReturn = 0;
  let meanReturn = 0;
  for (let i = 0; i < n; i++) {
    peakReturn = Math.max(peakReturn, -power[i]);
    meanReturn += Math.max(0, -power[i]) / n;
  }
  return {
    voltage: Math.sqrt((2 * braked.stored) / bus.capacitance),
    withoutResistor: chargedTo(bus.capacitance, bus.voltage, plain.stored - start),
    energy: plain.stored - start,
    opensAt: braked.opensAt,
    highestAt: braked.highestAt,
    peakReturn,
    meanReturn,
    resistorEnergy: braked.resistorEnergy,
  };
}

interface Highest {
  stored: number;
  opensAt: number;
  highestAt: number;
  resistorEnergy: number;
}

function highest(
  power: Float64Array,
  step: number,
  start: number,
  bus: Pick<OpenBus, 'capacitance'> & { readonly brakeResistor?: OpenBus['brakeResistor'] | undefined },
): Highest {
  const n = power.length - 1;
  const h = step / INNER;
  const { capacitance: C, brakeResistor } = bus;
  const threshold =
    brakeResistor === undefined ? Number.POSITIVE_INFINITY : 0.5 * C * brakeResistor.threshold ** 2;
  const resistance = brakeResistor?.resistance ?? Number.POSITIVE_INFINITY;
  const settling = (resistance * C) / 2;
  const keep = Math.exp(-h / settling);
  const most = threshold / settling; // V_t²/R
  let worst: Highest = { stored: start, opensAt: 0, highestAt: 0, resistorEnergy: 0 };
  const returning = (i: number): boolean => power[i] < 0;
  const always = power.every((p) => p < 0);
  for (let first = 0; first < n; first++) {
    // turns within this interval, or never
    if (always ? first > 0 : returning(first) || !returning(first + 1)) continue;
    const run: Highest = { stored: start, opensAt: first, highestAt: first, resistorEnergy: 0 };
    let stored = start;
    for (let k = 0; k < n && stored >= start; k++) {
      const from = (first + k) % n;
      for (let i = 0; i < INNER; i++) {
        const returned = -(power[from] + ((i + 0.5) / INNER) * (power[from + 1] - power[from]));
        // still drawing: it opens a little later
        if (k === 0 && stored === start && returned < 0) continue;
        const before = stored;
        if (stored < threshold) {
          stored += returned * h;
          if (stored > threshold && returned <= most) stored = threshold;
        } else if (stored === threshold && returned <= most) {
          if (returned < 0) stored += returned * h;
        } else {
          const end = returned * settling;
          stored = Math.max(threshold, end + (stored - end) * keep);
        }
        run.resistorEnergy += before + returned * h - stored;
        if (stored > run.stored) {
          run.stored = stored;
          run.highestAt = (i >= INNER / 2 ? from + 1 : from) % n;
        }
      }
    }
    if (
      run.stored > worst.stored ||
      (run.stored === worst.stored && run.resistorEnergy > worst.resistorEnergy)
    )
      worst = run;
  }
  return worst;
}
