import { expect, test } from 'vitest';
import { endStopTorque, type StopRun } from './end-stop-torque.ts';
import { hardStopTorque } from './impact.ts';
import { near } from './test-motor.ts';

const run: StopRun = {
  linkInertia: 0.25,
  rotorInertia: 0.0768,
  gearStiffness: 900,
  stopStiffness: 3000,
  stopDamping: 0,
  velocity: 3,
};

test('a stop that takes all of the link’s energy leaves the rotor on the gears: the closed form', () => {
  // critically damped and stiff: the link stays where it met the stop
  const stopStiffness = 1e7;
  const stopDamping = 2 * Math.sqrt(stopStiffness * run.linkInertia);
  near(endStopTorque({ ...run, stopStiffness, stopDamping }), hardStopTorque(900, 0.0768, 3), 0.01);
});

test('a stop that gives all of it back: link and rotor meet at twice the speed', () => {
  const reduced = (0.25 * 0.0768) / (0.25 + 0.0768);
  near(endStopTorque({ ...run, stopStiffness: 1e8 }), 2 * 3 * Math.sqrt(900 * reduced), 0.01);
});

test('gears that do not give: link and rotor are one mass on the stop', () => {
  // one oscillator at q̇ on K_s; the gears carry the rotor’s share of the deceleration
  const whole = 0.25 + 0.0768;
  const deceleration = 3 * Math.sqrt(3000 / whole);
  near(endStopTorque({ ...run, gearStiffness: 1e7 }), 0.0768 * deceleration, 0.05);
});

test('torque goes with the speed, and a damped stop loads the gears less', () => {
  near(endStopTorque({ ...run, velocity: 6 }) / endStopTorque(run), 2, 1e-9);
  expect(endStopTorque({ ...run, stopDamping: 20 })).toBeLessThan(endStopTorque(run));
});

test('never more than all the energy there is', () => {
  for (const stopStiffness of [300, 3000, 30_000, 1e6]) {
    const torque = endStopTorque({ ...run, stopStiffness });
    expect(torque ** 2 / (2 * 900)).toBeLessThan(0.5 * (0.25 + 0.0768) * 9);
  }
});
