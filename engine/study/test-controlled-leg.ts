import {
  type ControllerState,
  controllerState,
  INPUT,
  OUTPUT,
  OUTPUTS,
} from '../control/controller-memory.ts';
import { controllerTick } from '../control/controller-tick.ts';
import type { ControlledLeg } from './controlled-leg.ts';

const DEG = Math.PI / 180;
/** Above what any joint does in walking. */
const FASTEST = 900;

/** What the leg's sensors say at one instant: degrees, degrees a second, load as a share of body weight; the rest as on a cool day. */
export interface Posture {
  readonly thigh?: number;
  readonly thighRate?: number;
  readonly knee?: number;
  readonly ankle?: number;
  readonly load?: number;
  readonly release?: number;
}

/** A leg under its controller, fed by hand, tick by tick. */
export interface Run {
  readonly state: ControllerState;
  /** Name of the state after each tick. */
  readonly states: string[];
  readonly outputs: Float64Array[];
  /** `seconds` of postures by time since this call, each sensor with the restlessness of a real one; `spoil` changes what is read. */
  readonly feed: (
    seconds: number,
    posture: (t: number) => Posture,
    spoil?: (inputs: Float64Array, tick: number) => void,
  ) => Run;
  readonly last: () => string;
  /** The states in turn, each once for as long as it lasts. */
  readonly sequence: () => string[];
}

export function runOf({ compiled }: ControlledLeg, state = controllerState(compiled)): Run {
  const [states, outputs]: [string[], Float64Array[]] = [[], []];
  const at = { thigh: 0, knee: 0, ankle: 0 };
  /** A leg does not leap from posture to posture: no faster than FASTEST, degrees a second. */
  const glide = (joint: keyof typeof at, to: number): number => {
    const most = FASTEST * compiled.period;
    at[joint] += states.length === 0 ? to : Math.max(-most, Math.min(most, to - at[joint]));
    return at[joint];
  };
  const run: Run = {
    state,
    states,
    outputs,
    feed(seconds, posture, spoil) {
      const ticks = Math.round(seconds / compiled.period);
      for (let k = 0; k < ticks; k++) {
        const {
          thigh = 0,
          thighRate = 0,
          knee = 0,
          ankle = 0,
          load = 0,
          release = 0,
        } = posture(k * compiled.period);
        // the last digit of a real sensor is never still
        const restless = 1e-6 * (1 + (states.length % 7));
        const inputs = new Float64Array(Object.keys(INPUT).length);
        inputs[INPUT.thigh] = glide('thigh', thigh) * DEG;
        inputs[INPUT.thighRate] = thighRate * DEG + restless;
        inputs[INPUT.knee] = glide('knee', knee) * DEG;
        inputs[INPUT.ankle] = glide('ankle', ankle) * DEG;
        inputs[INPUT.load] = load * compiled.bodyWeight + restless;
        inputs[INPUT.kneeWinding] = 310;
        inputs[INPUT.ankleWinding] = 310;
        inputs[INPUT.bus] = 44;
        inputs[INPUT.elapsed] = compiled.period;
        inputs[INPUT.release] = release;
        inputs[INPUT.kneeSecond] = inputs[INPUT.knee];
        inputs[INPUT.ankleSecond] = inputs[INPUT.ankle];
        spoil?.(inputs, k);
        const out = new Float64Array(OUTPUTS);
        controllerTick(compiled, state, inputs, out);
        outputs.push(out);
        states.push(compiled.states[out[OUTPUT.state]!]!);
      }
      return run;
    },
    last: () => states.at(-1)!,
    sequence: () => states.filter((name, k) => k === 0 || name !== states[k - 1]),
  };
  return run;
}
