import { stiffnessBandwidth } from '../control/rendered-impedance.ts';
import { softwareGains } from '../control/software-gains.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { Metric } from './metric.ts';
import { CURRENT_LIMIT, DEMAND, MOTOR, PENDULUM, SEGMENT_INERTIAS, TORQUE_CURVE } from './metric-inputs.ts';
import type { MetricValue } from './metric-value.ts';
import { RENDERED_SWING, SPEED_FILTER, sampledDrive, statedGains } from './sampled-drive.ts';
import { loadsOf, stableStiffness } from './stable-stiffness.ts';
import { heaviestStance } from './stance-burden.ts';
import type { StudyInput } from './study-input.ts';

/** What the sampled loop of a joint is made of. */
const LOOP = [
  'transmission.ratio',
  'motor.rotorInertia',
  'motor.viscousDrag',
  'transmission.inputInertia',
  'transmission.outputInertia',
  'transmission.outputViscous',
  'transmission.torsionalStiffness',
  'currentBandwidth',
  'encoder.delay',
  'leg.controller.period',
  'leg.controller.delayPeriods',
  'wearer.mass',
];

const BENCH =
  'Gains for a real leg are tried on a tethered bench with an emergency stop, never first on a person: the limit leaves no margin.';
const SMALL_SIGNAL = 'Play of the gears, saturation, the socket and the flesh are not in it.';

const three = (x: number): string => String(Number(x.toPrecision(3)));

/** The largest stable stiffness at the stated damping, over what the joint may carry. */
function renderedStiffness(input: StudyInput, joint: DrivenJoint): MetricValue {
  const sampled = sampledDrive(input, joint);
  if ('openBecause' in sampled) return sampled;
  const { damping } = statedGains(input);
  const most = stableStiffness(sampled, loadsOf(input, joint), damping);
  const { limitedBy, software } = most;
  const load =
    limitedBy === undefined
      ? 'only the gears forbid more'
      : limitedBy === 'held'
        ? 'output held'
        : `with ${three(limitedBy.inertia)} kg·m² of ${joint === 'knee' ? 'shank and foot' : 'the foot'}`;
  return {
    value: most.joint.stiffness,
    at: `${load}; damper of ${three(damping)} N·m·s/rad at the joint; software ${three(software.stiffness)} and ${three(software.damping)}, measured at the ${sampled.measuredAt}, each ${three(1e3 * sampled.period)} ms, ${three(1e3 * sampled.delay)} ms of delay, speed filtered at ${SPEED_FILTER} Hz`,
  };
}

/** What software renders of a spring and a damper. */
export const controlMetrics: Readonly<Record<string, Metric>> = {
  renderedStiffness: {
    title: 'Largest stable rendered stiffness',
    kind: 'rotational stiffness',
    unit: 'N·m/rad',
    formula:
      'largest K: every |z| < 1 of a·z^d·(z − a_f) + n·[K_s·(z − a_f) + B_s·(1 − a_f)·(z − 1)/T], K_s = K·K_g/(K_g − K), B_s = B·(K_g/(K_g − K))²',
    chapter: 'control.md#stability',
    reads: [...LOOP, ...PENDULUM, ...SEGMENT_INERTIAS],
    cautions: [
      BENCH,
      SMALL_SIGNAL,
      'Stable is not passive: what else touches the leg may still make it ring.',
    ],
    value: (input, _, joint) => renderedStiffness(input, joint),
  },
  stiffnessBandwidth: {
    title: 'Rendered stiffness within ±10 %',
    kind: 'frequency',
    unit: 'Hz',
    formula: 'largest f: |Re S(j2πf) − K| ≤ 0.1·K',
    chapter: 'control.md#what-is-rendered',
    reads: [
      ...LOOP,
      'transmission.drivingEfficiency',
      'transmission.backDrivenEfficiency',
      'motor.coulombDrag',
    ],
    cautions: [SMALL_SIGNAL],
    value: (input, _, joint) => {
      const sampled = sampledDrive(input, joint);
      if ('openBecause' in sampled) return sampled;
      const requested = statedGains(input);
      const software = softwareGains(sampled, requested);
      const asked = `${three(requested.stiffness)} N·m/rad and ${three(requested.damping)} N·m·s/rad`;
      if (software === undefined)
        return { openBecause: `the gears yield more than the ${asked} that are looked at` };
      return {
        value: stiffnessBandwidth(sampled, { requested, software, amplitude: RENDERED_SWING }),
        at: `${asked} asked for, ±${three((180 / Math.PI) * RENDERED_SWING)}°`,
      };
    },
  },
  tuningBurden: {
    title: 'Tuning burden of stance',
    kind: 'pure number',
    unit: '1',
    formula: 'rms(τ_asked − τ_delivered)/rms(τ_asked) over stance',
    chapter: 'control.md#tuning-burden',
    reads: [
      ...CURRENT_LIMIT,
      ...TORQUE_CURVE,
      ...MOTOR.filter((path) => !path.startsWith('parallelSpring')),
      ...DEMAND,
    ],
    cautions: [
      'At unchanged motion, torque constant right, motor cold, bus not a limit.',
      'One spring, damper and equilibrium for the whole stance: cut into phases, more of it can be mended.',
    ],
    value: (input, design, joint, only) => {
      const drive = input.leg.joints[joint];
      if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
      const found = heaviestStance(drive, design, joint, only);
      if (found === undefined)
        return {
          openBecause:
            only === undefined
              ? `no task has a ${joint} curve with moments`
              : `task ${only} has no ${joint} curve with moments`,
        };
      const held = found.limited > 0 ? `; ${three(100 * found.limited)} % of it at the current limit` : '';
      return {
        value: found.mismatch,
        at: `${found.title}; ${three(found.mendable)} of it other gains mend, ${three(found.lasting)} none${held}`,
        task: found.task,
      };
    },
  },
};
