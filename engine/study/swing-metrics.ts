import type { Metric } from './metric.ts';
import type { MetricFunction } from './metric-value.ts';
import type { StudyInput } from './study-input.ts';
import { swingClearance } from './swing-clearance.ts';
import { type SwingFollow, swingFollow } from './swing-follow.ts';
import { swingSteadiness } from './swing-steadiness.ts';
import { swingWhatIf } from './swing-what-if.ts';
import { worstOfWalks } from './worst-of-walks.ts';

const COMMANDS =
  'Of commands: the joints are taken to do what they are told, the leg to be unloaded when the stride says so. What the joints make of it stays to be shown.';
const PROVE =
  'Swing is tried unloaded on a bench with an emergency stop, then in an overhead harness, before anybody walks on it; the ethics board, local codes and a licensed prosthetist decide.';

const TIMING = [
  'leg.controller.period',
  'leg.controller.delayPeriods',
  'leg.thighSensor.delay',
  'wearer.height',
];

/** A number of one task's swing, and where it is told; or why there is none. */
type OfSwing = (
  input: StudyInput,
  follow: SwingFollow,
) => { readonly value: number; readonly tell: string } | { readonly openBecause: string };

const ofSwings = (of: OfSwing, worse: 'larger' | 'smaller'): MetricFunction =>
  worstOfWalks((input, id) => {
    const follow = swingFollow(input, id);
    return 'openBecause' in follow ? follow : of(input, follow);
  }, worse);

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
const degrees = (x: number): string => `${((x * 180) / Math.PI).toFixed(1)}°`;

/** Swing by the wearer's thigh, by the latched map. */
export const swingMetrics: Readonly<Record<string, Metric>> = {
  toeClearance: {
    title: 'Forefoot over the ground in mid-swing, commanded',
    kind: 'length',
    unit: 'm',
    formula:
      'min z_hip − L_1·cos φ_1 − L_2·cos φ_2 + x_i·sin φ_3 + z_i·cos φ_3, x_i > 0, middle half of swing',
    chapter: 'control.md#toe-clearance',
    reads: [...TIMING, 'leg.segments.thighLength', 'leg.segments.shank.length'],
    only: 'leg',
    cautions: [
      'The hip is as high as the other leg, taken as alike, and a level pelvis hold it: true to some centimetres, so it compares commands and does not promise a clearance.',
      COMMANDS,
      PROVE,
    ],
    value: ofSwings((input, follow) => {
      const clearance = swingClearance(input, follow);
      if ('openBecause' in clearance) return clearance;
      const { commanded, own, place } = clearance;
      return { value: commanded, tell: `${percent(place)}; the stride itself ${(own * 1e3).toFixed(1)} mm` };
    }, 'smaller'),
  },
  swingKneeError: {
    title: 'Knee command off the stride’s own knee in swing, RMS',
    kind: 'angle',
    unit: 'rad',
    only: 'knee',
    formula: '√(mean (q(s(θ_thigh)) − θ_knee)²) from toe-off to contact',
    chapter: 'control.md#following-a-stride',
    reads: TIMING,
    cautions: [COMMANDS, PROVE],
    value: ofSwings(
      (_, { knee, phaseError }) => ({
        value: knee.rms,
        tell: `worst ${degrees(knee.worst)}, at contact ${degrees(knee.atContact)}; phase off by up to ${percent(phaseError)} of the stride`,
      }),
      'larger',
    ),
  },
  swingHold: {
    title: 'Phase that moves while the thigh is held',
    kind: 'pure number',
    unit: '1',
    only: 'leg',
    formula: 'max |Δs| over 3 s at 0.1, 0.3, 0.5, 0.7 and 0.9 of the thigh’s way',
    chapter: 'control.md#hold-and-pace',
    reads: TIMING,
    cautions: [
      'Below where the thigh leads no more; beyond it the swing finishes by itself where that is on. A sensor that drifts moves the phase and is not in it.',
      PROVE,
    ],
    value: ofSwings((input, { task }) => {
      const steady = swingSteadiness(input, task);
      return 'openBecause' in steady ? steady : { value: steady.hold, tell: 'of a stride' };
    }, 'larger'),
  },
  warpError: {
    title: 'Phase that depends on the pace of the thigh',
    kind: 'pure number',
    unit: '1',
    only: 'leg',
    formula: 'max |ŝ_uneven(x) − ŝ_even(x)| over the same path, w(t) = t + 0.12/1.1·T·sin(πt/T)',
    chapter: 'control.md#hold-and-pace',
    reads: TIMING,
    cautions: [
      'Of the part of swing that the thigh leads; the finish runs by time and is left out. What remains is the step of the thigh in one tick.',
    ],
    value: ofSwings((input, { task }) => {
      const steady = swingSteadiness(input, task);
      return 'openBecause' in steady ? steady : { value: steady.warp, tell: 'of a stride' };
    }, 'larger'),
  },
  shortStepFlexion: {
    title: 'Knee flexion left at contact, thigh a fifth short',
    kind: 'angle',
    unit: 'rad',
    only: 'knee',
    formula: 'q(s) − θ_knee at contact with the thigh only 0.8 of its way from toe-off',
    chapter: 'control.md#what-if',
    reads: TIMING,
    cautions: [
      'A thigh that stays short leaves the phase where it is: the wearer lands on a bent knee. Whoever carries this leg must know it, and the controller must catch it.',
      COMMANDS,
      PROVE,
    ],
    value: ofSwings((input, { task }) => {
      const what = swingWhatIf(input, task);
      return 'openBecause' in what
        ? what
        : { value: what.shortStep, tell: 'beyond the stride’s own knee at contact' };
    }, 'larger'),
  },
};
