import { capacitorVoltage } from './brake-resistor.ts';

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
  /** J into the resistor until the bus is highest; 0 without one. */
  readonly resistorEnergy: number;
}

/** Steps between two samples: the bus changes within R·C/2, some ten milliseconds. Our choice. */
const INNER = 16;

/**
 * The pack opens while the joints go on braking: what they return has nowhere to go but the capacitor and the brake resistor.
 *
 *     d(½·C·V²)/dt = −P(t) − V²/R·[V > V_t]          P: power the joints take from the bus, W; negative while they return it
 *
 * At V_t the resistor is switched so fast that the bus stays there while −P ≤ V_t²/R; beyond that it rises towards √(−P·R).
 * `power` is evenly sampled over one stride, both ends included, `step` s apart, and is taken to come round again. Openings after every
 * sample are tried, each run no longer than a stride; it ends where the bus is back at its first voltage, from where a later opening
 * is as bad.
 * Between two samples power is linear; with constant power each short step is exact.
 *
 * Without losses of the electronics, which would take some of it: the voltage is on the high side. The joints go on as if nothing
 * had happened: what the electronics do once they see it is not in here.
 */
export function packOpen(power: Float64Array, step: number, bus: OpenBus): PackOpen {
  const n = power.length - 1;
  const start = 0.5 * bus.capacitance * bus.voltage ** 2;
  const plain = highest(power, step, start, { ...bus, brakeResistor: undefined });
  const braked = bus.brakeResistor === undefined ? plain : highest(power, step, start, bus);
  let peakReturn = 0;
  let meanReturn = 0;
  for (let i = 0; i < n; i++) {
    peakReturn = Math.max(peakReturn, -power[i]);
    meanReturn += Math.max(0, -power[i]) / n;
  }
  if (power.some(Number.isNaN)) peakReturn = meanReturn = Number.NaN;
  return {
    voltage: Math.sqrt((2 * braked.stored) / bus.capacitance),
    withoutResistor: capacitorVoltage(bus.voltage, bus.capacitance, plain.stored - start),
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
  const found: Highest = { stored: start, opensAt: 0, highestAt: 0, resistorEnergy: 0 };
  for (let first = 0; first < n; first++) {
    let stored = start;
    let burnt = 0;
    for (let k = 0; k < n && stored >= start; k++) {
      const from = (first + k) % n;
      for (let i = 0; i < INNER; i++) {
        const returned = -(power[from] + ((i + 0.5) / INNER) * (power[from + 1] - power[from]));
        // a NaN of power is a NaN of the whole
        if (Number.isNaN(returned)) return { ...found, stored: Number.NaN, resistorEnergy: Number.NaN };
        const before = stored;
        if (stored < threshold) {
          stored += returned * h;
          if (stored > threshold) stored = returned <= most ? threshold : stored;
        } else if (stored === threshold && returned <= most) {
          if (returned < 0) stored += returned * h;
        } else {
          const end = returned * settling;
          stored = end + (stored - end) * keep;
          if (stored < threshold) stored = threshold;
        }
        burnt += before + returned * h - stored;
        if (k === 0 && stored < start) {
          // still drawing: opened a little later is worse
          stored = start;
          burnt = 0;
        }
        if (stored > found.stored) {
          found.stored = stored;
          found.opensAt = first;
          found.highestAt = (from + (i >= INNER / 2 ? 1 : 0)) % n;
          found.resistorEnergy = burnt;
        }
      }
    }
  }
  return found;
}
