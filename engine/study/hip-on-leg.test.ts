import { expect, test } from 'vitest';
import { openStudy } from '../../store/open-study.ts';
import { curveAt } from '../gait/curve.ts';
import { legPose } from '../gait/pose.ts';
import type { Stride, StrideCurve } from '../gait/stride.ts';
import { hipCourseAt } from '../walk/hip-course.ts';
import { legChain } from '../walk/leg-chain.ts';
import { COORDINATES, legTerms, legTermsRoom, TERM, THIGH } from '../walk/leg-terms.ts';
import { hipMomentOnLeg } from './hip-on-leg.ts';
import { walkPlan } from './walk-plan.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const plan = walkPlan(input, { speed: 1.1, thigh: 'led' });
if ('openBecause' in plan) throw new Error(plan.openBecause);
const { setup, stride } = plan;
const { course, leg } = setup;

test('in swing the hip gives what M·q̈ + h of the walking leg asks on the stride; in stance what was published', () => {
  const [q, v, a, at] = [new Float64Array(5), new Float64Array(5), new Float64Array(5), new Float64Array(6)];
  const terms = legTermsRoom();
  const chain = legChain({ ...leg, kneeOutputInertia: 0, ankleOutputInertia: 0 });
  for (const s of [0.74, 0.78, 0.82, 0.86, 0.895]) {
    hipCourseAt(course.hip, s, 1 / stride.strideTime, at);
    [q[1], v[1], a[1]] = [at[0]!, at[1]!, at[2]!];
    a[0] = at[5]!;
    [stride.thigh!, stride.joints.knee!.angle, stride.joints.ankle!.angle].forEach((curve, k) => {
      const { value, slope, curvature } = curveAt(curve, 100 * s);
      q[2 + k] = value;
      v[2 + k] = (100 * slope) / stride.strideTime;
      a[2 + k] = (1e4 * curvature) / stride.strideTime ** 2;
    });
    legTerms(chain, q, v, terms);
    let torque = terms[TERM.bias + THIGH]!;
    for (let k = 0; k < COORDINATES; k++) torque += terms[TERM.mass + THIGH * COORDINATES + k]! * a[k]!;
    // the curve is kept as samples each half per cent
    expect(Math.abs(curveAt(course.hipMoment, 100 * s).value * course.mass - torque)).toBeLessThan(0.05);
  }
  const { moment } = input.strides['walk-natural']!.joints.hip!;
  expect(moment).toBeDefined();
  for (const s of [0.1, 0.3, 0.5]) {
    const own = curveAt(stride.joints.hip!.moment!, 100 * s).value;
    expect(Math.abs(curveAt(course.hipMoment, 100 * s).value - own)).toBeLessThan(1e-3);
  }
});

test('on a foot of springs the hip gives in stance what holds the ground’s force where the foot lets it act', () => {
  const still = (value: number): StrideCurve => ({ form: 'series', mean: value, drift: 0, cos: [], sin: [] });
  const none = { length: 0.4, mass: 0, centre: { x: 0, z: 0 }, inertia: 0 };
  const [thigh, knee, ankle] = [-0.2, 0.05, 0.15];
  const standing: Stride = {
    ...stride,
    thigh: still(thigh),
    joints: {
      hip: { angle: still(0), moment: still(0) },
      knee: { angle: still(knee) },
      ankle: { angle: still(ankle) },
    },
  };
  const joint = {
    ...{ stiffness: 440, stiffnessBelow: 120, neutral: 0, flexionDamping: 5, extensionDamping: 5 },
    ...{ friction: 0, extensionAssist: 0 },
  };
  const force = { up: 700, forward: 60 };
  const leg = { thigh: { ...none, length: 0.42 }, shank: { ...none, length: 0.43 }, foot: none };
  const moment = hipMomentOnLeg(standing, course.hip, leg, 82, { joint, force: () => force });
  // the foot stands 0.08 m under its ankle: the force acts where its moment about the ankle is the spring's
  const at = legPose(
    { ...input.leg.segments, thighLength: 0.42, shank: { ...input.leg.segments.shank, length: 0.43 } },
    thigh,
    knee,
    ankle,
  ).ankle;
  const ahead = (440 * ankle - 0.08 * force.forward) / force.up;
  const [x, z] = [at.x + ahead, at.z - 0.08];
  expect(curveAt(moment, 30).value * 82).toBeCloseTo(-(x * force.up - z * force.forward), 6);
});
