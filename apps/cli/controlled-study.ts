import {
  type ControlledLeg,
  controlledLeg,
  type DesignResult,
  evaluateDesign,
  Fault,
  type StudyInput,
} from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { studyFolder } from './study-place.ts';
import type { Values } from './values.ts';

/** The study with the leg, wearer and controller that were asked for. */
export async function readControlled(
  values: Values,
): Promise<{ readonly input: StudyInput; readonly design: DesignResult }> {
  const folder = studyFolder(values.study as string | undefined, { mayBeDemo: true });
  const choice = Object.fromEntries(
    ['leg', 'wearer', 'controller'].flatMap((key) => (values[key] === undefined ? [] : [[key, values[key]]])),
  );
  const { input } = await openStudy(folder, choice);
  return { input, design: evaluateDesign(input) };
}

/** Its controller as it runs, or a fault that says what is missing. */
export function runningController(input: StudyInput, design: DesignResult): ControlledLeg {
  const leg = controlledLeg(input, design);
  if (!('openBecause' in leg)) return leg;
  throw new Fault({
    code: 'control.no-controller',
    what: `No controller can run here: ${leg.openBecause}`,
    mend: 'Complete the study, or choose another leg or controller',
  });
}
