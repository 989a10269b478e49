import { machineController } from '../walk/machine-controller.ts';
import { controlledLeg } from './controlled-leg.ts';
import { type DesignResult, studyDemands } from './design.ts';
import type { StudyInput } from './study-input.ts';
import { type WalkChoice, type WalkPlan, walkPlan } from './walk-plan.ts';

type Open = { readonly openBecause: string };

/** Seed of the sensors' noise unless another is asked for. Our choice. */
const SEED = 1;

/**
 * A walk with the study's controller file in the loop, its sensors with their noise, and what bus and phases do when power is lost as far as
 * the leg file says it. The reasons where it cannot be told; throws the Fault of a controller that cannot be compiled.
 */
export function machineWalk(
  input: StudyInput,
  choice: WalkChoice & { readonly seed?: number },
  design: Pick<DesignResult, 'demands'> = { demands: studyDemands(input) },
): WalkPlan | Open {
  const plan = walkPlan(input, choice);
  if ('openBecause' in plan) return plan;
  const controlled = controlledLeg(input, design);
  if ('openBecause' in controlled) return controlled;
  const { thighSensor, axialLoad, bus } = input.leg;
  if (thighSensor?.gyroNoise === undefined)
    return {
      openBecause:
        'the leg file does not say how restless the thigh sensor is: add `gyroNoise` under `thighSensor`',
    };
  if (axialLoad === undefined)
    return {
      openBecause:
        'the leg file has no `axialLoad`: add it with `noise`, or a load that stands still reads as stuck',
    };
  const { setup } = plan;
  const { compiled, controller } = controlled;
  return {
    ...plan,
    setup: {
      ...setup,
      controller: () => machineController(compiled, controller.states),
      noise: { thighRate: thighSensor.gyroNoise, load: axialLoad.noise, seed: choice.seed ?? SEED },
      ...(bus?.capacitance !== undefined && {
        bus: {
          capacitance: bus.capacitance,
          ...(bus.brakeResistor && { brakeResistor: bus.brakeResistor }),
          ...(bus.overVoltage !== undefined && { overVoltage: bus.overVoltage }),
        },
      }),
    },
  };
}
