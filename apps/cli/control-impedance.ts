import {
  burdenByRatio,
  type DesignResult,
  type DrivenJoint,
  evaluateDesign,
  jointImpedance,
  type StudyInput,
  statedGains,
} from '@striderule/engine';
import { heading } from './heading.ts';
import { type ImpedanceReport, impedanceCsv, impedanceText, impedanceVerdict } from './impedance-table.ts';
import { quantityOption } from './number-option.ts';
import { json, out, strong } from './print.ts';
import { chosenTasks, oneForm, oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

/** `control impedance`: a spring and a damper asked of each joint, what it renders, and whether that is stable and passive. */
export async function controlImpedance(values: Values): Promise<number> {
  oneForm(values, 'csv', 'json');
  const asked = {
    stiffness: quantityOption(values, 'stiffness', 'rotational stiffness'),
    damping: quantityOption(values, 'damping', 'rotational damping'),
  };
  const cutoff = quantityOption(values, 'filter', 'frequency');
  const { input } = await readStudy(values);
  const has = Object.keys(input.leg.joints) as DrivenJoint[];
  const joints = values.joint === undefined ? has : [oneOf('--joint', values.joint as string, has)];
  const design = evaluateDesign(input);
  const task = stanceTask(input, design, values.task);
  const stated = statedGains(input);
  const requested = {
    stiffness: asked.stiffness ?? stated.stiffness,
    damping: asked.damping ?? stated.damping,
  };
  const report: ImpedanceReport = {
    requested,
    ...(task !== undefined && { task }),
    joints: joints.map((joint) => ({
      joint,
      impedance: jointImpedance(input, joint, requested, cutoff),
      burden: task === undefined ? [] : burdenByRatio(input, design, joint, task),
    })),
  };
  if (values.json) {
    out(
      json({
        study: input.name,
        demo: input.demo,
        units:
          'SI: N·m/rad, N·m·s/rad, kg·m², Hz, s, rad; shares of the rms torque asked; null where none is',
        ...report,
      }),
    );
  } else if (values.csv) out(impedanceCsv(report));
  else out(`${strong(impedanceVerdict(report))}\n${heading(input)}\n\n${impedanceText(input, report)}`);
  return 0;
}

/** The task whose stance is looked at: the one asked for, else the one of most strides in the schedule. */
function stanceTask(input: StudyInput, design: DesignResult, given: Values[string]): string | undefined {
  const strides = chosenTasks(input, given).filter(({ id }) => design.demands[id]?.kind === 'stride');
  return strides.toSorted((a, b) => (b.duty.strides ?? 0) - (a.duty.strides ?? 0))[0]?.id;
}
