import type { CompiledController } from '../control/compile-controller.ts';
import { COMMAND, type WalkController } from '../walk/walk-controller.ts';
import type { WalkSetup } from '../walk/walk-setup.ts';
import { controlledLeg } from './controlled-leg.ts';
import { studyDemands } from './design.ts';
import type { PassedState } from './planned-walk.ts';
import type { StudyInput } from './study-input.ts';
import { sensorNoise } from './walk-plan.ts';

type Open = { readonly openBecause: string };

/** The same controller, which writes down each state that it comes into. Its clock begins with its first period. */
export function told(
  of: WalkController,
  { states, period }: CompiledController,
  passed: PassedState[],
): WalkController {
  let ticks = 0;
  let last = -1;
  return {
    begin: of.begin,
    tick: (measured, command) => {
      of.tick(measured, command);
      const now = command[COMMAND.state];
      if (now !== last) passed.push({ state: states[now], time: ticks * period });
      last = now;
      ticks++;
    },
  };
}

/** The study's controller with the noise that it must be shown, and the number of the state in which it begins. */
export function begunMachine(
  input: StudyInput,
  seed = 1,
  begins?: string,
):
  | {
      readonly compiled: CompiledController;
      readonly begins?: number;
      readonly noise: NonNullable<WalkSetup['noise']>;
    }
  | Open {
  const controlled = controlledLeg(input, { demands: studyDemands(input) });
  if ('openBecause' in controlled) return controlled;
  const { compiled } = controlled;
  const noise = sensorNoise(input, seed);
  if ('openBecause' in noise) return noise;
  if (begins === undefined) return { compiled, noise };
  const state = compiled.states.indexOf(begins);
  if (state < 0)
    return {
      openBecause: `the study’s controller has no state \`${begins}\`: it has ${compiled.states.join(', ')}`,
    };
  return { compiled, begins: state, noise };
}
