import {
  type DrivenJoint,
  degFromRad,
  type HeldJoint,
  type JointBandwidth,
  type JointEndStop,
  type LegTouchdown,
  type Rad,
  type Rendered,
  type StudyInput,
  speedNoiseDifference,
  type TaskTones,
  TOUCHDOWN_SPEED,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed, GAP, significant } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { table } from './table.ts';

/** Ratios at which touchdown is compared, motor and gears kept. Our choice: from a low one to one of old. */
export const RATIOS = [9, 22, 50, 100] as const;

type Open = { readonly openBecause: string };

/** What the command found. */
export interface BandwidthReport {
  readonly joints: readonly {
    readonly joint: DrivenJoint;
    readonly bandwidth: JointBandwidth | Open;
    readonly endStop: JointEndStop | Open;
    readonly tones: readonly TaskTones[];
    readonly held?: HeldJoint;
  }[];
  readonly touchdown: LegTouchdown | Open;
  readonly byRatio: readonly { readonly ratio: number; readonly touchdown: LegTouchdown | Open }[];
  readonly rendered?: Rendered;
}

const degrees = (x: number): string => significant(degFromRad(x as Rad));

/** One line first: how fast half the torque and a small swing can go to and fro, with amplitude and bus. */
export function bandwidthVerdict({ joints }: BandwidthReport): string {
  if (joints.length === 0) return 'This leg drives no joint: it has no bandwidth.';
  const told = joints.map(({ joint, bandwidth }) => {
    if ('openBecause' in bandwidth) return `${joint} not known, ${bandwidth.openBecause}`;
    const torque = bandwidth.torqueReaches[1]!;
    const swing = bandwidth.positionReaches[1]!;
    return `${joint} ±${significant(torque.amplitude)} N·m to ${significant(torque.frequency)} Hz, ±${degrees(swing.amplitude)}° to ${significant(swing.frequency)} Hz`;
  });
  const bus = joints
    .map(({ bandwidth }) => ('openBecause' in bandwidth ? undefined : bandwidth.busVoltage))
    .find((voltage) => voltage !== undefined);
  return `To and fro on a ${significant(bus)} V bus: ${told.join('; ')}.`;
}

/** Each joint, touchdown by ratio, notes; cautions once. */
export function bandwidthText(input: StudyInput, report: BandwidthReport): string {
  return [
    ...report.joints.map((of) =>
      'openBecause' in of.bandwidth
        ? `${of.joint}: not predicted, ${of.bandwidth.openBecause}.`
        : jointText(input, of.joint, of.bandwidth, of, report.rendered),
    ),
    touchdownText(input, report),
    list([
      'Every number belongs to its amplitude, bus and load. The bus is stiff here, the motor cold, and no controller is in it: what one reaches, and whether it is stable against a wearer, is found on a bench.',
      'Torque with the output locked is passed on without feedback: near its natural frequency it rings, and backlash and dry friction take away more of a small one.',
      ...(report.joints.some(({ tones }) => tones.length > 0)
        ? [
            'Tones say where sound would stand, not how loud it is. No formula gives a level in dB(A) for a drive this small: record one, striderule drive sound.',
          ]
        : []),
    ]),
    CAUTION,
  ].join('\n\n');
}

function jointText(
  input: StudyInput,
  joint: DrivenJoint,
  b: JointBandwidth,
  { endStop, tones, held }: BandwidthReport['joints'][number],
  rendered: Rendered | undefined,
): string {
  const ratio = input.leg.joints[joint]!.transmission.ratio;
  return [
    `${joint}: ratio ${significant(ratio)}:1, bus ${significant(b.busVoltage)} V, link ${significant(b.linkInertia)} kg·m², rotor ${significant(b.rotorInertia)} kg·m² at the joint`,
    figureTable(joint, b),
    currentText(b),
    held === undefined || rendered === undefined ? '' : heldText(held, rendered),
    'openBecause' in endStop ? `End stop: not known, ${endStop.openBecause}.` : endStopText(endStop),
    tones.length === 0 ? '' : toneText(input, joint, tones),
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

/** One row each bandwidth, amplitude and load beside it. */
function figureTable(joint: DrivenJoint, b: JointBandwidth): string {
  const { torque } = b;
  const link = joint === 'knee' ? 'shank and foot' : 'foot';
  return table(
    [
      { head: 'what', align: 'left' },
      { head: 'amplitude', align: 'left' },
      { head: 'load', align: 'left' },
      { head: 'up to', unit: 'Hz' },
      { head: 'limited by', align: 'left' },
    ],
    [
      [
        'current',
        `${significant(b.limit.current)} A peak phase`,
        'rotor locked',
        significant(b.limit.frequency),
        'voltage',
      ],
      ...b.torqueReaches.map(({ amplitude, frequency, limitedBy }) => [
        'torque',
        `±${significant(amplitude)} N·m`,
        'output locked',
        significant(frequency),
        limitedBy,
      ]),
      [
        'torque, −3 dB',
        'small, no backlash',
        'output locked',
        significant(torque.bandwidth),
        `gears; rings at ${significant(torque.naturalFrequency)} Hz`,
      ],
      ...b.positionReaches.map(({ amplitude, frequency, limitedBy }) => [
        'position',
        `±${degrees(amplitude)}°`,
        link,
        significant(frequency),
        limitedBy,
      ]),
    ],
  );
}

function currentText(b: JointBandwidth): string {
  const { loop, limit } = b;
  const built =
    'openBecause' in loop
      ? `Current loop: not known, ${loop.openBecause}.`
      : `Current loop: −3 dB at ${significant(loop.bandwidth)} Hz as built, crossover ${significant(loop.crossover)} Hz, delay ${significant(loop.delay * 1e6)} µs, ${fixed(degFromRad(loop.phaseMargin), 0)}° of phase left; K_p ${significant(loop.proportional)} V/A, K_i ${significant(loop.integral)} V/(A·s).`;
  return [
    paragraph(`${built} Motor torque rises by at most ${significant(limit.slew)} N·m/s.`),
    table(
      [
        { head: 'task', align: 'left' },
        { head: 'peak current', unit: 'A peak phase' },
        { head: 'fastest shaft', unit: 'rad/s' },
        { head: 'induced', unit: 'V' },
        { head: 'bus lets pass', unit: 'Hz, both at once' },
      ],
      Object.entries(b.tasks).map(([id, task]) => [
        id,
        significant(task.current),
        significant(task.shaftSpeed),
        significant(task.emf),
        Number.isNaN(task.frequency) ? 'not even steady' : significant(task.frequency),
      ]),
    ),
  ].join('\n');
}

function heldText(held: HeldJoint, { stiffness, damping, period }: Rendered): string {
  const row = (name: string, r: HeldJoint['onError']): string[] => [
    name,
    significant(r.naturalFrequency),
    significant(r.dampingRatio),
    fixed(degFromRad(r.phaseMargin), 0),
    Number.isNaN(r.bandwidth) ? 'unstable' : significant(r.bandwidth),
  ];
  const passive =
    held.passiveStiffness > 0
      ? `passive up to ${significant(held.passiveStiffness)} N·m/rad`
      : `not passive at any stiffness: it damps more by software than the joint does by itself, ${significant(held.friction)} N·m·s/rad`;
  return [
    `Held by ${significant(stiffness)} N·m/rad and ${significant(damping)} N·m·s/rad each ${significant(period * 1e3)} ms, in the air, gears rigid, delay ${significant(held.delay * 1e3)} ms`,
    table(
      [
        { head: 'damper acts on', align: 'left' },
        { head: 'natural', unit: 'Hz' },
        { head: 'damping ratio' },
        { head: 'phase left', unit: '°' },
        { head: '−3 dB', unit: 'Hz' },
      ],
      [row('error', held.onError), row('measured speed', held.onSpeed)],
    ),
    paragraph(
      `Sampled, it is ${passive}; a spring alone, up to ${significant(held.passiveSpring)} N·m/rad. Dry friction, which helps, is not counted on.`,
    ),
  ].join('\n');
}

const endStopText = ({ motion, torque, held, undamped }: JointEndStop): string =>
  paragraph(
    `End stop, unpowered, at ${significant(motion.speed)} rad/s (${motion.title}): ${significant(torque)} N·m in the gears; ${significant(held)} N·m were the link held there.${
      undamped ? ' The stop’s damping is not known and taken as none.' : ''
    }`,
  );

/** Tones at each task's fastest instant. */
function toneText(input: StudyInput, joint: DrivenJoint, tones: readonly TaskTones[]): string {
  const { motor, transmission, inverter } = input.leg.joints[joint]!;
  const stages = transmission.planetary?.length ?? 0;
  const carrier = inverter?.switchingFrequency;
  const missing = [
    motor.cogging === undefined ? 'cogging: add `motor.cogging` with its order' : '',
    stages === 0
      ? 'teeth: add `transmission.stages`, each `kind: planetary` with `teeth: { sun, ring }`'
      : '',
    carrier === undefined ? 'carrier: add `electronics.switchingFrequency`' : '',
  ].filter((text) => text !== '');
  const others = RATIOS.filter((other) => other !== transmission.ratio).map(
    (other) => `${other}:1 ${signed(speedNoiseDifference(other / transmission.ratio))}`,
  );
  return [
    'Tones at the fastest instant, Hz; over the stride each sweeps from nothing up to here',
    table(
      [
        { head: 'task', align: 'left' },
        { head: 'shaft', unit: 'rad/s' },
        { head: 'electrical' },
        { head: 'torque ripple' },
        { head: 'cogging' },
        ...Array.from({ length: stages }, (_, k) => ({ head: `teeth, stage ${k + 1}` })),
      ],
      tones.map(({ task, shaftSpeed, electrical, ripple, cogging, mesh }) => [
        task,
        significant(shaftSpeed),
        ...[electrical, ripple, cogging, ...mesh].map((f) => (Number.isNaN(f) ? GAP : fixed(f, 0))),
      ]),
    ),
    paragraph(
      `${carrier === undefined ? '' : `Carrier at ${significant(carrier)} and ${significant(2 * carrier)} Hz. `}Sound of speed alone against this ratio, the same gears and joint speed, dB (COMMON PRACTICE, ±5): ${others.join(', ')}.`,
    ),
    ...(missing.length === 0 ? [] : [paragraph(`Not known: ${missing.join('; ')}.`)]),
  ].join('\n');
}

const signed = (x: number): string => `${x > 0 ? '+' : ''}${fixed(x, 0)}`;

function touchdownText(input: StudyInput, { touchdown, byRatio }: BandwidthReport): string {
  if ('openBecause' in touchdown) return `Touchdown: not known, ${touchdown.openBecause}.`;
  const row = (name: string, mass: number, force: number): string[] => [
    name,
    significant(mass),
    fixed(force, 0),
    significant(force / touchdown.forceWithoutRotors),
  ];
  const driven = Object.keys(input.leg.joints).length > 0;
  const left =
    touchdown.leftOut.length === 0 ? '' : `\n${paragraph(`Not judged: ${touchdown.leftOut.join('; ')}.`)}`;
  return [
    paragraph(
      `Touchdown: heel at ${fixed(TOUCHDOWN_SPEED, 1)} m/s in ${touchdown.title}, its heaviest; thigh unmoved, hip and trunk infinitely heavy: an upper bound, for comparing`,
    ),
    `${table(
      [
        { head: 'leg', align: 'left' },
        { head: 'mass at the heel', unit: 'kg' },
        { head: 'peak force', unit: 'N' },
        { head: '÷ without rotors' },
      ],
      [
        row('without rotors', touchdown.massWithoutRotors, touchdown.forceWithoutRotors),
        row('as it is', touchdown.mass, touchdown.force),
        ...(driven
          ? byRatio.map(({ ratio, touchdown: other }) =>
              'openBecause' in other
                ? [`${ratio}:1`, GAP, GAP, GAP]
                : row(`${ratio}:1, same motors`, other.mass, other.force),
            )
          : []),
      ],
    )}${left}`,
  ].join('\n');
}
