import type { StudyInput } from '@striderule/engine';
import loadMujoco from 'mujoco-js';
import { walkPlan } from '../engine/study/walk-plan.ts';
import { LOG_WIDTH } from '../engine/walk/walk-log.ts';
import { openWalk } from '../engine/walk/walk-run.ts';
import { inTurn, timingText } from './rounds.ts';
import { stepPeers } from './walk-peer.ts';

const STRIDES = 10;
const ENGINE_STEPS = 20_000;
/** Rows of a stride at 1 kHz, with room to spare. */
const ROWS = 2000;

/**
 * The whole walk, its energy audited at every step, against a general-purpose dynamics engine that steps a bare leg of as many coordinates
 * without contact. Must reach 250 times real time at 0.1 ms and 600 at 0.25 ms on one quiet core.
 * It is run compiled, as the walk's own worker threads are.
 */
export async function walkTime(input: StudyInput): Promise<string> {
  const plan = walkPlan(input, { speed: 1.1 });
  if ('openBecause' in plan) throw new Error(plan.openBecause);
  const { setup } = plan;
  const used = new Float64Array(STRIDES * ROWS * LOG_WIDTH);
  const walking = (step: number) => () => {
    const walk = openWalk(setup, step, STRIDES, used);
    for (let k = 0; k < STRIDES; k++) walk.stride();
    return walk.log().residual;
  };
  const mj = await loadMujoco();
  const inertial = '<inertial pos="0 0 -0.2" mass="3" diaginertia="0.05 0.05 0.05"/>';
  mj.FS.writeFile(
    '/bench.xml',
    `<mujoco><option timestep="0.0001" integrator="Euler"><flag contact="disable"/></option><worldbody><body>
    <joint type="slide" axis="1 0 0"/><joint type="slide" axis="0 0 1"/><inertial pos="0 0 0" mass="70" diaginertia="1 1 1"/>
    <body><joint type="hinge" axis="0 -1 0"/>${inertial}<body pos="0 0 -0.42"><joint type="hinge" axis="0 1 0" armature="0.1"/>${inertial}
    <body pos="0 0 -0.43"><joint type="hinge" axis="0 -1 0" armature="0.1"/>${inertial}</body></body></body></body></worldbody></mujoco>`,
  );
  const model = mj.MjModel.loadFromXML('/bench.xml');
  const data = new mj.MjData(model);
  const times = inTurn(
    {
      fine: walking(1e-4),
      coarse: walking(2.5e-4),
      engine: () => {
        for (let k = 0; k < ENGINE_STEPS; k++) mj.mj_step(model, data);
        return data.time;
      },
    },
    { rounds: 12, warmUp: 4 },
  );
  data.delete();
  model.delete();
  const peers = stepPeers(setup);
  const seconds = STRIDES * plan.stride.strideTime;
  const each = (ms: number, step: number) => (1e6 * ms) / (seconds / step);
  const line = (
    name: string,
    step: number,
    { median, low }: { readonly median: number; readonly low: number },
  ) =>
    `${((1e3 * seconds) / median).toFixed(0)} × real time (fastest ${((1e3 * seconds) / low).toFixed(0)}), ${each(median, step).toFixed(0)} ns a step, ${((1e6 * times.engine.median) / ENGINE_STEPS / each(median, step)).toFixed(1)} × the engine's step  ${name}`;
  return [
    `Closed-loop walk, ${STRIDES} strides, energy audited at every step (must reach 250 × at 0.1 ms, 600 × at 0.25 ms)`,
    `  0.1 ms   ${line(timingText(times.fine), 1e-4, times.fine)}`,
    `  0.25 ms  ${line(timingText(times.coarse), 2.5e-4, times.coarse)}`,
    `  a general-purpose engine, bare leg, no contact: ${((1e6 * times.engine.median) / ENGINE_STEPS).toFixed(0)} ns a step`,
    'missing' in peers
      ? `  the same step in C: ${peers.missing}`
      : `  one step without the controller, in stance: ${(2.5e6 * peers.ours).toFixed(0)} ns, in C ${(2.5e6 * peers.theirs).toFixed(0)} ns: ${(peers.ours / peers.theirs).toFixed(2)} × (must stay within 1.6 ×); the two end ${peers.apart.toExponential(0)} apart`,
  ].join('\n');
}
