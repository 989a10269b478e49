import type { CompiledController } from '../control/compile-controller.ts';
import { type ControlState, SENSORS } from '../control/controller.ts';
import {
  COUNT,
  type ControllerState,
  controllerState,
  HELD,
  INPUT,
  OUTPUT,
  OUTPUTS,
} from '../control/controller-memory.ts';
import { controllerTick } from '../control/controller-tick.ts';
import { SWING } from '../control/swing-tick.ts';
import { Fault } from '../quantity/fault.ts';
import { COMMAND, MEASURED, type WalkController } from './walk-controller.ts';

/**
 * A controller file in the walk: sensors in, torques out, through `controllerTick`, period by period.
 *
 * The walk begins in swing, and so does the machine: in the first state that bears no load and follows the thigh of a swing, as if toe-off
 * had been the reference's own. Its clock is always on time and nobody asks for release. A sensor's number must not stand still, or what
 * watches for that calls it stuck: walk it with the noise of its sensors.
 * Fault: a machine without such a state.
 */
export function machineController(
  compiled: CompiledController,
  states: readonly ControlState[],
): WalkController {
  const modes = states.map(({ bears, safe }) => (safe === undefined ? 2 : bears === 'no load' ? 1 : 0));
  const leads = compiled.mapOf.map((m, i) =>
    modes[i] === 1 && m >= 0 && compiled.maps[m].sign === 1 ? 1 : 0,
  );
  const first = leads.indexOf(1);
  if (first < 0) {
    throw new Fault({
      code: 'walk.no-swing',
      what: `The controller \`${compiled.name}\` has no state that follows the thigh in swing, and a walk begins in swing`,
      mend: 'Give a state `bears: no load` and a `phase` whose part is `swing`',
      place: { path: 'states' },
    });
  }
  return running(controllerState(compiled));

  function running(state: ControllerState): WalkController {
    const inputs = new Float64Array(SENSORS.length);
    const outputs = new Float64Array(OUTPUTS);
    const { numbers: x, counts: n, swing } = state;
    return {
      begin: (m, phase) => {
        n[COUNT.state] = first;
        swing[SWING.on] = compiled.maps[compiled.mapOf[first]].map.referenceOn;
        swing[SWING.phase] = phase;
        x[HELD.phase] = phase;
        for (const [input, place] of BEGUN) {
          x[HELD.sensor + input] = m[place];
          n[COUNT.same + input] = 0;
        }
        x[HELD.kneeRate] = m[MEASURED.kneeRate];
        x[HELD.ankleRate] = m[MEASURED.ankleRate];
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
        inputs[INPUT.elapsed] = compiled.period;
        inputs[INPUT.release] = 0;
        controllerTick(compiled, state, inputs, outputs);
        const now = outputs[OUTPUT.state];
        command[COMMAND.knee] = outputs[OUTPUT.kneeTorque];
        command[COMMAND.ankle] = outputs[OUTPUT.ankleTorque];
        command[COMMAND.mode] = modes[now];
        command[COMMAND.phase] = outputs[OUTPUT.phase];
        command[COMMAND.kneeTarget] = leads[now] === 1 ? outputs[OUTPUT.kneeCommand] : Number.NaN;
        command[COMMAND.ankleTarget] = leads[now] === 1 ? outputs[OUTPUT.ankleCommand] : Number.NaN;
        command[COMMAND.fault] = outputs[OUTPUT.fault];
        command[COMMAND.kneeShorted] = outputs[OUTPUT.kneeShorted];
        command[COMMAND.ankleShorted] = outputs[OUTPUT.ankleShorted];
      },
      copy: () => running({ numbers: x.slice(), counts: n.slice(), swing: swing.slice() }),
    };
  }
}

/** What the machine is taken to have read before its first tick. */
const BEGUN = [
  [INPUT.thigh, MEASURED.thigh],
  [INPUT.knee, MEASURED.knee],
  [INPUT.ankle, MEASURED.ankle],
] as const;
