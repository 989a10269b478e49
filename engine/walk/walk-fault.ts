import { Fault } from '../quantity/fault.ts';
import { MEASURED } from './walk-controller.ts';
import type { WalkSetup } from './walk-setup.ts';

/**
 * Something that goes wrong in a walk, from `time` s after its beginning on.
 *
 * - `reading`: what a sensor says. `missing`: no number; `stuck`: what it said then; `off`: too much by `by`, rad or N. For `lasts` s, +∞:
 *   for good. The thigh's angle and rate come from one sensor and are missing or stuck together; only the angle is off.
 * - `power`: all power is cut; the phases of each joint do what the leg file's hardware does.
 * - `pack`: the pack opens. What the joints draw and return goes through the capacitor and the brake resistor alone.
 * - `hot`: both windings are at so many K.
 * - `empty`: the pack, without load, gives so many V.
 */
export type WalkFault = { readonly time: number } & (
  | {
      readonly kind: 'reading';
      readonly sensor: 'thigh' | 'knee' | 'ankle' | 'load';
      readonly how: 'missing' | 'stuck' | 'off';
      readonly by?: number;
      readonly lasts: number;
    }
  | { readonly kind: 'power' }
  | { readonly kind: 'pack' }
  | { readonly kind: 'hot'; readonly winding: number }
  | { readonly kind: 'empty'; readonly voltage: number }
);

/** A fault as the walk's ticks read it: first tick with it, first without it again, and what a stuck sensor says. */
export interface RoomFault {
  readonly of: WalkFault;
  readonly from: number;
  readonly to: number;
  readonly place: number;
  readonly held: Float64Array;
  /** The pack as it then is. */
  readonly supply: WalkSetup['supply'];
}

/** Fault: a leg of which the file does not say what this needs. */
export function roomFault(of: WalkFault, setup: WalkSetup): RoomFault {
  const lacks = (what: string, mend: string): Fault => new Fault({ code: 'walk.fault-unknown', what, mend });
  if (!(of.time >= 0))
    throw lacks(`A fault cannot begin at ${of.time} s`, 'Give a time from the walk’s beginning on');
  if (of.kind === 'power' || of.kind === 'pack')
    for (const name of ['knee', 'ankle'] as const)
      if (setup[name].lost === undefined)
        throw lacks(
          `What the ${name}’s phases do without power is not known`,
          'Add `lossOfPower` under `electronics` in the leg file',
        );
  if (of.kind === 'pack' && setup.bus === undefined)
    throw lacks('How much the bus holds without its pack is not known', 'Add `capacitance` under `bus`');
  const from = Math.round(of.time / setup.period);
  return {
    of,
    from,
    to:
      of.kind === 'reading'
        ? from + Math.max(1, Math.round(of.lasts / setup.period))
        : Number.POSITIVE_INFINITY,
    place: of.kind === 'reading' ? MEASURED[of.sensor] : -1,
    held: new Float64Array(2),
    supply: of.kind === 'empty' ? { ...setup.supply, openCircuitVoltage: of.voltage } : setup.supply,
  };
}

/** Spoils what the controller is told in this tick. */
export function spoilReading(fault: RoomFault, measured: Float64Array, tick: number): void {
  const { of, from, to, place, held } = fault;
  if (of.kind !== 'reading' || tick < from || tick >= to) return;
  const both = of.sensor === 'thigh';
  if (tick === from) {
    held[0] = measured[place];
    held[1] = measured[MEASURED.thighRate];
  }
  if (of.how === 'off') measured[place] += of.by ?? 0;
  else {
    const stuck = of.how === 'stuck';
    measured[place] = stuck ? held[0] : Number.NaN;
    if (both) measured[MEASURED.thighRate] = stuck ? held[1] : Number.NaN;
  }
}

/** Steps of the bus in one tick: a millisecond is a tenth of its time constant with the resistor. Our choice. */
const INNER = 16;

/**
 * Voltage of a bus without its pack after `period` s, from `volts`; power the joints draw, W, less what goes with the voltage, A:
 *
 *     d(½·C·V²)/dt = −P − a·V − V²/R·[V > V_t]
 *
 * 0 where all is drawn.
 */
export function loneBus(
  bus: NonNullable<WalkSetup['bus']>,
  volts: number,
  watts: number,
  perVolt: number,
  period: number,
): number {
  const { capacitance, brakeResistor } = bus;
  const h = period / INNER;
  let stored = 0.5 * capacitance * volts * volts;
  for (let i = 0; i < INNER; i++) {
    const v = Math.sqrt((2 * stored) / capacitance);
    const burnt =
      brakeResistor !== undefined && v > brakeResistor.threshold ? (v * v) / brakeResistor.resistance : 0;
    stored -= h * (watts + perVolt * v + burnt);
    if (stored <= 0) return 0;
  }
  return Math.sqrt((2 * stored) / capacitance);
}
