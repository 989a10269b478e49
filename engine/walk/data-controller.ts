import { BEHAVIOUR, type CompiledController } from '../control/compile-controller.ts';
import { SENSORS } from '../control/controller.ts';
import { COUNT, controllerState, INPUT, OUTPUT, OUTPUTS } from '../control/controller-memory.ts';
import { controllerTick } from '../control/controller-tick.ts';
import { midSwing } from './mid-swing.ts';
import { COMMAND, MEASURED, type WalkController } from './walk-controller.ts';

/** The last digit of a real load cell is never still: N, its steps of seven. Our choice; a cell that is still counts as stuck. */
const RESTLESS = 1e-3;

/**
 * A controller as data in the walk: the same tick that runs on the leg. It begins in its first state that the thigh leads, in the middle of
 * swing; without one in its initial state, to find its way by its own transitions. It takes the joint angles and makes its own rates; nobody
 * asks for release.
 */
export function dataController(of: CompiledController): WalkController {
  const state = controllerState(of);
  const inputs = new Float64Array(SENSORS.length);
  const outputs = new Float64Array(OUTPUTS);
  let count = 0;
  return {
    begin: (m, phase) => {
      const swings = of.states.findIndex((_, k) => of.kind[2 * k] === BEHAVIOUR.thigh && of.safeOf[k] >= 0);
      if (swings < 0) return;
      const { map, pace } = of.maps[of.mapOf[swings]];
      state.counts[COUNT.state] = swings;
      midSwing(map, state.swing, m, phase, pace);
    },
    tick: (m, command) => {
      count = (count + 1) % 7;
      inputs[INPUT.thigh] = m[MEASURED.thigh];
      inputs[INPUT.thighRate] = m[MEASURED.thighRate];
      inputs[INPUT.knee] = m[MEASURED.knee];
      inputs[INPUT.ankle] = m[MEASURED.ankle];
      inputs[INPUT.load] = m[MEASURED.load] + RESTLESS * count;
      inputs[INPUT.kneeWinding] = m[MEASURED.kneeWinding];
      inputs[INPUT.ankleWinding] = m[MEASURED.ankleWinding];
      inputs[INPUT.bus] = m[MEASURED.bus];
      inputs[INPUT.elapsed] = of.period;
      controllerTick(of, state, inputs, outputs);
      const now = outputs[OUTPUT.state];
      const swings = of.kind[2 * now] === BEHAVIOUR.thigh;
      command[COMMAND.knee] = outputs[OUTPUT.kneeTorque];
      command[COMMAND.ankle] = outputs[OUTPUT.ankleTorque];
      command[COMMAND.mode] = of.safeOf[now] < 0 ? 2 : swings ? 1 : 0;
      const own = of.mapOf[now];
      command[COMMAND.phase] = outputs[OUTPUT.phase] * (swings || own < 0 ? 1 : of.maps[own].scale);
      command[COMMAND.kneeTarget] = swings ? outputs[OUTPUT.kneeCommand] : Number.NaN;
      command[COMMAND.ankleTarget] = swings ? outputs[OUTPUT.ankleCommand] : Number.NaN;
      command[COMMAND.fault] = outputs[OUTPUT.fault];
      command[COMMAND.kneeShorted] = outputs[OUTPUT.kneeShorted];
      command[COMMAND.ankleShorted] = outputs[OUTPUT.ankleShorted];
    },
  };
}
