import type { JointDrive } from '../drive/leg-drive.ts';
import { linkInertia } from '../drive/link-inertia.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import { shownUnit } from '../quantity/shown-unit.ts';
import { jointTorqueResponse, ledgerPositionReach, ledgerTorqueReach, taskCurrent } from './bandwidth.ts';
import { jointEndStop } from './end-stop.ts';
import type { Metric } from './metric.ts';
import { STIFF_BUS, STRENGTH } from './metric-cautions.ts';
import { CURRENT_LIMIT, DEMAND, MOTOR, PENDULUM, SEGMENT_INERTIAS, TORQUE_CURVE } from './metric-inputs.ts';
import { type MetricFunction, type MetricValue, worst } from './metric-value.ts';
import type { StudyInput } from './study-input.ts';
import { legTouchdown, TOUCHDOWN_SPEED } from './touchdown.ts';

const QUOTED =
  'A bandwidth belongs to its amplitude, bus and load, which stand beside it: without them two numbers cannot be compared.';
const NO_CONTROL =
  'A bound of the hardware, not of a controller: what a controller reaches, and whether it is stable against a wearer, is found on a tethered bench first.';

const BUS = ['leg.busVoltage', 'voltageMargin', 'modulation', 'motor.inductanceQ', 'motor.resistance'];
const ROTOR = [
  'transmission.ratio',
  'motor.rotorInertia',
  'transmission.inputInertia',
  'transmission.outputInertia',
];
const GEARS = [
  ...ROTOR,
  'transmission.torsionalStiffness',
  'motor.viscousDrag',
  'transmission.outputViscous',
];

const three = (x: number): string => x.toPrecision(3);
const degrees = (x: number): string => `${three(shownUnit('rad').of(x))}°`;
const onBus = (input: StudyInput): string => `bus ${three(input.leg.busVoltage)} V`;

/** A figure of the joint's drive, or that there is none. */
const ofDrive =
  (of: (drive: JointDrive, input: StudyInput, joint: 'knee' | 'ankle') => MetricValue): MetricFunction =>
  (input, _, joint) => {
    const drive = input.leg.joints[joint];
    return drive === undefined ? { openBecause: `the leg has no ${joint} drive` } : of(drive, input, joint);
  };

/** The lesser of the loop as built and what the bus lets through, over the tasks. */
const currentBandwidth: MetricFunction = (input, design, joint, only) => {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
  const { currentBandwidth: built } = drive;
  if (built === undefined)
    return {
      openBecause: `the leg file’s \`electronics\` of the ${joint} have no \`currentBandwidth\`: add the −3 dB frequency of the current loop as built`,
    };
  const { busVoltage } = input.leg;
  const found = worst(design, joint, only, {
    of: (load) => {
      if (Number.isNaN(load.peakCurrent)) return { value: Number.NaN };
      // no frequency is left where not even a steady current passes
      const { frequency } = taskCurrent(drive, busVoltage, load);
      return { value: Number.isNaN(frequency) ? 0 : frequency };
    },
    worse: 'smaller',
    missing: 'no moment',
  });
  if ('openBecause' in found || found.task === undefined) return found;
  const { current, shaftSpeed, emf } = taskCurrent(drive, busVoltage, design.loads[found.task]![joint]!);
  const cause =
    found.value === 0
      ? 'the bus does not even hold it steadily'
      : found.value < built
        ? 'the bus is the limit'
        : 'the loop as built is the limit';
  return {
    ...found,
    value: Math.min(built, found.value),
    at: `amplitude ${three(current)} A, ${onBus(input)}, shaft at ${three(shaftSpeed)} rad/s (${three(emf)} V induced), ${cause}; ${found.at}`,
  };
};

/** Current, torque and position against frequency, and what inertia does when the leg or a stop is struck. */
export const bandwidthMetrics: Readonly<Record<string, Metric>> = {
  currentBandwidth: {
    title: 'Current bandwidth at the task’s peak current',
    kind: 'frequency',
    unit: 'Hz',
    formula: 'min(f as built, √(((V − e)/î)² − R²)/(2πL)), e = p·ω·λ at the fastest shaft',
    chapter: 'drive.md#current-loop',
    reads: ['currentBandwidth', ...BUS, ...TORQUE_CURVE, ...MOTOR, ...DEMAND],
    cautions: [
      QUOTED,
      'Peak current and fastest shaft are taken together and in phase, which is worse than they come.',
      STIFF_BUS,
    ],
    value: currentBandwidth,
  },
  torqueBandwidth: {
    title: 'Torque bandwidth, output locked, −3 dB',
    kind: 'frequency',
    unit: 'Hz',
    formula: 'ω_n·√(1 − 2ζ² + √((1 − 2ζ²)² + 1))/2π, ω_n = √(K_g/J_ref), ζ = b/(2√(K_g·J_ref))',
    chapter: 'drive.md#torque-bandwidth',
    reads: GEARS,
    cautions: [
      QUOTED,
      'Motor torque is taken as commanded and there is no torque feedback: up to here torque is passed on, not kept in hand, and near the natural frequency it rings.',
      NO_CONTROL,
    ],
    value: ofDrive((drive) => {
      const { bandwidth, naturalFrequency, resonance } = jointTorqueResponse(drive);
      return {
        value: bandwidth,
        at: `small amplitude without backlash and dry friction, output locked, no bus limit; rings at ${three(naturalFrequency)} Hz, ${resonance === Number.POSITIVE_INFINITY ? 'undamped' : `${three(resonance)} times what is commanded`}`,
      };
    }),
  },
  largeSignalTorqueBandwidth: {
    title: 'Torque at half its peak, to and fro, output locked',
    kind: 'frequency',
    unit: 'Hz',
    formula: 'largest f: v_d² + v_q² ≤ V², |i| ≤ i_max, N·τ_m = J_ref·δ̈ + b·δ̇ + K_g·δ, K_g·δ = A·sin ωt',
    chapter: 'drive.md#torque-bandwidth',
    reads: [
      ...BUS,
      ...CURRENT_LIMIT,
      ...TORQUE_CURVE,
      ...GEARS,
      'transmission.drivingEfficiency',
      'transmission.outputCoulomb',
      'motor.coulombDrag',
    ],
    cautions: [QUOTED, STIFF_BUS, NO_CONTROL],
    value: ofDrive((drive, input) => {
      const { amplitude, frequency, limitedBy } = ledgerTorqueReach(drive, input.leg.busVoltage);
      if (Number.isNaN(frequency))
        return { openBecause: `±${three(amplitude)} N·m cannot even be held: ${limitedBy} does not suffice` };
      return {
        value: frequency,
        at: `amplitude ${three(amplitude)} N·m, ${onBus(input)}, output locked; ${limitedBy} is the limit`,
      };
    }),
  },
  positionBandwidth: {
    title: 'Position by ±0.1 rad, to and fro',
    kind: 'frequency',
    unit: 'Hz',
    formula: 'largest f: torque and speed margin ≥ 1 for θ = A·sin ωt, τ = J_link·θ̈',
    chapter: 'drive.md#position-bandwidth',
    reads: [
      ...BUS,
      ...CURRENT_LIMIT,
      ...TORQUE_CURVE,
      ...MOTOR.filter((path) => !path.startsWith('parallelSpring')),
      ...PENDULUM,
      ...SEGMENT_INERTIAS,
    ],
    cautions: [
      QUOTED,
      'Gravity, a parallel spring and the gears’ elasticity are not in it.',
      STIFF_BUS,
      NO_CONTROL,
    ],
    value: ofDrive((drive, input, joint) => {
      const link = linkInertia(joint, input.leg.segments);
      const { amplitude, frequency, limitedBy } = ledgerPositionReach(drive, input.leg.busVoltage, link);
      if (Number.isNaN(frequency))
        return {
          openBecause: `friction alone asks for more than the drive has: ${limitedBy} does not suffice`,
        };
      const rotor = reflectedInertia(drive.motor, drive.transmission);
      return {
        value: frequency,
        at: `amplitude ${degrees(amplitude)}, ${onBus(input)}, load ${three(link)} kg·m² of ${joint === 'knee' ? 'shank and foot' : 'the foot'} and ${three(rotor)} of the rotor; ${limitedBy} is the limit`,
      };
    }),
  },
  impactForce: {
    title: 'Peak force at touchdown',
    kind: 'force',
    unit: 'N',
    formula: 'max k·x^1.5·(1 + d·ẋ), m·ẍ = −k·x^1.5·(1 + d·ẋ), 1/m = jᵀ·M⁻¹·j with J_ref on both joints',
    chapter: 'drive.md#touchdown',
    reads: [
      'leg.foot.heelStiffness',
      'leg.foot.damping',
      ...(['knee', 'ankle'] as const).flatMap((joint) => ROTOR.map((path) => `leg.joints.${joint}.${path}`)),
      ...PENDULUM,
      ...SEGMENT_INERTIAS,
    ],
    only: 'leg',
    cautions: [
      'At unchanged thigh motion, hip and trunk infinitely heavy: an upper bound, for comparing one leg with another.',
      STRENGTH,
    ],
    value: (input, design, _, only) => {
      const touch = legTouchdown(input, design, { ...(only !== undefined && { only }) });
      if ('openBecause' in touch) return touch;
      const left = touch.leftOut.length === 0 ? '' : `; not judged: ${touch.leftOut.join('; ')}`;
      return {
        value: touch.force,
        at: `${touch.title}, heel at ${TOUCHDOWN_SPEED} m/s with ${three(touch.mass)} kg; without rotors ${three(touch.massWithoutRotors)} kg and ${three(touch.forceWithoutRotors)} N${left}`,
        task: touch.task,
      };
    },
  },
  hardStopTorque: {
    title: 'Gear torque at the end stop',
    kind: 'torque',
    unit: 'N·m',
    formula: 'max K_g·|θ_r − θ_l| while the stop catches the link; of a link that is held q̇·√(K_g·J_ref)',
    chapter: 'drive.md#end-stop',
    reads: [
      'endStop.stiffness',
      'endStop.damping',
      ...ROTOR,
      'transmission.torsionalStiffness',
      ...PENDULUM,
      ...SEGMENT_INERTIAS,
    ],
    cautions: ['Gears undamped, nobody powered, the joint as fast as any task moves it.', STRENGTH],
    value: (input, design, joint, only) => {
      const stop = jointEndStop(input, design, joint, only);
      if ('openBecause' in stop) return stop;
      const { motion, torque, held, undamped } = stop;
      return {
        value: torque,
        at: `${motion.title}, ${three(motion.speed)} rad/s into the stop; ${three(held)} N·m of a link that is held${undamped ? '; the stop’s damping is not known and taken as none' : ''}`,
        task: motion.task,
      };
    },
  },
};
