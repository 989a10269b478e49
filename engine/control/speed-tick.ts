import type { CompiledController } from './compile-controller.ts';
import { COUNT, type ControllerState, INPUT } from './controller-memory.ts';
import { blendState, SPEED } from './speed-memory.ts';
import { WALK, WALK_STATUS, walkTick } from './walk-estimate.ts';

/**
 * One tick of the speed, after the sensors have been read: `walkTick` on what is known of thigh, knee and ankle. Loaded above one load and
 * until below another. A stance that was read, in a state that is paced as stance, moves the speed towards its reading by no more than
 * `change`; a refusal leaves it, and so does any other state, which is no walking. Nothing is allocated.
 */
export function speedTick(of: CompiledController, state: ControllerState): void {
  const { numbers: x, counts: n } = state;
  const { walk, own } = state.speed!;
  const { walk: map, change, loaded, unloaded } = of.bySpeed!;
  blendState(of.bySpeed!, state.speed!, n[COUNT.state]);
  const load = x[INPUT.load];
  if (own[SPEED.loaded] === 1 ? load < unloaded : load > loaded) own[SPEED.loaded] = 1 - own[SPEED.loaded];
  const known =
    n[COUNT.missing + INPUT.thigh] === 0 &&
    n[COUNT.missing + INPUT.knee] === 0 &&
    n[COUNT.missing + INPUT.ankle] === 0;
  const thigh = known ? x[INPUT.thigh] : Number.NaN;
  walkTick(map, walk, own[SPEED.loaded] === 1, thigh, x[INPUT.knee], x[INPUT.ankle], of.period);
  if (walk[WALK.stances] === own[SPEED.judged]) return;
  own[SPEED.judged] = walk[WALK.stances];
  const m = of.mapOf[n[COUNT.state]];
  if (walk[WALK.status] !== WALK_STATUS.read || m < 0 || of.maps[m].sign > 0) return;
  const step = walk[WALK.speed] - own[SPEED.used];
  own[SPEED.used] += Math.max(-change, Math.min(step, change));
}

/** A state begins: the speed is latched, and its map and schedules are those of that speed. After quiet standing a walk begins anew. */
export function latchSpeed(of: CompiledController, state: ControllerState): void {
  const now = state.counts[COUNT.state];
  const { own } = state.speed!;
  if (now === of.initial) own[SPEED.used] = of.bySpeed!.start;
  own[SPEED.latched] = Math.fround(own[SPEED.used]);
  blendState(of.bySpeed!, state.speed!, now);
}
