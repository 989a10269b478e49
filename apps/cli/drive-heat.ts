import { type DrivenJoint, evaluateDesign, jointHeat } from '@striderule/engine';
import { heading } from './heading.ts';
import { heatText, heatVerdict, type JointHeats } from './heat-table.ts';
import { json, out, strong } from './print.ts';
import { oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

/** `drive heat`: winding and housing over each task, over the schedule, standing still and at peak torque. */
export async function driveHeat(values: Values): Promise<number> {
  const { input } = await readStudy(values);
  const has = Object.keys(input.leg.joints) as DrivenJoint[];
  const joints = values.joint === undefined ? has : [oneOf('--joint', values.joint as string, has)];
  const design = evaluateDesign(input);
  const heats: JointHeats = joints.map((joint) => [joint, jointHeat(input, design, joint)]);
  if (values.json) {
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: K, W at the motor’s reference temperature, s, N·m; null where never or not known',
        heat: Object.fromEntries(heats),
      }),
    );
  } else out(`${strong(heatVerdict(heats))}\n${heading(input)}\n\n${heatText(heats)}`);
  return 0;
}
