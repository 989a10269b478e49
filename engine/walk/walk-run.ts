import { Fault } from '../quantity/fault.ts';
import { ANKLE, HIP_Z, KNEE, THIGH } from './leg-terms.ts';
import { COMMAND } from './walk-controller.ts';
import { COURSE, COURSE_WIDTH } from './walk-course.ts';
import { LOG_WIDTH, type WalkLog } from './walk-log.ts';
import { COUNT, KEPT, risen, type WalkRoom, walkRoom } from './walk-room.ts';
import type { PassiveSetup, WalkSetup } from './walk-setup.ts';
import { walkSteps } from './walk-step.ts';
import { walkTick } from './walk-tick.ts';

/** Share of the work moved that the energy balance may miss. Our own proposal. */
export const AUDIT_LIMIT = 5e-3;
/** A leg whose knee bends further than this, rad, or whose hip sinks below this share of its height, has fallen; where the way is its own, whose hip is as much below where that leads. Our choice. */
const KNEE_GIVES_WAY = 2.4;
const HIP_SINKS = 0.8;

/** A walk that goes on stride by stride. */
export interface OpenWalk {
  /** One stride further; false once it has fallen. */
  readonly stride: () => boolean;
  /** All so far. Fault where the energy does not balance: the step is too large. */
  readonly log: () => WalkLog;
}

/**
 * A leg of `setup` walking with steps of `step` s, with room for `strides`; `used`: a log of another walk that may be written over. No chance in it: the same setup gives the same bytes.
 * Fault: a step that does not divide the controller's period.
 */
export function openWalk(
  setup: WalkSetup | PassiveSetup,
  step: number,
  strides: number,
  used?: Float64Array,
): OpenWalk {
  const room = walkRoom(setup, step, strides, used);
  const { course, count, perTick } = room;
  let end = 0;
  let why: string | undefined;
  const tick = (walked: WalkRoom): boolean => {
    walkTick(walked);
    why = fallen(walked);
    return why === undefined;
  };
  return {
    stride: () => {
      end += course.perStride;
      const ticks = Math.ceil((end - count[COUNT.step]) / perTick);
      if (why === undefined) walkSteps(room, ticks * perTick, tick);
      return why === undefined;
    },
    log: () => {
      const [residual, moved] = audited(room);
      return {
        step,
        period: setup.period,
        strideTime: course.strideTime,
        speed: course.speed,
        rows: count[COUNT.row],
        ...(course.stretch && { stretch: true as const }),
        table: room.log.subarray(0, count[COUNT.row] * LOG_WIDTH),
        residual,
        moved,
        ...(why !== undefined && { fell: { time: count[COUNT.step] * step, why } }),
      };
    },
  };
}

/** J: what the energy balance misses, and what was moved. Fault: it misses more than AUDIT_LIMIT, the step is too large. */
export function audited({ kept, step }: WalkRoom): readonly [residual: number, moved: number] {
  const [residual, moved] = [kept[KEPT.worst], kept[KEPT.moved]];
  if (!(residual < AUDIT_LIMIT * moved)) {
    throw new Fault({
      code: 'walk.step-too-large',
      what: `With steps of ${1e3 * step} ms the energy misses ${residual.toPrecision(3)} J of ${moved.toPrecision(3)} J moved, more than ${1e2 * AUDIT_LIMIT} %`,
      mend: `Take a smaller step, such as ${(1e3 * step) / 2} ms`,
    });
  }
  return [residual, moved];
}

/** In words, why it walks no further; undefined while it does. */
export const fallen = (() => {
  // in a scope of its own, as in `walkTick`
  const TOLD = COMMAND;
  const Z = HIP_Z;
  const H = THIGH;
  const K = KNEE;
  const A = ANKLE;
  const [bent, sinks] = [KNEE_GIVES_WAY, HIP_SINKS];
  return function fallen(room: WalkRoom): string | undefined {
    const { q, command, setup } = room;
    const sum = q[Z] + q[H] + q[K] + q[A] + command[TOLD.knee] + command[TOLD.ankle];
    if (!Number.isFinite(sum)) return 'an angle or a command is no number';
    if (q[K] > bent) return 'the knee gave way';
    const usual = setup.course.hip.height[0];
    const sunk =
      'rows' in setup.course
        ? ledHeight(room) - q[Z] > (1 - sinks) * usual
        : q[Z] - (setup.terrain === undefined ? 0 : risen(room)[0]) < sinks * usual;
    if (sunk) return 'the hip sank';
    return undefined;
  };
})();

/** Height to which the guide leads now, m. */
function ledHeight({ course, first, count }: WalkRoom): number {
  const row = (first + count[COUNT.step]) % course.steps;
  return course.table[row * COURSE_WIDTH + COURSE.height];
}

/** A whole walk of `strides`. */
export function walkRun(setup: WalkSetup | PassiveSetup, step: number, strides: number): WalkLog {
  const walk = openWalk(setup, step, strides);
  for (let k = 0; k < strides && walk.stride(); k++);
  return walk.log();
}
