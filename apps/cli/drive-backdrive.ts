import { type DrivenJoint, jointBackDrive } from '@striderule/engine';
import { backDriveText, backDriveVerdict, type JointBackDrives } from './backdrive-table.ts';
import { heading } from './heading.ts';
import { json, out, strong } from './print.ts';
import { oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

/** `drive backdrive`: what a hand must bring to move each joint, and how transparent it is. */
export async function driveBackdrive(values: Values): Promise<number> {
  const { input } = await readStudy(values);
  const has = Object.keys(input.leg.joints) as DrivenJoint[];
  const joints = values.joint === undefined ? has : [oneOf('--joint', values.joint as string, has)];
  const moved: JointBackDrives = joints.map((joint) => [joint, jointBackDrive(input, joint)]);
  if (values.json) {
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: N·m at the joint, rad, A peak phase; null where not known',
        backDrive: Object.fromEntries(moved),
      }),
    );
  } else out(`${strong(backDriveVerdict(moved))}\n${heading(input)}\n\n${backDriveText(moved)}`);
  return 0;
}
