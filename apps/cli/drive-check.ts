import { type DrivenJoint, evaluateDesign } from '@striderule/engine';
import { driveCsv, driveTables, driveVerdict } from './drive-table.ts';
import { heading } from './heading.ts';
import { json, out, strong } from './print.ts';
import { chosenTasks, oneForm, oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

/** `drive check`: what motor and ratio make of the demand. */
export async function driveCheck(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  const { input } = await readStudy(values);
  const has = Object.keys(input.leg.joints) as DrivenJoint[];
  const joints = values.joint === undefined ? has : [oneOf('--joint', values.joint as string, has)];
  const tasks = chosenTasks(input, values.task);
  const result = evaluateDesign(input);

  if (values.json) {
    const kept = <Of>(record: { readonly [joint in DrivenJoint]?: Of }): unknown =>
      Object.fromEntries(Object.entries(record).filter(([joint]) => joints.includes(joint as DrivenJoint)));
    out(
      json({
        study: input.name,
        demo: input.demo,
        signs:
          'engine: motor torque and current positive where they turn the joint in its positive direction',
        units: 'SI: N·m, rad/s, A peak phase, kg·m², rad, s',
        figures: kept(result.figures),
        loads: Object.fromEntries(tasks.map(({ id }) => [id, kept(result.loads[id] ?? {})])),
        peaks: Object.fromEntries(tasks.map(({ id }) => [id, kept(result.peaks[id] ?? {})])),
        schedule: result.schedule,
      }),
    );
  } else if (values.csv) out(driveCsv(tasks, joints, result));
  else {
    const text = driveTables(input, tasks, joints, result);
    out(`${strong(driveVerdict(tasks, joints, result))}\n${heading(input)}\n\n${text}`);
  }
  return 0;
}
