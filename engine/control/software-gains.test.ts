import { expect, test } from 'vitest';
import { renderedImpedance } from './rendered-impedance.ts';
import { jointStiffness, softwareGains } from './software-gains.ts';
import { JOINT } from './test-joint.ts';

const asked = { stiffness: 300, damping: 3 };

test('slow motion of elastic gears is as asked, by the frequency formula', () => {
  // no lag, no delay, no filter, no friction: nothing else turns damping
  const joint = {
    ...JOINT,
    gearStiffness: 900,
    rotorDamping: 0,
    delay: 0,
    currentLag: 0,
    filterPole: 0,
    period: 1e-6,
  };
  const software = softwareGains(joint, asked)!;
  const got = renderedImpedance(joint, software, 0.01);
  expect(Math.abs(got.stiffness / 300 - 1)).toBeLessThan(1e-5);
  expect(Math.abs(got.damping / 3 - 1)).toBeLessThan(1e-3);
  expect(Math.abs(jointStiffness(joint, software.stiffness) / 300 - 1)).toBeLessThan(1e-12);
});

test('no software makes gears stiffer than they are; measured at the joint, or rigid, nothing is to be made good', () => {
  expect(softwareGains({ ...JOINT, gearStiffness: 300 }, asked)).toBeUndefined();
  expect(softwareGains({ ...JOINT, gearStiffness: 900, measuredAt: 'joint' }, asked)).toEqual(asked);
  expect(softwareGains(JOINT, asked)).toEqual(asked);
  expect(jointStiffness({ ...JOINT, gearStiffness: 900 }, Number.POSITIVE_INFINITY)).toBe(900);
});
