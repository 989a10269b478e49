import {
  type DrivenJoint,
  evaluateDesign,
  Fault,
  heldJoint,
  jointBandwidth,
  jointEndStop,
  jointTones,
  legTouchdown,
  type Rendered,
} from '@striderule/engine';
import { type BandwidthReport, bandwidthText, bandwidthVerdict, RATIOS } from './bandwidth-table.ts';
import { heading } from './heading.ts';
import { quantityOption } from './number-option.ts';
import { json, out, strong } from './print.ts';
import { oneOf, readStudy } from './study-read.ts';
import type { Values } from './values.ts';

/** `drive bandwidth`: current, torque and position against frequency, touchdown, end stop, tones. */
export async function driveBandwidth(values: Values): Promise<number> {
  const rendered = renderedOf(values);
  const { input } = await readStudy(values);
  const has = Object.keys(input.leg.joints) as DrivenJoint[];
  const joints = values.joint === undefined ? has : [oneOf('--joint', values.joint as string, has)];
  const design = evaluateDesign(input);
  const report: BandwidthReport = {
    joints: joints.map((joint) => {
      const held = rendered && heldJoint(input, joint, rendered);
      return {
        joint,
        bandwidth: jointBandwidth(input, design, joint),
        endStop: jointEndStop(input, design, joint),
        tones: jointTones(input, design, joint),
        ...(held !== undefined && { held }),
      };
    }),
    touchdown: legTouchdown(input, design),
    byRatio: RATIOS.map((ratio) => ({ ratio, touchdown: legTouchdown(input, design, { ratio }) })),
    ...(rendered !== undefined && { rendered }),
  };
  if (values.json) {
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: Hz, rad, N·m, N, kg, A peak phase, V, s; null where not known',
        ...report,
      }),
    );
  } else out(`${strong(bandwidthVerdict(report))}\n${heading(input)}\n\n${bandwidthText(input, report)}`);
  return 0;
}

/** Spring, damper and period of a controller, all or none. */
function renderedOf(values: Values): Rendered | undefined {
  const stiffness = quantityOption(values, 'stiffness', 'rotational stiffness');
  const damping = quantityOption(values, 'damping', 'rotational damping');
  const period = quantityOption(values, 'period', 'time');
  if (stiffness !== undefined && damping !== undefined && period !== undefined)
    return { stiffness, damping, period };
  if (stiffness === undefined && damping === undefined && period === undefined) return undefined;
  throw new Fault({
    code: 'cli.rendered',
    what: '--stiffness, --damping and --period belong together',
    mend: 'Give all three, such as --stiffness 200N*m/rad --damping 9N*m*s/rad --period 1ms',
  });
}
