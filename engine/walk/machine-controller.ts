import type { CompiledController } from '../control/compile-controller.ts';
import type { ControlState } from '../control/controller.ts';
import { COUNT, controllerState, HELD, INPUT, OUTPUT, OUTPUTS } from '../control/controller-memory.ts';
import { controllerTick } from '../control/controller-tick.ts';
import { SWING } from '../control/swing-tick.ts';
import { randomStream } from '../numeric/random.ts';
import { Fault } from '../quantity/fault.ts';
import { COMMAND, MEASURED, type WalkController } from './walk-controller.ts';

/** What a state machine needs beside its compiled self to walk. */
export interface MachineControl {
  readonly compiled: CompiledController;
  readonly states: readonly ControlState[];
  /** Standard deviation of one sample: rad/s of the thigh's rate, N of the load. */
  readonly noise: { readonly thighRate: number; readonly load: number };
  /** Any integer: of the noise. */
  readonly seed: number;
  /** Spoils what is read, in INPUT's places, before the machine sees it; left out: nothing is wrong. */
  readonly spoil?: (inputs: Float64Array, tick: number) => void;
}

/**
 * A controller file in the walk: sensors in, torques out, through `controllerTick`, period by period.
 *
 * The walk begins in swing, and so does the machine: in the first state that bears no load and follows the thigh of a swing, as if toe-off
 * had been the reference's own. Load and thigh rate carry the noise of their sensors, normal and seeded, so that no reading is ever still;
 * angles come in steps of their encoders and from a thigh sensor without drift. Nobody asks for release.
 * Fault: a machine without such a state.
 */
export function machineController(of: MachineControl): WalkController {
  const { compiled, states, noise } = of;
  const state = controllerState(compiled);
  const inputs = new Float64Array(Object.keys(INPUT).length);
  const outputs = new Float64Array(OUTPUTS);
  const chance = randomStream(of.seed);
  const modes = states.map(({ bears, safe }) => (safe === undefined ? 2 : bears === 'no load' ? 1 : 0));
  const leads = compiled.mapOf.map((m, i) => (modes[i] === 1 && m >= 0 && compiled.maps[m].sign === 1 ? 1 : 0));
  const first = leads.indexOf(1);
  if (first < 0) {
    throw new Fault({
      code: 'walk.no-swing',
      what: `The controller \`${compiled.name}\` has no state that follows the thigh in swing, and a walk begins in swing`,
      mend: 'Give a state `bears: no load` and a `phase` whose part is `swing`',
      place: { path: 'states' },
    });
  }
  let ticks = 0;
  return {
    begin: (m, phase) => {
      const { numbers: x, counts: n, swing } = state;
      n[COUNT.state] = first;
      swing[SWING.on] = compiled.maps[compiled.mapOf[first]].map.referenceOn;
      swing[SWING.phase] = phase;
      x[HELD.phase] = phase;
      for (const [input, place] of [
        [INPUT.thigh, MEASURED.thigh],
        [INPUT.knee, MEASURED.knee],
        [INPUT.ankle, MEASURED.ankle],
      ]) {
        x[HELD.sensor + input] = m[place];
        n[COUNT.same + input] = 0;
      }
      x[HELD.kneeRate] = m[MEASURED.kneeRate];
      x[HELD.ankleRate] = m[MEASURED.ankleRate];
    },
    tick: (m, command) => {
      inputs[INPUT.thigh] = m[MEASURED.thigh];
      inputs[INPUT.thighRate] = m[MEASURED.thighRate] + noise.thighRate * chance.normal();
      inputs[INPUT.knee] = m[MEASURED.knee];
      inputs[INPUT.ankle] = m[MEASURED.ankle];
      inputs[INPUT.load] = m[MEASURED.load] + noise.load * chance.normal();
      inputs[INPUT.kneeWinding] = m[MEASURED.kneeWinding];
      inputs[INPUT.ankleWinding] = m[MEASURED.ankleWinding];
      inputs[INPUT.bus] = m[MEASURED.bus];
      inputs[INPUT.elapsed] = compiled.period;
      inputs[INPUT.release] = 0;
      of.spoil?.(inputs, ticks++);
      controllerTick(compiled, state, inputs, outputs);
      const now = outputs[OUTPUT.state];
      const leading = leads[now] === 1;
      command[COMMAND.knee] = outputs[OUTPUT.kneeTorque];
      command[COMMAND.ankle] = outputs[OUTPUT.ankleTorque];
      command[COMMAND.mode] = modes[now];
      command[COMMAND.phase] = outputs[OUTPUT.phase];
      command[COMMAND.kneeTarget] = leading ? outputs[OUTPUT.kneeCommand] : Number.NaN;
      command[COMMAND.ankleTarget] = leading ? outputs[OUTPUT.ankleCommand] : Number.NaN;
      command[COMMAND.fault] = outputs[OUTPUT.fault];
      command[COMMAND.kneeShorted] = outputs[OUTPUT.kneeShorted];
      command[COMMAND.ankleShorted] = outputs[OUTPUT.ankleShorted];
    },
  };
}
