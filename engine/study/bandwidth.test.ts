// Bandwidth, touchdown and end stop of the demo study, against hand calculation from the numbers its files print.
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { jointBandwidth } from './bandwidth.ts';
import { type Demands, type DesignResult, evaluateDesign, studyDemands } from './design.ts';
import { jointEndStop } from './end-stop.ts';
import { fastestMotion } from './fastest-motion.ts';
import { heldJoint } from './held-joint.ts';
import type { MetricValue } from './metric-value.ts';
import { metricCatalogue } from './metrics.ts';
import type { Leg, StudyInput } from './study-input.ts';
import { legTouchdown } from './touchdown.ts';
import { withValue } from './with-value.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const demands: Demands = studyDemands(input);
const design: DesignResult = evaluateDesign(input, demands);

const metric = (id: string, joint: 'knee' | 'ankle', study: StudyInput = input, task?: string): MetricValue =>
  metricCatalogue[id]!.value(study, study === input ? design : evaluateDesign(study, demands), joint, task);
const numberOf = (found: MetricValue): number => {
  if ('openBecause' in found) throw new Error(found.openBecause);
  return found.value;
};
const with_ = (path: string, value: number): StudyInput => ({
  ...input,
  leg: withValue(input.leg, path, value),
});
const without = (of: (leg: Leg) => Leg): StudyInput => ({ ...input, leg: of(input.leg) });
const knee = input.leg.joints.knee!;
const onKnee = (change: object, ...gone: string[]): StudyInput =>
  without((leg) => {
    const joint = Object.fromEntries(
      Object.entries({ ...knee, ...change }).filter(([key]) => !gone.includes(key)),
    );
    return { ...leg, joints: { ...leg.joints, knee: joint as unknown as typeof knee } };
  });

// rotor and gears of the demo joint, seen through 22:1
const J = 22 ** 2 * (2.148e-4 + 0.2e-4);
const KT = 1.5 * 20 * 4.949e-3;
const V = (0.95 * 44.4) / Math.sqrt(3);

describe('bandwidth', () => {
  test('torque with the output locked: rotor of the catalogue on 900 N·m/rad', () => {
    const zeta = (22 ** 2 * 1.2e-4) / (2 * Math.sqrt(900 * J));
    const s = 1 - 2 * zeta * zeta;
    const want = (Math.sqrt(900 / J) * Math.sqrt(s + Math.sqrt(s * s + 1))) / (2 * Math.PI);
    expect(numberOf(metric('torqueBandwidth', 'ankle'))).toBeCloseTo(want, 9);
  });

  test('current: the loop as built, and where that is fast the bus at the task’s peak and fastest shaft', () => {
    expect(numberOf(metric('currentBandwidth', 'ankle'))).toBe(500);
    const load = design.loads['walk-fast']!.ankle!;
    const emf = 20 * 4.949e-3 * Math.max(...load.motorSpeed.map(Math.abs));
    const want = Math.sqrt(((V - emf) / load.peakCurrent) ** 2 - 65.79e-3 ** 2) / (2 * Math.PI * 49.07e-6);
    const fast = metric(
      'currentBandwidth',
      'ankle',
      with_('joints.ankle.currentBandwidth', 1e5),
      'walk-fast',
    );
    expect(numberOf(fast) / want).toBeCloseTo(1, 3);
    expect(fast).toHaveProperty(
      'at',
      expect.stringContaining('the bus is the limit; Level walking 1.97 m/s'),
    );
  });

  test('a bus too low for a task’s current has no frequency left, and says so', () => {
    const low = metric('currentBandwidth', 'ankle', with_('busVoltage', 20), 'walk-fast');
    expect(numberOf(low)).toBe(0);
    expect(low).toHaveProperty('at', expect.stringContaining('does not even hold it steadily'));
  });

  test('half the peak torque: the rotor that winds it up then runs about as fast as the bus allows unloaded', () => {
    const found = numberOf(metric('largeSignalTorqueBandwidth', 'knee'));
    const amplitude = 0.5 * (22 * 0.94 * (KT * 56.4 - 0.05) - 0.1);
    // near the natural frequency little current is needed, so that the back-EMF takes nearly all of the voltage
    const fastest = ((22 * amplitude) / 900) * 2 * Math.PI * found;
    expect(Math.abs(fastest / (V / (20 * 4.949e-3)) - 1)).toBeLessThan(0.05);
    const stiffer = with_('joints.knee.transmission.torsionalStiffness', 1800);
    expect(numberOf(metric('largeSignalTorqueBandwidth', 'knee', stiffer))).toBeGreaterThan(found);
  });

  test('position: below what torque or speed alone would allow, lossless', () => {
    const found = numberOf(metric('positionBandwidth', 'knee'));
    const { linkInertia } = jointBandwidth(input, design, 'knee') as { linkInertia: number };
    // shank and foot about the knee, by the leg file
    const link = 0.043 + 2.9 * (0.012 ** 2 + 0.165 ** 2) + 0.0065 + 1.1 * (0.045 ** 2 + (0.43 + 0.045) ** 2);
    expect(linkInertia).toBeCloseTo(link, 9);
    const byTorque = Math.sqrt((22 * KT * 56.4) / (0.1 * (link + J))) / (2 * Math.PI);
    expect(found).toBeLessThan(byTorque);
    expect(found).toBeGreaterThan(0.9 * byTorque);
  });

  test('what is missing is named with its field', () => {
    const why = (found: MetricValue) => ('openBecause' in found ? found.openBecause : '');
    expect(why(metric('currentBandwidth', 'knee', onKnee({}, 'currentBandwidth')))).toBe(
      'the leg file’s `electronics` of the knee have no `currentBandwidth`: add the −3 dB frequency of the current loop as built',
    );
    const bare = onKnee({}, 'currentBandwidth', 'inverter');
    const { loop } = jointBandwidth(bare, evaluateDesign(bare, demands), 'knee') as { loop: object };
    expect(loop).toEqual({
      openBecause:
        'the leg file’s `electronics` of the knee have no `currentBandwidth` and no `switchingFrequency`: add what the current loop is built for',
    });
    const weak = with_('joints.knee.transmission.outputCoulomb', 1e4);
    expect(why(metric('positionBandwidth', 'knee', weak))).toMatch(/^friction alone asks for more/);
    const noDrive = without((leg) => ({ ...leg, joints: {} }));
    for (const id of ['currentBandwidth', 'torqueBandwidth', 'positionBandwidth', 'hardStopTorque'])
      expect(why(metric(id, 'knee', noDrive))).toBe('the leg has no knee drive');
  });

  test('a rendered spring: natural frequency of link and rotor, delay of one and a half periods', () => {
    const held = heldJoint(input, 'knee', { stiffness: 200, damping: 9, period: 1e-3 })!;
    expect(held.delay).toBeCloseTo(1.5e-3, 12);
    expect(held.onError.naturalFrequency).toBeCloseTo(Math.sqrt(200 / held.inertia) / (2 * Math.PI), 9);
    expect(held.onError.bandwidth).toBeGreaterThan(held.onSpeed.bandwidth);
    expect(held.passiveSpring).toBeCloseTo((2 * 22 ** 2 * 1.2e-4) / 1e-3, 9);
    expect(held.passiveStiffness).toBeLessThan(0);
  });
});

describe('touchdown', () => {
  const touch = (study: StudyInput, more: object = {}) =>
    legTouchdown(study, evaluateDesign(study, demands), more);
  const own = touch(input);
  if ('openBecause' in own) throw new Error(own.openBecause);

  test('undamped, the force is that of the energy: ½·m·v² = 0.4·k·x^2.5', () => {
    const found = touch(with_('foot.damping', 0));
    if ('openBecause' in found) throw new Error(found.openBecause);
    const depth = ((0.5 * found.mass * 0.5 ** 2) / (0.4 * 4e5)) ** 0.4;
    expect(found.force / (4e5 * depth ** 1.5)).toBeCloseTo(1, 9);
    expect(found.depth / depth).toBeCloseTo(1, 9);
  });

  test('force grows with the ratio and is least without rotors; the own ratio gives the own force', () => {
    const forces = [9, 22, 50, 100].map((ratio) => (touch(input, { ratio }) as typeof own).force);
    expect(forces[1]).toBe(own.force);
    for (let k = 1; k < 4; k++) expect(forces[k]).toBeGreaterThan(forces[k - 1]!);
    expect(forces[0]).toBeGreaterThan(own.forceWithoutRotors);
  });

  test('stairs meet the ground with the forefoot and are left out by name; a task alone can be asked', () => {
    expect(own.leftOut).toEqual(expect.arrayContaining(['Stairs up', 'Stairs down', 'Standing']));
    expect(touch(input, { only: 'stair-up' })).toEqual({
      openBecause:
        'task stair-up does not tell thigh, knee and ankle angle at initial contact with the heel first',
    });
    const slow = touch(input, { only: 'walk-slow' });
    expect('mass' in slow && slow.mass).toBeLessThanOrEqual(own.mass);
  });

  test('a heel without stiffness or damping', () => {
    for (const gone of ['heelStiffness', 'damping']) {
      const study = without((leg) => ({
        ...leg,
        foot: Object.fromEntries(Object.entries(leg.foot).filter(([key]) => key !== gone)),
      }));
      expect(touch(study)).toEqual({
        openBecause: `the leg file’s \`foot\` has no \`${gone}\`, and force at touchdown is the heel’s: add it`,
      });
    }
  });
});

describe('end stop', () => {
  test('the fastest motion of any task, published ranges at their far end', () => {
    const speeds = Object.values(demands).flatMap((d) => {
      if (d.kind === 'stride') return [Math.max(...(d.joints.knee?.velocity.map(Math.abs) ?? []))];
      const range = d.kind === 'peaks' ? d.joints.knee?.speed : undefined;
      return range === undefined ? [] : [Math.max(Math.abs(range.low), Math.abs(range.high))];
    });
    expect(fastestMotion(design, 'knee')!.speed).toBeCloseTo(Math.max(...speeds), 9);
  });

  test('a stop that takes all the link’s energy leaves the closed form', () => {
    const found = jointEndStop(onKnee({ endStop: { stiffness: 1e7, damping: 4000 } }), design, 'knee');
    if ('openBecause' in found) throw new Error(found.openBecause);
    expect(found.held).toBeCloseTo(found.motion.speed * Math.sqrt(900 * J), 9);
    expect(Math.abs(found.torque / found.held - 1)).toBeLessThan(0.01);
    expect(found.undamped).toBe(false);
  });

  test('no stop in the leg file, or one without damping', () => {
    expect(jointEndStop(onKnee({}, 'endStop'), design, 'knee')).toEqual({
      openBecause:
        'the leg file has no `endStop` for the knee: add its `stiffness`, and `damping` where it is known',
    });
    expect(jointEndStop(onKnee({ endStop: { stiffness: 3000 } }), design, 'knee')).toHaveProperty(
      'undamped',
      true,
    );
    expect(metric('hardStopTorque', 'knee', onKnee({ endStop: { stiffness: 3000 } }))).toHaveProperty(
      'at',
      expect.stringContaining('taken as none'),
    );
  });
});
