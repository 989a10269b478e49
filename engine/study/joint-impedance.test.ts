import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { loopPolynomial } from '../control/loop-polynomial.ts';
import { stable } from '../control/loop-stability.ts';
import { growth } from '../control/test-joint.ts';
import { evaluateDesign } from './design.ts';
import { burdenByRatio, jointImpedance } from './joint-impedance.ts';
import { metricCatalogue } from './metrics.ts';
import { sampledDrive, statedGains } from './sampled-drive.ts';
import { bestStableStiffness, loadsOf, stableStiffness } from './stable-stiffness.ts';
import { withValue } from './with-value.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const design = evaluateDesign(input);
const requested = statedGains(input);

/** The sampled joint, which the demo leg has. */
function known(joint: 'knee' | 'ankle', study = input) {
  const sampled = sampledDrive(study, joint);
  if ('openBecause' in sampled) throw new Error(sampled.openBecause);
  return sampled;
}

describe('what the leg file does not say stays open, with the field to add', () => {
  const { controller: _c, ...noController } = input.leg;
  const { encoder: _e, ...noEncoder } = input.leg.joints.ankle!;
  const { currentBandwidth: _b, ...noBandwidth } = input.leg.joints.ankle!;
  test.each([
    ['`controllerHardware`', noController],
    ['`encoder`', { ...input.leg, joints: { ankle: noEncoder } }],
    ['`currentBandwidth`', { ...input.leg, joints: { ankle: noBandwidth } }],
    ['no ankle drive', { ...input.leg, joints: {} }],
  ])('%s', (name, leg) => {
    const study = { ...input, leg };
    for (const got of [
      jointImpedance(study, 'ankle', requested),
      metricCatalogue.renderedStiffness!.value(study, design, 'ankle', undefined),
      metricCatalogue.stiffnessBandwidth!.value(study, design, 'ankle', undefined),
    ])
      expect((got as { openBecause: string }).openBecause).toContain(name);
  });
});

describe('largest stable stiffness of the demo leg', () => {
  test.each(['knee', 'ankle'] as const)(
    '%s: in time it dies out below and grows above, with the load that is named',
    (joint) => {
      const sampled = known(joint);
      const most = stableStiffness(sampled, loadsOf(input, joint), requested.damping);
      const { software, limitedBy } = most;
      expect(limitedBy).toBeDefined();
      expect(growth(sampled, 0.97 * software.stiffness, software.damping, limitedBy!)).toBeLessThan(1);
      expect(growth(sampled, 1.03 * software.stiffness, software.damping, limitedBy!)).toBeGreaterThan(1);
      // two springs in series
      const gears = sampled.gearStiffness;
      expect(1 / (1 / software.stiffness + 1 / gears)).toBeCloseTo(most.joint.stiffness, 6);
      // every other load allows at least as much
      for (const load of loadsOf(input, joint))
        expect(
          stable(loopPolynomial(sampled, load)!, {
            stiffness: 0.999 * software.stiffness,
            damping: software.damping,
          }),
        ).toBe(true);
    },
  );

  test('a slower controller, more delay, a slower current loop allow less; no damping allows hardly anything', () => {
    const at = (path: string, factor: number): number => {
      const value = path
        .split('.')
        .reduce((x: unknown, key) => (x as Record<string, unknown>)[key], input.leg);
      const leg = withValue(input.leg, path, (value as number) * factor);
      const study = { ...input, leg };
      return stableStiffness(known('ankle', study), loadsOf(study, 'ankle'), requested.damping).joint
        .stiffness;
    };
    const nominal = at('controller.period', 1);
    expect(at('controller.period', 2)).toBeLessThan(nominal);
    expect(at('controller.delayPeriods', 2)).toBeLessThan(nominal);
    expect(at('joints.ankle.currentBandwidth', 0.3)).toBeLessThan(nominal);
    const loads = loadsOf(input, 'ankle');
    expect(stableStiffness(known('ankle'), loads, 0).joint.stiffness).toBeLessThan(0.1 * nominal);
    expect(bestStableStiffness(known('ankle'), loads).joint.stiffness).toBeGreaterThan(nominal);
  });

  test('stiffer than the gears is refused with both numbers', () => {
    const got = jointImpedance(input, 'ankle', { stiffness: 1000, damping: 4 });
    expect(got).toHaveProperty('openBecause', expect.stringMatching(/900 N·m\/rad.*as stiff as 1000$/));
  });
});

test('what is asked for comes in slow motion, friction and mesh aside; a heavy rotor loses it early, a filter stiffens a light one', () => {
  const behind = (ratio: number) => {
    const leg = withValue(input.leg, 'joints.ankle.transmission.ratio', ratio);
    const of = jointImpedance({ ...input, leg }, 'ankle', requested);
    if ('openBecause' in of) throw new Error(of.openBecause);
    return of;
  };
  const own = behind(22);
  expect(Math.abs(own.frictionless[0]!.stiffness / requested.stiffness - 1)).toBeLessThan(0.01);
  const heavy = behind(50);
  expect(heavy.slow.inertia).toBeGreaterThan(own.slow.inertia);
  expect(heavy.stiffnessBandwidth).toBeLessThan(own.stiffnessBandwidth);
  // delayed damping takes more inertia away than the rotor has
  const light = behind(9);
  expect(light.slow.inertia).toBeLessThan(0);
  expect(light.frictionless[3]!.stiffness).toBeGreaterThan(1.1 * light.frictionless[0]!.stiffness);
});

describe('tuning burden of the demo leg', () => {
  test('the parts add in squares, the own ratio is among them, a constant that is off makes it worse', () => {
    const rows = burdenByRatio(input, design, 'knee', 'walk-natural');
    expect(rows.map(({ ratio }) => ratio)).toEqual([9, 22, 50, 100]);
    for (const { burden, withConstantError } of rows) {
      expect(Math.hypot(burden.mendable, burden.lasting)).toBeCloseTo(burden.mismatch, 9);
      expect(withConstantError).toBeGreaterThan(burden.mismatch);
    }
    const own = metricCatalogue.tuningBurden!.value(input, design, 'knee', 'walk-natural');
    expect(own).toHaveProperty('value', rows[1]!.burden.mismatch);
  });

  test('a drive without inertia, friction and loss has none', () => {
    const knee = input.leg.joints.knee!;
    const { saturationCurrent: _, ...motor } = knee.motor;
    const ideal = {
      ...knee,
      currentLimit: 1e6,
      motor: { ...motor, rotorInertia: 0, coulombDrag: 0, viscousDrag: 0, peakCurrent: 1e6 },
      transmission: {
        ...knee.transmission,
        inputInertia: 0,
        outputInertia: 0,
        drivingEfficiency: 1,
        backDrivenEfficiency: 1,
        outputCoulomb: 0,
        outputViscous: 0,
      },
    };
    const study = { ...input, leg: { ...input.leg, joints: { knee: ideal } } };
    for (const { burden } of burdenByRatio(study, design, 'knee', 'walk-natural'))
      expect(burden.mismatch).toBeLessThan(1e-12);
  });

  test('a task without a curve has none, and the metric says so', () => {
    expect(burdenByRatio(input, design, 'knee', 'no-such-task')).toEqual([]);
    const got = metricCatalogue.tuningBurden!.value(input, design, 'knee', 'no-such-task');
    expect(got).toHaveProperty('openBecause', expect.stringContaining('no-such-task'));
  });
});
