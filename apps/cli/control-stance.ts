import {
  type DrivenJoint,
  evaluateDesign,
  PUBLISHED_IMPEDANCE,
  stanceOverPhase,
  stanceSchedule,
  walkingTasks,
} from '@striderule/engine';
import { heading } from './heading.ts';
import { json, out, strong } from './print.ts';
import { type StanceAnswer, stanceCsv, stanceText, stanceVerdict } from './stance-table.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

/** `control stance`: one joint's stance as springs and dampers, by sub-phase and over phase. */
export async function controlStance(values: Values): Promise<number> {
  oneForm(values, 'csv', 'json');
  const { input } = await readStudy(values);
  const has = Object.keys(input.leg.joints) as DrivenJoint[];
  const joint =
    values.joint === undefined
      ? has.includes('ankle')
        ? 'ankle'
        : (has[0] ?? 'ankle')
      : oneOf('--joint', values.joint as string, has);
  const ids = input.tasks.map(({ id }) => id);
  const tasks =
    values.task === undefined
      ? walkingTasks(input)
      : (values.task as string).split(',').map((id) => oneOf('--task', id.trim(), ids));
  const design = evaluateDesign(input);
  const answer: StanceAnswer = {
    joint,
    mass: input.wearer.mass,
    subphases: stanceSchedule(input, design, joint, tasks),
    overPhase: stanceOverPhase(input, design, joint, tasks),
    alone: Object.fromEntries(tasks.map((id) => [id, stanceSchedule(input, design, joint, [id])])),
  };
  if (values.json) {
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: N·m/rad, N·m, N·m·s/rad, rad, J; shares of the largest torque in stance',
        ...answer,
        published: PUBLISHED_IMPEDANCE.filter((row) => row.joint === joint),
      }),
    );
  } else if (values.csv) out(stanceCsv(answer));
  else out(`${strong(stanceVerdict(answer))}\n${heading(input)}\n\n${stanceText(answer)}`);
  return 0;
}
