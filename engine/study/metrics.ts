import type { Kind } from '../quantity/dimension.ts';
import { continuousTorque, hottest, peakTorqueTime, standingWinding } from './heat-metric.ts';
import { figure, type MetricFunction, type OverTasks, swingFigure, worst } from './metric-value.ts';

/** One entry of the catalogue: what a requirement may name. */
export interface Metric {
  readonly title: string;
  readonly kind: Kind;
  /** SI unit as shown. */
  readonly unit: string;
  readonly formula: string;
  /** Chapter and heading in docs/. */
  readonly chapter: string;
  /** Inputs it reads, relative to the joint, such as `transmission.ratio`; `leg.` and `wearer.` paths are absolute. */
  readonly reads: readonly string[];
  readonly cautions: readonly string[];
  readonly value: MetricFunction;
}

const STRENGTH =
  'A prediction: prove it on a tethered bench with an emergency stop before anybody stands on the joint; standards, local codes, the ethics board and a licensed prosthetist decide.';
const COLLAPSE =
  'A joint that gravity moves can collapse when power is cut in stance: treat easy back-driving as a hazard until the loss of power has been rehearsed.';
const SMALL_SWING =
  'Of small swings: a large one is slower, by 4 % at 45° and 18 % at 90°. Coulomb friction does not change it.';
const HEAT =
  'Two nodes and typed resistances: prove winding and surface temperature on a tethered bench, in the warmest air and with the cover and clothing of use, before anybody wears the leg. What may be touched, and for how long, is said by the standards that apply, local codes, the ethics board and licensed practice.';

const MOTOR = [
  'transmission.ratio',
  'transmission.drivingEfficiency',
  'transmission.backDrivenEfficiency',
  'transmission.inputInertia',
  'transmission.outputInertia',
  'transmission.outputCoulomb',
  'transmission.outputViscous',
  'parallelSpring.stiffness',
  'parallelSpring.equilibrium',
  'motor.rotorInertia',
  'motor.coulombDrag',
  'motor.viscousDrag',
];
const TORQUE_CURVE = ['motor.fluxLinkage', 'motor.polePairs', 'motor.saturationCurrent'];
const CURRENT_LIMIT = ['currentLimit', 'motor.peakCurrent'];
const PENDULUM = [
  'leg.segments.shank.mass',
  'leg.segments.shank.centre.z',
  'leg.segments.shank.length',
  'leg.segments.foot.mass',
  'leg.segments.foot.centre.z',
];
const SEGMENT_INERTIAS = ['leg.segments.shank.inertia', 'leg.segments.foot.inertia'];
const THERMAL = [
  'leg.ambientTemperature',
  'thermal.windingToHousing',
  'thermal.housingToAmbient',
  'motor.resistance',
  'motor.referenceTemperature',
  'motor.copperCoefficient',
];
const CAPACITIES = ['thermal.windingCapacity', 'thermal.housingCapacity'];
const MAGNETS = 'motor.magnetCoefficient';
const DEMAND = ['wearer.mass', 'wearer.height', ...PENDULUM, ...SEGMENT_INERTIAS];

/** `worst` as a metric: the same figure over every task, or of the one a requirement names. */
const overTasks =
  (how: OverTasks): MetricFunction =>
  (_, design, joint, task) =>
    worst(design, joint, task, how);

/** Every metric a requirement may name. */
export const metricCatalogue: Readonly<Record<string, Metric>> = {
  peakMotorTorque: {
    title: 'Peak motor torque',
    kind: 'torque',
    unit: 'N·m',
    formula: 'max |N·(J_m + J_in)·θ̈ + drag + τ_g/(N·η_f) or τ_g·η_b/N|',
    chapter: 'drive.md#motor-torque',
    reads: [...MOTOR, ...DEMAND],
    cautions: [STRENGTH],
    value: overTasks({
      of: (l) => ({ value: l.peakTorque, index: l.peakTorqueIndex }),
      worse: 'larger',
      missing: 'no moment',
    }),
  },
  rmsMotorTorque: {
    title: 'RMS motor torque, one task',
    kind: 'torque',
    unit: 'N·m',
    formula: '√⟨τ_m²⟩ over the stride',
    chapter: 'drive.md#motor-torque',
    reads: [...MOTOR, ...DEMAND],
    cautions: [],
    value: overTasks({ of: (l) => ({ value: l.rmsTorque }), worse: 'larger', missing: 'no moment' }),
  },
  scheduleRmsMotorTorque: {
    title: 'RMS motor torque over the schedule',
    kind: 'torque',
    unit: 'N·m',
    formula: '√(Σ t·τ_rms²/Σ t)',
    chapter: 'drive.md#motor-torque',
    reads: [...MOTOR, ...DEMAND],
    cautions: [],
    value: (_, design, joint) => {
      const s = design.schedule[joint];
      if (s === undefined || Number.isNaN(s.rmsTorque))
        return { openBecause: `no task of the schedule has a ${joint} curve with moments` };
      const without = s.leftOut.length === 0 ? '' : `; without curve and left out: ${s.leftOut.join(', ')}`;
      return { value: s.rmsTorque, at: `${(s.time / 3600).toFixed(2)} h of the schedule${without}` };
    },
  },
  peakMotorCurrent: {
    title: 'Peak motor current',
    kind: 'current',
    unit: 'A peak phase',
    formula: 'i = (τ_m/K_t)/√(1 − (τ_m/(K_t·I_s))²)',
    chapter: 'drive.md#temperature-and-saturation',
    reads: [...MOTOR, ...TORQUE_CURVE, ...DEMAND],
    cautions: [STRENGTH],
    value: overTasks({
      of: (l) => ({ value: l.peakCurrent, index: l.peakTorqueIndex }),
      worse: 'larger',
      missing: 'no moment',
    }),
  },
  torqueMargin: {
    title: 'Torque, limit ÷ need',
    kind: 'pure number',
    unit: '1',
    formula: 'τ_m(i_max)/max |τ_m|; peaks-only tasks: [N·η_f·(τ_m(i_max) − τ_c) − τ_c,out]/τ',
    chapter: 'drive.md#joint-torque',
    reads: [...MOTOR, ...CURRENT_LIMIT, ...TORQUE_CURVE, ...DEMAND],
    cautions: [STRENGTH],
    value: overTasks({
      of: (l) => ({ value: l.torqueMargin, index: l.peakTorqueIndex }),
      ofPeaks: (p) => p.torqueMargin,
      worse: 'smaller',
      missing: 'no moment',
    }),
  },
  speedMargin: {
    title: 'Speed, limit ÷ need',
    kind: 'pure number',
    unit: '1',
    formula: 'min ω(i)/(N·|θ̇|) on the voltage circle; without a moment and for peaks only, unloaded',
    chapter: 'drive.md#voltage-limit',
    reads: [
      'leg.busVoltage',
      'voltageMargin',
      'modulation',
      'motor.inductanceQ',
      'motor.resistance',
      ...TORQUE_CURVE,
      ...MOTOR,
      ...DEMAND,
    ],
    cautions: ['The bus is taken stiff: its sag under load lowers the limit and is not in this number.'],
    value: overTasks({
      of: (l) => ({ value: l.speedMargin, index: l.speedMarginIndex }),
      ofPeaks: (p) => p.speedMargin,
      worse: 'smaller',
      missing: 'no motion',
    }),
  },
  peakJointTorqueLossless: {
    title: 'Peak joint torque, lossless',
    kind: 'torque',
    unit: 'N·m',
    formula: 'N·τ_m(i_max)',
    chapter: 'drive.md#joint-torque',
    reads: ['transmission.ratio', ...CURRENT_LIMIT, ...TORQUE_CURVE],
    cautions: ['Not what the wearer can lean on: see peak joint torque.', STRENGTH],
    value: figure((f) => f.peakTorqueLossless, 'beyond saturation'),
  },
  peakJointTorque: {
    title: 'Peak joint torque',
    kind: 'torque',
    unit: 'N·m',
    formula: 'N·η_f·(τ_m(i_max) − τ_c) − τ_c,out',
    chapter: 'drive.md#joint-torque',
    reads: [
      'transmission.ratio',
      'transmission.drivingEfficiency',
      'transmission.outputCoulomb',
      ...CURRENT_LIMIT,
      'motor.coulombDrag',
      ...TORQUE_CURVE,
    ],
    cautions: [STRENGTH],
    value: figure((f) => f.peakTorque, 'beyond saturation'),
  },
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
  windingTemperature: {
    title: 'Winding over the schedule',
    kind: 'temperature',
    unit: 'K',
    formula: 'max T_w: C_w·Ṫ_w = P·[1 + α·(T_w − T_0)] − (T_w − T_h)/R_wh, P = ⟨1.5·R·i²⟩ per task',
    chapter: 'drive.md#heat',
    reads: [...THERMAL, ...CAPACITIES, MAGNETS, 'thermal.windingLimit', ...TORQUE_CURVE, ...MOTOR, ...DEMAND],
    cautions: [HEAT],
    value: hottest('winding'),
  },
  surfaceTemperature: {
    title: 'Touchable surface over the schedule',
    kind: 'temperature',
    unit: 'K',
    formula: 'max T_h: C_h·Ṫ_h = (T_w − T_h)/R_wh + P_h − (T_h − T_a)/R_ha',
    chapter: 'drive.md#heat',
    reads: [...THERMAL, ...CAPACITIES, MAGNETS, 'thermal.windingLimit', ...TORQUE_CURVE, ...MOTOR, ...DEMAND],
    cautions: ['The housing is one temperature here; a real one has a hottest spot.', HEAT],
    value: hottest('housing'),
  },
  standingWindingTemperature: {
    title: 'Winding, standing for ever',
    kind: 'temperature',
    unit: 'K',
    formula: 'T_k = T_h + R_wh·s·P·[1 + α·(T_h − T_0)]/(1 − α·R_wh·s·P), s = 2 in the hottest phase',
    chapter: 'drive.md#standing-still',
    reads: [
      ...THERMAL,
      MAGNETS,
      ...TORQUE_CURVE,
      'transmission.ratio',
      'transmission.drivingEfficiency',
      'wearer.mass',
    ],
    cautions: [HEAT],
    value: standingWinding,
  },
  timeAtPeakTorque: {
    title: 'Time at peak torque',
    kind: 'time',
    unit: 's',
    formula: 't until T_k = T_max in the hottest stalled phase at i_max, from the schedule’s hottest moment',
    chapter: 'drive.md#time-at-peak-torque',
    reads: [
      ...THERMAL,
      ...CAPACITIES,
      MAGNETS,
      'thermal.windingLimit',
      ...CURRENT_LIMIT,
      ...TORQUE_CURVE,
      ...MOTOR,
      ...DEMAND,
    ],
    cautions: [HEAT],
    value: peakTorqueTime,
  },
  continuousMotorTorque: {
    title: 'Continuous motor torque',
    kind: 'torque',
    unit: 'N·m',
    formula: 'f(T_m)·τ(i), 1.5·R·i² = (T_max − T_a)/(R_t·[1 + α·(T_max − T_0)])',
    chapter: 'drive.md#heat',
    reads: [...THERMAL, MAGNETS, 'thermal.windingLimit', ...TORQUE_CURVE],
    cautions: ['Turning: a stalled motor holds less, since one phase takes up to twice the mean loss.', HEAT],
    value: continuousTorque,
  },
  renderedStiffness: {
    title: 'Largest stable rendered stiffness',
    kind: 'rotational stiffness',
    unit: 'N·m/rad',
    formula: 'of the sampled loop with delay and current bandwidth',
    chapter: 'evidence.md#the-line',
    reads: [],
    cautions: [],
    value: () => ({
      openBecause: 'not predicted yet: it needs the controller, which comes with the control stage',
    }),
  },
};
