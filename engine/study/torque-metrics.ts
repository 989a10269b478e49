import type { Metric } from './metric.ts';
import { STIFF_BUS, STRENGTH } from './metric-cautions.ts';
import { CURRENT_LIMIT, DEMAND, MOTOR, TORQUE_CURVE } from './metric-inputs.ts';
import { figure, type MetricFunction, type OverTasks, worst } from './metric-value.ts';

/** `worst` as a metric: the same figure over every task, or of the one a requirement names. */
const overTasks =
  (how: OverTasks): MetricFunction =>
  (_, design, joint, task) =>
    worst(design, joint, task, how);

/** Torque, current and speed against their limits. */
export const torqueMetrics: Readonly<Record<string, Metric>> = {
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
    cautions: [STIFF_BUS],
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
};
