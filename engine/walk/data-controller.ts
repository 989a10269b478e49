import { BEHAVIOUR, type CompiledController } from '../control/compile-controller.ts';
import { SENSORS } from '../control/controller.ts';
import {
  COUNT,
  type ControllerState,
  controllerState,
  copiedState,
  HELD,
  INPUT,
  OUTPUT,
  OUTPUTS,
} from '../control/controller-memory.ts';
import { controllerTick, enterState } from '../control/controller-tick.ts';
import { midSwing } from './mid-swing.ts';
import { COMMAND, MEASURED, type WalkController } from './walk-controller.ts';

/**
 * A controller as data in the walk: the same tick that runs on the leg. It begins in its first state that the thigh leads, in the middle of
 * swing; without one in its initial state, to find its way by its own transitions; or in the state `begins`. It takes the joint angles and makes its own rates; its
 * clock is on time and nobody asks for release. Walk it with the noise of its sensors: a number that stands still is called stuck.
 */
export function dataController(of: CompiledController, begins?: number): WalkController {
  return running(of, controllerState(of), begins);
}

function running(of: CompiledController, state: ControllerState, begins?: number): WalkController {
  const inputs = new Float64Array(SENSORS.length);
  const outputs = new Float64Array(OUTPUTS);
  const { numbers: x, counts: n } = state;
  return {
    begin: (m, phase) => {
      for (const [input, place] of BEGUN) {
        x[HELD.sensor + input] = m[place];
        n[COUNT.same + input] = 0;
      }
      x[HELD.kneeRate] = m[MEASURED.kneeRate];
      x[HELD.ankleRate] = m[MEASURED.ankleRate];
      if (begins !== undefined) {
        enterState(of, state, begins);
        return;
      }
      const swings = thighState(of);
      if (swings < 0) return;
      const { map, pace } = (state.speed?.live ?? of).maps[of.mapOf[swings]];
      n[COUNT.state] = swings;
      midSwing(map, state.swing, m, phase, pace);
      x[HELD.phase] = phase;
    },
    tick: (m, command) => {
      inputs[INPUT.thigh] = m[MEASURED.thigh];
      inputs[INPUT.thighRate] = m[MEASURED.thighRate];
      inputs[INPUT.knee] = m[MEASURED.knee];
      inputs[INPUT.ankle] = m[MEASURED.ankle];
      inputs[INPUT.load] = m[MEASURED.load];
      inputs[INPUT.kneeWinding] = m[MEASURED.kneeWinding];
      inputs[INPUT.ankleWinding] = m[MEASURED.ankleWinding];
      inputs[INPUT.bus] = m[MEASURED.bus];
      inputs[INPUT.elapsed] = of.period;
      inputs[INPUT.release] = 0;
      inputs[INPUT.kneeSecond] = m[MEASURED.kneeSecond];
      inputs[INPUT.ankleSecond] = m[MEASURED.ankleSecond];
      controllerTick(of, state, inputs, outputs);
      const now = outputs[OUTPUT.state];
      const swings = of.kind[2 * now] === BEHAVIOUR.thigh;
      command[COMMAND.knee] = outputs[OUTPUT.kneeTorque];
      command[COMMAND.ankle] = outputs[OUTPUT.ankleTorque];
      command[COMMAND.mode] = of.safeOf[now] < 0 ? 2 : swings ? 1 : 0;
      const own = of.mapOf[now];
      const { maps } = state.speed?.live ?? of;
      command[COMMAND.phase] = outputs[OUTPUT.phase] * (swings || own < 0 ? 1 : maps[own].scale);
      command[COMMAND.kneeTarget] = swings ? outputs[OUTPUT.kneeCommand] : Number.NaN;
      command[COMMAND.ankleTarget] = swings ? outputs[OUTPUT.ankleCommand] : Number.NaN;
      command[COMMAND.fault] = outputs[OUTPUT.fault];
      command[COMMAND.state] = now;
      command[COMMAND.warning] = outputs[OUTPUT.warning];
      command[COMMAND.speed] = outputs[OUTPUT.speed];
      command[COMMAND.slope] = outputs[OUTPUT.slope];
      command[COMMAND.kneeShorted] = outputs[OUTPUT.kneeShorted];
      command[COMMAND.ankleShorted] = outputs[OUTPUT.ankleShorted];
    },
    copy: () => running(of, copiedState(of, state)),
  };
}

/** The first state whose knee the thigh leads, safe ones aside; −1: there is none. */
export const thighState = ({ states, kind, safeOf }: CompiledController): number =>
  states.findIndex((_, k) => kind[2 * k] === BEHAVIOUR.thigh && safeOf[k] >= 0);

/** What it is taken to have read before its first tick. */
const BEGUN = [
  [INPUT.thigh, MEASURED.thigh],
  [INPUT.knee, MEASURED.knee],
  [INPUT.ankle, MEASURED.ankle],
] as const;
