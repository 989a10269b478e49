import {
  CONSTANT_ERROR,
  type DrivenJoint,
  degFromRad,
  type Gains,
  type JointImpedance,
  type Load,
  type Rad,
  type RatioBurden,
  RENDERED_SHOWN,
  RENDERED_SWING,
  type StableStiffness,
  type StudyInput,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed, significant } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { csv, table } from './table.ts';

/** What the command found. */
export interface ImpedanceReport {
  readonly requested: Gains;
  readonly task?: string;
  readonly joints: readonly {
    readonly joint: DrivenJoint;
    readonly impedance: JointImpedance | { readonly openBecause: string };
    readonly burden: readonly RatioBurden[];
  }[];
}

const gains = ({ stiffness, damping }: Gains): string =>
  `${significant(stiffness)} N·m/rad and ${significant(damping)} N·m·s/rad`;

const isStable = ({ stability }: JointImpedance): boolean => stability.every(({ largest }) => largest < 1);
const stableWord = (of: JointImpedance): string => (isStable(of) ? 'stable' : 'UNSTABLE');
const passiveWord = ({ passivity }: JointImpedance): string =>
  passivity.passive ? 'passive' : 'not passive';

/** One line first: both verdicts and up to where the stiffness is right, joint by joint. */
export function impedanceVerdict({ joints, requested }: ImpedanceReport): string {
  if (joints.length === 0) return 'This leg drives no joint: it renders nothing.';
  const told = joints.map(({ joint, impedance: of }) =>
    'openBecause' in of
      ? `${joint} not known, ${of.openBecause}`
      : `${joint} ${stableWord(of)}, ${passiveWord(of)}, ${rightUpTo(of.stiffnessBandwidth)}`,
  );
  return `Asked for ${gains(requested)}: ${told.join('; ')}.`;
}

const rightUpTo = (hertz: number): string =>
  hertz === 0
    ? 'its stiffness not within a tenth even slowly'
    : `stiffness within a tenth to ${significant(hertz)} Hz`;

/** Each joint; notes and cautions once. */
export function impedanceText(input: StudyInput, report: ImpedanceReport): string {
  return [
    ...report.joints.map(({ joint, impedance, burden }) =>
      [
        'openBecause' in impedance
          ? paragraph(`${joint}: not predicted, ${impedance.openBecause}.`)
          : jointText(input, joint, impedance),
        burden.length === 0
          ? paragraph(
              `Tuning burden of the ${joint}: not predicted, the task has no curve with moments of it.`,
            )
          : burdenText(joint, burden),
      ].join('\n\n'),
    ),
    list([
      'Small signals: play of the gears, saturation, socket and flesh are not in it. Stability and passivity do not count on dry friction or mesh loss, which often hide a loop that is not stable.',
      'Two verdicts: stable with what the joint carries here; passive against whatever passive thing it may touch. Leg, socket and ground lend damping, so that a joint that is stable and not passive is common. It is then to be tried with all that it will touch.',
      'The limits leave no margin. Gains for a real leg begin low, tethered, with an emergency stop, and are raised on the bench; a changed period, delay, filter or encoder is a new loop.',
    ]),
    CAUTION,
  ].join('\n\n');
}

function jointText(input: StudyInput, joint: DrivenJoint, of: JointImpedance): string {
  const { transmission } = input.leg.joints[joint]!;
  const at = of.joint;
  return [
    paragraph(
      `${joint}: ratio ${significant(transmission.ratio)}:1, ${significant(at.rotorInertia + at.outputInertia)} kg·m² and ${significant(of.passivity.own)} N·m·s/rad of its own, gears ${significant(at.gearStiffness)} N·m/rad, angle measured at the ${at.measuredAt}; each ${significant(1e3 * at.period)} ms, ${significant(1e3 * at.delay)} ms of delay, torque ${significant(1e3 * of.age)} ms old when it acts`,
    ),
    paragraph(
      `For ${gains(of.requested)} at the joint the software holds ${gains(of.software)}. Slow motion then meets ${significant(of.slow.damping)} N·m·s/rad and ${significant(of.slow.inertia)} kg·m², without dry friction and mesh loss.${
        of.slow.inertia < 0
          ? ' Delayed damping takes more inertia away than there is: the joint seems stiffer the faster it is moved; a higher --filter takes less.'
          : ''
      }`,
    ),
    frequencyTable(of),
    verdictText(joint, of),
    limitText(joint, of),
    takenOffText(joint, of),
    encoderText(of),
  ].join('\n\n');
}

const swing = (): string => fixed(degFromRad(RENDERED_SWING as Rad), 1);

function frequencyTable(of: JointImpedance): string {
  return [
    table(
      [
        { head: 'frequency', unit: 'Hz' },
        { head: 'asked', unit: 'N·m/rad' },
        { head: 'rendered', unit: 'N·m/rad' },
        { head: 'asked', unit: 'N·m·s/rad' },
        { head: 'rendered', unit: 'N·m·s/rad' },
        { head: 'without dry friction', unit: 'N·m·s/rad' },
        { head: 'asked', unit: 'kg·m²' },
        { head: 'rendered', unit: 'kg·m²' },
      ],
      of.rendered.map(({ frequency, stiffness, damping }, k) => [
        significant(frequency),
        significant(of.requested.stiffness),
        significant(stiffness),
        significant(of.requested.damping),
        significant(damping),
        significant(of.frictionless[k]!.damping),
        '0',
        significant(of.inertia[k]!),
      ]),
    ),
    paragraph(
      `Moved by ±${swing()}°, dry friction and mesh loss in it, by their first harmonic; the inertia, (K − Re S)/ω², without them: below zero the joint is stiffer than asked. Stiffness and damping together are within a tenth ${
        of.impedanceBandwidth === 0 ? 'nowhere' : `to ${significant(of.impedanceBandwidth)} Hz`
      }, the stiffness alone ${of.stiffnessBandwidth === 0 ? 'nowhere' : `to ${significant(of.stiffnessBandwidth)} Hz`}.`,
    ),
  ].join('\n');
}

const loadText = (joint: DrivenJoint, load: Load): string =>
  load === 'held'
    ? 'its output held'
    : `${significant(load.inertia)} kg·m² of ${joint === 'knee' ? 'shank and foot' : 'the foot'}`;

function verdictText(joint: DrivenJoint, of: JointImpedance): string {
  const each = of.stability.map(({ load, largest }) => {
    const what = loadText(joint, load);
    if (!(largest < 1)) return `with ${what} it grows, by ${significant(100 * (largest - 1))} % each period`;
    const fades = -of.joint.period / Math.log(largest);
    return `with ${what} a push fades to a third in ${significant(1e3 * fades)} ms`;
  });
  const { passivity, passiveSpring } = of;
  const where =
    passivity.needed.frequency === 0
      ? 'in slow motion'
      : `near ${significant(passivity.needed.frequency)} Hz`;
  const spring = passiveSpring > 0 ? `up to ${significant(passiveSpring)} N·m/rad` : 'never';
  return list([
    `${stableWord(of)}: ${each.join('; ')}.`,
    `${passiveWord(of)}: the joint damps by ${significant(passivity.own)} N·m·s/rad of its own and would need ${significant(passivity.needed.damping)} ${where}. A spring alone is passive ${spring}.`,
  ]);
}

function limitText(joint: DrivenJoint, of: JointImpedance): string {
  const row = (most: StableStiffness): string[] => [
    significant(most.joint.damping),
    most.joint.stiffness === 0 ? 'none' : significant(most.joint.stiffness),
    significant(most.software.stiffness),
    significant(most.software.damping),
    most.limitedBy === undefined ? 'the gears' : loadText(joint, most.limitedBy),
  ];
  const { best } = of;
  return [
    table(
      [
        { head: 'damper', unit: 'N·m·s/rad' },
        { head: 'stable up to', unit: 'N·m/rad' },
        { head: 'software', unit: 'N·m/rad' },
        { head: 'software', unit: 'N·m·s/rad' },
        { head: 'forbids more', align: 'left' },
      ],
      of.limits.map(row),
    ),
    paragraph(
      `Largest stable stiffness: ${significant(best.joint.stiffness)} N·m/rad, with about ${significant(best.joint.damping)} N·m·s/rad; more damping of filtered speed allows less.`,
    ),
  ].join('\n');
}

function takenOffText(joint: DrivenJoint, of: JointImpedance): string {
  const hertz = `at ${RENDERED_SHOWN} Hz`;
  return [
    paragraph(
      'Rotor inertia taken off by measured motion, filtered like the damper’s speed; in stance no motion is wished for, so that a feed-forward of it takes off nothing:',
    ),
    table(
      [
        { head: 'taken off', unit: '%' },
        { head: 'left, slow', unit: 'kg·m²' },
        { head: 'stiffness to', unit: 'Hz' },
        { head: hertz, unit: 'N·m/rad' },
        { head: hertz, unit: 'N·m·s/rad' },
        { head: 'stable up to', unit: 'N·m/rad' },
        { head: 'forbids more', align: 'left' },
      ],
      of.takenOff.map(({ share, slow, stiffnessBandwidth, rendered, limit }) => [
        fixed(100 * share, 0),
        significant(slow.inertia),
        stiffnessBandwidth === 0 ? 'nowhere' : significant(stiffnessBandwidth),
        significant(rendered.stiffness),
        significant(rendered.damping),
        limit.joint.stiffness === 0 ? 'none' : significant(limit.joint.stiffness),
        limit.limitedBy === undefined ? 'the gears' : loadText(joint, limit.limitedBy),
      ]),
    ),
    paragraph(
      'Without dry friction, but for the bandwidth. What comes late takes damping instead of inertia, and shakes elastic gears with a light limb on them: none, where no stiffness is stable. Passivity is not judged with it.',
    ),
  ].join('\n');
}

function encoderText({ encoder, joint }: JointImpedance): string {
  return paragraph(
    `Encoder at the ${joint.measuredAt}: ${significant(1e3 * degFromRad(encoder.step as Rad))} thousandths of a degree a step at the joint, ${significant(encoder.springTorque)} N·m of the spring and ${significant(encoder.dampingTorque)} N·m of the damper (${significant(encoder.plainDampingTorque)} unfiltered). More than 1–2 % of the torque the joint works with is heard and felt (COMMON PRACTICE).`,
  );
}

/** What the mismatch asks for. Bands: our proposal. */
function askedFor({ mismatch, limited }: RatioBurden['burden']): string {
  if (limited > 0) return 'more torque: the current limit holds it back';
  if (mismatch < 0.1) return 'human gains as they are';
  return mismatch <= 0.3 ? 'tuning by phase' : 'compensation or torque sensing';
}

function burdenText(joint: DrivenJoint, burden: readonly RatioBurden[]): string {
  return [
    paragraph(
      `Tuning burden of the ${joint} in stance, ${burden[0]!.burden.title}, same motor and gears: rms of the torque that is missing ÷ rms asked`,
    ),
    table(
      [
        { head: 'ratio' },
        { head: 'all' },
        { head: 'mendable' },
        { head: 'not' },
        { head: `constant ±${fixed(100 * CONSTANT_ERROR, 0)} %` },
        { head: 'ΔK', unit: 'N·m/rad' },
        { head: 'ΔB', unit: 'N·m·s/rad' },
        { head: 'at the current limit', unit: '%' },
        { head: 'so', align: 'left' },
      ],
      burden.map(({ ratio, burden: b, withConstantError }) => [
        `${significant(ratio)}:1`,
        fixed(b.mismatch, 3),
        fixed(b.mendable, 3),
        fixed(b.lasting, 3),
        fixed(withConstantError, 3),
        significant(b.stiffnessShift),
        significant(b.dampingShift),
        fixed(100 * b.limited, 0),
        askedFor(b),
      ]),
    ),
    paragraph(
      'ΔK and ΔB is what one spring and one damper for the whole stance would have to add; cut into phases more can be mended. A ΔB that outweighs the damper asks for one that gives energy, which passivity forbids. The bands of the last column, 0.10 and 0.30, are our proposal.',
    ),
  ].join('\n');
}

/** One row each joint and frequency. */
export const impedanceCsv = ({ joints, requested }: ImpedanceReport): string =>
  csv(
    [
      'joint',
      'frequency_Hz',
      'asked_stiffness_Nm_per_rad',
      'rendered_stiffness_Nm_per_rad',
      'asked_damping_Nms_per_rad',
      'rendered_damping_Nms_per_rad',
      'frictionless_damping_Nms_per_rad',
      'rendered_inertia_kgm2',
    ],
    joints.flatMap(({ joint, impedance }) =>
      'openBecause' in impedance
        ? []
        : impedance.rendered.map(({ frequency, stiffness, damping }, k) => [
            joint,
            frequency,
            requested.stiffness,
            stiffness,
            requested.damping,
            damping,
            impedance.frictionless[k]!.damping,
            impedance.inertia[k]!,
          ]),
    ),
  );
