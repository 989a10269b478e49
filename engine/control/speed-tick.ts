import type { CompiledController } from './compile-controller.ts';
import { COUNT, type ControllerState, HELD, INPUT } from './controller-memory.ts';
import { takeSlope } from './slope-tick.ts';
import { blendState, latch, SPEED } from './speed-memory.ts';
import { WALK, WALK_STATUS, walkTick } from './walk-estimate.ts';
import { encodersApart, jointSide } from './watch-sensors.ts';

/**
 * One tick of speed and slope, after the sensors have been read: `walkTick` on what is known of thigh, knee and ankle, joint angles as they are
 * behind the gears; none where two encoders of a joint are further apart than is watched. Loaded above one load and until below another. A stance that was read, in a state that is paced as stance, moves the
 * speed towards its reading by no more than `change`; a refusal leaves it, and so does any other state, which is no walking. Nothing is
 * allocated.
 */
export function speedTick(of: CompiledController, state: ControllerState): void {
  const { numbers: x, counts: n } = state;
  const { walk, own } = state.speed!;
  const { walk: map, change, loaded, unloaded, slope } = of.bySpeed!;
  blendState(of.bySpeed!, state.speed!, n[COUNT.state]);
  const load = x[INPUT.load];
  if (own[SPEED.loaded] === 1 ? load < unloaded : load > loaded) own[SPEED.loaded] = 1 - own[SPEED.loaded];
  const known =
    n[COUNT.missing + INPUT.thigh] === 0 &&
    n[COUNT.missing + INPUT.knee] === 0 &&
    n[COUNT.missing + INPUT.ankle] === 0 &&
    encodersApart(of, x, n, INPUT.kneeSecond) <= of.apart[0] &&
    encodersApart(of, x, n, INPUT.ankleSecond) <= of.apart[1];
  const thigh = known ? x[INPUT.thigh] : Number.NaN;
  walkTick(
    map,
    walk,
    own[SPEED.loaded] === 1,
    thigh,
    jointSide(of, x, n, 0),
    jointSide(of, x, n, 1),
    of.period,
  );
  if (walk[WALK.stances] === own[SPEED.judged]) return;
  own[SPEED.judged] = walk[WALK.stances];
  const m = of.mapOf[n[COUNT.state]];
  const walks = m >= 0 && of.maps[m].sign < 0;
  if (slope !== undefined) takeSlope(slope, own, walk, x[HELD.lean], walks);
  if (walk[WALK.status] !== WALK_STATUS.read || !walks) return;
  const step = walk[WALK.speed] - own[SPEED.used];
  own[SPEED.used] += Math.max(-change, Math.min(step, change));
}

/** A state begins: speed and slope are latched, and its map and schedules are those of both. After quiet standing a walk begins anew, on the level. */
export function latchSpeed(of: CompiledController, state: ControllerState): void {
  const now = state.counts[COUNT.state];
  const { own } = state.speed!;
  if (now === of.initial) {
    own[SPEED.used] = of.bySpeed!.start;
    own.fill(0, SPEED.smoothed);
  }
  latch(own);
  blendState(of.bySpeed!, state.speed!, now);
}
