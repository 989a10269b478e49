import type { Metric } from './metric.ts';
import { type SensedError, sensedSwing } from './sensor-budget.ts';
import { estimateSettling, walkEstimate } from './walk-estimate.ts';
import { worstOfWalks } from './worst-of-walks.ts';

const MODEL =
  'The leg swings in one plane, the published thigh, and the errors are as large as the leg file says, to the worse side: what the bench finds of the sensor goes there.';
const PROVE =
  'A thigh that is misread moves a foot that carries a person: try the sensor on a bench, then unloaded with an emergency stop, then in an overhead harness; the ethics board, local codes and a licensed prosthetist decide.';
const HULL =
  'Only of walking: stairs, turns and standing up are for the state machine to tell apart. Outside what it was tried on it refuses.';

const READS = [
  'leg.controller.period',
  'leg.controller.delayPeriods',
  ...[
    'position.x',
    'position.z',
    'angle',
    'roll',
    'turn',
    'poseError',
    'rate',
    'gyroNoise',
    'accelerometerNoise',
    'bias',
    'drift',
    'accelerometerBias',
    'delay',
    'mounting.frequency',
    'mounting.damping',
  ].map((field) => `leg.thighSensor.${field}`),
  'leg.segments.thighLength',
  'leg.segments.shank.length',
  'wearer.height',
];

const degrees = (x: number): string => `${((x * 180) / Math.PI).toFixed(1)}°`;
const millimetres = (x: number): string => `${(x * 1e3).toFixed(1)} mm`;

const sensed = (of: (error: SensedError) => { readonly value: number; readonly tell: string }) =>
  worstOfWalks((input, task) => {
    const error = sensedSwing(input, task);
    return 'openBecause' in error ? error : of(error);
  }, 'larger');

const refusal = (refused: number, stances: number): string =>
  refused === 0 ? '' : `; ${refused} of ${stances} stances refused`;

/** What the thigh's sensor makes of swing, and of speed and slope. */
export const sensorMetrics: Readonly<Record<string, Metric>> = {
  sensedPhaseError: {
    title: 'Phase moved by the errors of the thigh sensor',
    kind: 'pure number',
    unit: '1',
    only: 'leg',
    formula: 'max |s(θ as read) − s(θ)| in swing, ten strides',
    chapter: 'control.md#error-budget',
    reads: READS,
    cautions: [MODEL, PROVE],
    value: sensed(({ phase, thigh }) => ({
      value: phase.worst,
      tell: `of a stride; the thigh is read up to ${degrees(thigh.worst)} off`,
    })),
  },
  footPlacementError: {
    title: 'Foot put down elsewhere by the errors of the thigh sensor',
    kind: 'length',
    unit: 'm',
    only: 'leg',
    formula: '|ankle axis(q(s as read)) − ankle axis(q(s))| at contact, the same thigh',
    chapter: 'control.md#error-budget',
    reads: READS,
    cautions: [MODEL, PROVE],
    value: sensed(({ placement, path }) => ({
      value: placement,
      tell: `up to ${millimetres(path)} off its path before`,
    })),
  },
  speedEstimateError: {
    title: 'Walking speed misjudged',
    kind: 'pure number',
    unit: '1',
    only: 'leg',
    formula: 'max |D/t_stance/v − 1| over six stances',
    chapter: 'control.md#speed-and-slope',
    reads: READS,
    cautions: [HULL, MODEL, PROVE],
    value: worstOfWalks((input, task) => {
      const estimate = walkEstimate(input, task);
      if ('openBecause' in estimate) return estimate;
      const { sensed: s, known, speed } = estimate;
      if (Number.isNaN(s.speed)) return { openBecause: 'every stance is refused' };
      return {
        value: Math.abs(s.speed),
        tell: `of ${speed.toFixed(2)} m/s; with the thigh known ${(100 * Math.abs(known.speed)).toFixed(1)} %${refusal(s.refused, s.stances)}`,
      };
    }, 'larger'),
  },
  inclineEstimateError: {
    title: 'Slope of the ground misjudged, on the level',
    kind: 'angle',
    unit: 'rad',
    only: 'leg',
    formula: 'max |mean φ_3 of the flat foot − flat(v̂)| over six stances',
    chapter: 'control.md#speed-and-slope',
    reads: READS,
    cautions: [
      HULL,
      'What stays the same from stride to stride goes away by zeroing on level ground with the sensor in place.',
      MODEL,
      PROVE,
    ],
    value: worstOfWalks((input, task) => {
      const estimate = walkEstimate(input, task);
      if ('openBecause' in estimate) return estimate;
      const { sensed: s, known } = estimate;
      if (Number.isNaN(s.incline)) return { openBecause: 'every stance is refused' };
      return {
        value: Math.abs(s.incline),
        tell: `with the thigh known ${degrees(Math.abs(known.incline))}; from stride to stride ${degrees(s.inclineScatter)}${refusal(s.refused, s.stances)}`,
      };
    }, 'larger'),
  },
  estimateSettling: {
    title: 'Strides until speed and slope are known after a change',
    kind: 'pure number',
    unit: '1',
    only: 'leg',
    formula: 'strides from the change on until within 0.05 m/s and 0.5° of where it stays',
    chapter: 'control.md#speed-and-slope',
    reads: READS,
    cautions: [HULL, PROVE],
    value: worstOfWalks((input, task) => {
      const changes = estimateSettling(input, task);
      if ('openBecause' in changes) return changes;
      const slowest = changes.map(({ change, speed, incline }) => ({
        change,
        strides: Math.max(speed, incline),
      }));
      const never = slowest.find(({ strides }) => Number.isNaN(strides));
      if (never !== undefined) return { openBecause: `${never.change}: it never settles` };
      const worst = slowest.reduce((a, b) => (b.strides > a.strides ? b : a));
      return { value: worst.strides, tell: `${worst.change}, the stride of the change counted` };
    }, 'larger'),
  },
};
