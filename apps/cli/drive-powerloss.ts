import {
  type DesignResult,
  type DrivenJoint,
  evaluateDesign,
  jointPowerLoss,
  legPackOpen,
  type StrideDemand,
  type StudyInput,
  shortTrade,
} from '@striderule/engine';
import { heading } from './heading.ts';
import { type LossReport, powerLossText, powerLossVerdict } from './powerloss-table.ts';
import { json, out, strong } from './print.ts';
import { chosenTasks, oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

/** `drive powerloss`: what the unpowered joints do at every part of each stride, the trade in the short, the pack opening. */
export async function drivePowerloss(values: Values): Promise<number> {
  const { input } = await readStudy(values);
  const has = Object.keys(input.leg.joints) as DrivenJoint[];
  const joints = values.joint === undefined ? has : [oneOf('--joint', values.joint as string, has)];
  const design = evaluateDesign(input);
  const closer = closerTask(input, design, values.task);
  const report: LossReport = {
    joints: joints.map((joint) => [joint, jointPowerLoss(input, design, joint)]),
    closer,
    trade:
      closer === undefined
        ? { openBecause: 'no task has a stride' }
        : shortTrade(input, design.demands[closer] as StrideDemand),
    packOpen: legPackOpen(input, design),
  };
  if (values.json) {
    out(
      json({
        study: input.name,
        demo: input.demo,
        signs:
          'engine: load positive where it bends the knee, or the ankle up; power drawn from the bus positive',
        units: 'SI: N·m, rad, rad/s, V, W, J, s; null where never, without bound or not known',
        ...report,
        joints: Object.fromEntries(report.joints),
      }),
    );
  } else out(`${strong(powerLossVerdict(report))}\n${heading(input)}\n\n${powerLossText(report)}`);
  return 0;
}

/** The task to look at closely: the one that was asked for, else the one of most strides in the schedule. */
function closerTask(input: StudyInput, design: DesignResult, given: Values[string]): string | undefined {
  const strides = chosenTasks(input, given).filter(({ id }) => design.demands[id]?.kind === 'stride');
  return [...strides].sort((a, b) => (b.duty.strides ?? 0) - (a.duty.strides ?? 0))[0]?.id;
}
