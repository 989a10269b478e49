import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { driveLoad } from '../drive/drive-load.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import type { StrideDemand } from '../gait/demand-result.ts';
import { rad } from '../quantity/angle.ts';
import { dutyTime, evaluateDesign, studyDemands } from './design.ts';
import { springChoice } from './spring-choice.ts';
import type { StudyInput } from './study-input.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
// four tasks are enough, and quicker
const all = studyDemands(input);
const demands = Object.fromEntries(
  ['walk-natural', 'walk-slow', 'stair-up', 'run-2p5'].map((id) => [id, all[id]!]),
);
const ankle = input.leg.joints.ankle!;
const withAnkle = (drive: JointDrive): StudyInput => ({
  ...input,
  leg: { ...input.leg, joints: { ankle: drive } },
});
const strides = Object.values(demands).filter(
  (d): d is StrideDemand =>
    d.kind === 'stride' && (dutyTime(d) ?? 0) > 0 && !Number.isNaN(d.joints.ankle!.peak.moment),
);

// Without loss and friction τ_m·N = M + k·(θ − θ_0) + N²·J·θ̈: least squares of −(M + N²·J·θ̈) on the angle, weighted by time.
test('without losses, a two-sided spring is the weighted least-squares line of demand against angle', () => {
  const lossless: JointDrive = {
    ...ankle,
    motor: { ...ankle.motor, coulombDrag: 0, viscousDrag: 0 },
    transmission: {
      ...ankle.transmission,
      drivingEfficiency: 1,
      backDrivenEfficiency: 1,
      outputCoulomb: 0,
      outputViscous: 0,
    },
    range: { from: rad(-1.5), to: rad(1.5) },
  };
  const N = lossless.transmission.ratio;
  const J = lossless.motor.rotorInertia + lossless.transmission.inputInertia;
  let [w, x, y, xx, xy] = [0, 0, 0, 0, 0];
  for (const demand of strides) {
    const { angle, moment, acceleration } = demand.joints.ankle!;
    const seconds = dutyTime(demand)!;
    for (let i = 0; i < angle.length; i++) {
      const weight = (seconds * (i === 0 || i === angle.length - 1 ? 0.5 : 1)) / (angle.length - 1);
      const load = -(moment[i] + N * N * J * acceleration[i]);
      w += weight;
      x += weight * angle[i];
      y += weight * load;
      xx += weight * angle[i] ** 2;
      xy += weight * angle[i] * load;
    }
  }
  const slope = (xy - (x * y) / w) / (xx - (x * x) / w);
  const rest = x / w - y / w / slope;
  expect(slope).toBeGreaterThan(0);
  expect(Math.abs(rest)).toBeLessThan(1.5);
  const { best } = springChoice(withAnkle(lossless), demands, 'ankle', 'two-sided')!;
  expect(best.spring!.stiffness / slope).toBeCloseTo(1, 2);
  expect(best.spring!.equilibrium).toBeCloseTo(rest, 2);
});

test('with losses, no spring of a dense net is better; around the best every other is worse', () => {
  for (const kind of ['one-sided', 'two-sided'] as const) {
    const { best, none, sweep } = springChoice(withAnkle(ankle), demands, 'ankle', kind)!;
    const rms = (stiffness: number, equilibrium: number): number => {
      let [heat, time] = [0, 0];
      for (const demand of strides) {
        const seconds = dutyTime(demand)!;
        const engaged = {
          from: rad(kind === 'one-sided' ? equilibrium : ankle.range.from),
          to: ankle.range.to,
        };
        const parallelSpring = { stiffness, equilibrium: rad(equilibrium), engaged };
        const load = driveLoad(
          { ...ankle, parallelSpring },
          demand.joints.ankle!,
          input.leg.busVoltage,
        ).rmsTorque;
        heat += seconds * load ** 2;
        time += seconds;
      }
      return Math.sqrt(heat / time);
    };
    for (let k = 0; k <= 900; k += 30)
      for (let q = ankle.range.from as number; q <= ankle.range.to; q += 0.03)
        expect(rms(k, q)).toBeGreaterThan(best.rmsTorque * (1 - 2e-3));
    expect(best.rmsTorque).toBeLessThan(none.rmsTorque);
    for (const other of sweep) expect(other.rmsTorque).toBeGreaterThanOrEqual(best.rmsTorque * (1 - 1e-6));
    expect(sweep[3]!.rmsTorque).toBeCloseTo(best.rmsTorque, 6);
  }
});

test('the spring of the leg file is judged as it stands', () => {
  const parallelSpring = {
    stiffness: 200,
    equilibrium: rad(0),
    engaged: { from: rad(0), to: ankle.range.to },
  };
  const study = withAnkle({ ...ankle, parallelSpring });
  const { asIs, none } = springChoice(study, demands, 'ankle', 'one-sided')!;
  expect(asIs!.spring).toEqual(parallelSpring);
  expect(asIs!.rmsTorque).toBe(evaluateDesign(study, demands).schedule.ankle!.rmsTorque);
  const bent = Math.max(
    ...Object.values(demands).flatMap((d) => [...(d as StrideDemand).joints.ankle!.angle]),
  );
  const most = Math.min(bent, ankle.range.to);
  expect(asIs!.springTorque).toBeCloseTo(200 * most, 9);
  expect(asIs!.springEnergy).toBeCloseTo(100 * most ** 2, 9);
  expect(none.springTorque).toBe(0);
  expect(springChoice(withAnkle(ankle), demands, 'knee', 'one-sided')).toBeUndefined();
  expect(springChoice(withAnkle(ankle), {}, 'ankle', 'one-sided')).toBeUndefined();
});
