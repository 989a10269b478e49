import { rungeKutta4 } from '../numeric/runge-kutta.ts';
import { Fault } from '../quantity/fault.ts';
import type { HeatLoad } from './heat-load.ts';
import { coldState, type HeatPath, HOTTEST, HOUSING, heatBalance, heatStep } from './heat-nodes.ts';

/** One load for a time, s. */
export interface HeatBlock {
  readonly load: HeatLoad;
  readonly duration: number;
}

/** Temperatures from cold through blocks of load. */
export interface HeatCourse {
  /** s from the start, rising; as long as the two below. */
  readonly time: Float64Array;
  /** K, of the hottest phase and of the housing. */
  readonly winding: Float64Array;
  readonly housing: Float64Array;
  /** Index into `blocks` of the load at each time; at a change, of the load that ends. */
  readonly block: Int32Array;
  /** Where winding and housing are hottest. */
  readonly hottestWinding: number;
  readonly hottestHousing: number;
  /** All nodes, K, when the winding is hottest: the worst moment to ask for peak torque. */
  readonly hottestState: Float64Array;
  /** s until the winding first passes its limit; +∞ where it never does. */
  readonly pastLimit: number;
  /** True where the copper would have melted: the course ends there, and no temperature beyond is one. */
  readonly melts: boolean;
}

/** More steps than this mean that a resistance or capacity is far from any motor's; our choice. */
const MOST_STEPS = 1_000_000;

/** K: freezing point of copper, a fixed point of the ITS-90 scale (FROM MEMORY). Beyond it nothing here holds. */
const COPPER_MELTS = 1357.77;

/**
 * Winding and housing from cold through the blocks, one after another without rest, by Runge–Kutta steps of at most `heatStep`; blocks
 * begin and end on a step. When a block changes, phases that were unlike stay as they are.
 *
 * Faults: a time constant so short against the schedule that a million steps would not do.
 */
export function heatCourse(path: HeatPath, blocks: readonly HeatBlock[]): HeatCourse {
  const longest = heatStep(path.thermal);
  const counts = blocks.map(({ duration }) => Math.ceil(duration / longest));
  const size = counts.reduce((sum, count) => sum + count, 1);
  if (!(size <= MOST_STEPS)) {
    throw new Fault({
      code: 'drive.heat-too-quick',
      what: `Winding and housing change within ${(2 * longest).toPrecision(2)} s, too quick for a schedule of ${blocks.reduce((sum, { duration }) => sum + duration, 0).toPrecision(3)} s`,
      mend: 'Check the thermal resistances (K/W) and heat capacities (J/K) and their units, and the duty of the tasks',
    });
  }
  const time = new Float64Array(size);
  const winding = new Float64Array(size);
  const housing = new Float64Array(size);
  const block = new Int32Array(size);
  const state = coldState(path.ambient);
  const hottestState = Float64Array.from(state);
  winding[0] = housing[0] = path.ambient;
  let at = 0;
  let hottestWinding = 0;
  let hottestHousing = 0;
  let pastLimit = Number.POSITIVE_INFINITY;
  for (let b = 0; b < blocks.length; b++) {
    const step = rungeKutta4(heatBalance(path, blocks[b].load), state.length);
    const h = blocks[b].duration / counts[b];
    for (let i = 0; i < counts[b]; i++) {
      step(state, h);
      at++;
      time[at] = time[at - 1] + h;
      winding[at] = state[HOTTEST];
      housing[at] = state[HOUSING];
      block[at] = b;
      if (winding[at] > path.thermal.windingLimit && time[at] < pastLimit) pastLimit = time[at];
      // at once also where a step was NaN: no loss, no temperature
      if (!(winding[at] <= winding[hottestWinding])) {
        hottestWinding = at;
        hottestState.set(state);
      }
      if (!(housing[at] <= housing[hottestHousing])) hottestHousing = at;
      if (!(winding[at] < COPPER_MELTS)) return course(at + 1, winding[at] >= COPPER_MELTS);
    }
  }
  return course(size, false);

  function course(length: number, melts: boolean): HeatCourse {
    return {
      time: time.subarray(0, length),
      winding: winding.subarray(0, length),
      housing: housing.subarray(0, length),
      block: block.subarray(0, length),
      hottestWinding,
      hottestHousing,
      hottestState,
      pastLimit,
      melts,
    };
  }
}
