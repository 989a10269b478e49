import { transparencyShares } from '../drive/transparency.ts';
import type { Metric } from './metric.ts';
import { COLLAPSE } from './metric-cautions.ts';
import { CURRENT_LIMIT, PENDULUM, SEGMENT_INERTIAS, TORQUE_CURVE } from './metric-inputs.ts';
import { figure, type MetricFunction, swingFigure } from './metric-value.ts';

const SMALL_SWING =
  'Of small swings: a large one is slower, by 4 % at 45° and 18 % at 90°. Coulomb friction does not change it.';

/** One share of how little the joint is in the way. */
const share =
  (of: 'backdriveShare' | 'inertiaShare', why: string): MetricFunction =>
  (input, _, joint) => {
    const drive = input.leg.joints[joint];
    if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
    const value = transparencyShares(drive, joint, input.leg.segments)[of];
    return value > 0 ? { value } : { openBecause: why };
  };

/** How hard the joint is to move when nobody powers it. */
export const backDriveMetrics: Readonly<Record<string, Metric>> = {
  reflectedInertia: {
    title: 'Reflected inertia',
    kind: 'moment of inertia',
    unit: 'kg·m²',
    formula: 'N²·(J_m + J_in) + J_out',
    chapter: 'drive.md#reflected-inertia',
    reads: [
      'transmission.ratio',
      'motor.rotorInertia',
      'transmission.inputInertia',
      'transmission.outputInertia',
    ],
    cautions: [],
    value: figure((f) => f.reflectedInertia, 'not known'),
  },
  breakawayTorque: {
    title: 'Breakaway, unpowered',
    kind: 'torque',
    unit: 'N·m',
    formula: 'N·τ_s/η_b + τ_s,out',
    chapter: 'drive.md#back-driving',
    reads: [
      'transmission.ratio',
      'transmission.backDrivenEfficiency',
      'transmission.outputBreakaway',
      'motor.breakawayDrag',
    ],
    cautions: [COLLAPSE],
    value: figure((f) => f.breakaway, 'not known'),
  },
  dynamicBackdriveTorque: {
    title: 'Back-drive at 3 rad/s, unpowered',
    kind: 'torque',
    unit: 'N·m',
    formula: 'N·(τ_c + b·N·θ̇)/η_b + τ_c,out + b_out·θ̇',
    chapter: 'drive.md#back-driving',
    reads: [
      'transmission.ratio',
      'transmission.backDrivenEfficiency',
      'transmission.outputCoulomb',
      'transmission.outputViscous',
      'motor.coulombDrag',
      'motor.viscousDrag',
    ],
    cautions: [COLLAPSE],
    value: figure((f) => f.backDrive, 'not known'),
  },
  deadAngle: {
    title: 'Dead angle of the unpowered knee',
    kind: 'angle',
    unit: 'rad',
    only: 'knee',
    formula: 'asin(τ_bd/(m·g·l))',
    chapter: 'drive.md#free-swing',
    reads: [
      'transmission.ratio',
      'transmission.backDrivenEfficiency',
      'transmission.outputBreakaway',
      'motor.breakawayDrag',
      ...PENDULUM,
    ],
    cautions: [COLLAPSE],
    value: swingFigure(
      (s) => s.deadAngle,
      'breakaway is more than gravity’s torque at any angle: the unpowered knee never moves by itself',
    ),
  },
  freeSwingHalfPeriod: {
    title: 'Half period of the free swing',
    kind: 'time',
    unit: 's',
    only: 'knee',
    formula: 'π/(ω_n·√(1 − ζ²)), ω_n = √(m·g·l/(J + J_ref))',
    chapter: 'drive.md#free-swing',
    reads: [
      'transmission.ratio',
      'transmission.backDrivenEfficiency',
      'transmission.inputInertia',
      'transmission.outputInertia',
      'transmission.outputViscous',
      'motor.rotorInertia',
      'motor.viscousDrag',
      ...PENDULUM,
      ...SEGMENT_INERTIAS,
    ],
    cautions: [SMALL_SWING],
    value: swingFigure((s) => s.halfPeriod, 'damped too much: the knee creeps back without swinging'),
  },
  backdriveShare: {
    title: 'Breakaway ÷ peak joint torque',
    kind: 'pure number',
    unit: '1',
    formula: '(N·τ_s/η_b + τ_s,out)/(N·η_f·(τ_m(i_max) − τ_c) − τ_c,out)',
    chapter: 'drive.md#transparency',
    reads: [
      'transmission.ratio',
      'transmission.drivingEfficiency',
      'transmission.backDrivenEfficiency',
      'transmission.outputBreakaway',
      'transmission.outputCoulomb',
      'motor.breakawayDrag',
      'motor.coulombDrag',
      ...CURRENT_LIMIT,
      ...TORQUE_CURVE,
    ],
    cautions: [COLLAPSE],
    value: share(
      'backdriveShare',
      'no torque is left after drag and mesh, so there is nothing to set breakaway against',
    ),
  },
  inertiaShare: {
    title: 'Reflected inertia ÷ inertia of the limb',
    kind: 'pure number',
    unit: '1',
    formula: '(N²·(J_m + J_in) + J_out)/J_limb about the joint',
    chapter: 'drive.md#transparency',
    reads: [
      'transmission.ratio',
      'motor.rotorInertia',
      'transmission.inputInertia',
      'transmission.outputInertia',
      ...PENDULUM,
      ...SEGMENT_INERTIAS,
    ],
    cautions: [],
    value: share('inertiaShare', 'neither rotor nor gears have an inertia'),
  },
};
