import { expect, test } from 'vitest';
import { rungeKutta4 } from '../numeric/runge-kutta.ts';
import { rad } from '../quantity/angle.ts';
import type { JointDrive } from './leg-drive.ts';
import { currentFor, torqueOf } from './motor-torque.ts';
import { saturationFrequency } from './saturation-frequency.ts';
import { motor, near, transmission } from './test-motor.ts';
import { jointDamping, outputLockedTorque, torqueReach } from './torque-bandwidth.ts';
import { phaseVoltageLimit } from './voltage-limit.ts';

const drive: JointDrive = {
  motor: { ...motor, saturationCurrent: 90 },
  transmission,
  currentLimit: 55,
  modulation: 'spaceVector',
  voltageMargin: 0.95,
  range: { from: rad(-1), to: rad(1) },
};

test('DRV-B5 rotor on the gears, output locked', () => {
  const r = outputLockedTorque(0.0768, 900, 1.2);
  near(r.naturalFrequency, 17.229);
  near(r.dampingRatio, 0.072169);
  near(r.bandwidth, 26.6714);
  // resonance by its own definition: the largest of the response over frequency
  let most = 0;
  for (let f = 10; f < 25; f += 1e-3) {
    const w = 2 * Math.PI * f;
    most = Math.max(most, 900 / Math.hypot(900 - 0.0768 * w * w, 1.2 * w));
  }
  near(r.resonance, most, 1e-6);
});

test('well damped: nothing resonates; undamped: without bound', () => {
  expect(outputLockedTorque(0.0768, 900, 20).resonance).toBe(1);
  expect(outputLockedTorque(0.0768, 900, 0).resonance).toBe(Number.POSITIVE_INFINITY);
});

test('large torque: at the limit, rotor and winding integrated in time need just the bus and no more', () => {
  const amplitude = 40;
  const { frequency, limitedBy } = torqueReach(drive, 18, amplitude);
  expect(limitedBy).toBe('voltage');
  const w = 2 * Math.PI * frequency;
  const [N, K, J, b] = [transmission.ratio, 900, 0.0768, jointDamping(drive)];
  // the rotor is driven by the torque of the current that the formula names; its own integration gives the swing back
  const torque = (t: number): number =>
    (amplitude * ((1 - (J * w * w) / K) * Math.sin(w * t) + ((b * w) / K) * Math.cos(w * t))) / N;
  const y = Float64Array.of(0, (w * amplitude) / K, 0);
  const step = rungeKutta4((s, out) => {
    out[0] = s[1];
    out[1] = (N * torque(s[2]) - b * s[1] - K * s[0]) / J;
    out[2] = 1;
  }, 3);
  const h = 1 / frequency / 20000;
  let [wound, volts] = [0, 0];
  let last = currentFor(drive.motor, torque(0));
  for (let k = 0; k < 20000; k++) {
    const electrical = motor.polePairs * N * y[1];
    step(y, h);
    const current = currentFor(drive.motor, torque(y[2]));
    const q =
      motor.resistance * last + (motor.inductanceQ * (current - last)) / h + motor.fluxLinkage * electrical;
    volts = Math.max(volts, Math.hypot(q, electrical * motor.inductanceQ * last));
    wound = Math.max(wound, Math.abs(K * y[0]));
    last = current;
  }
  near(wound, amplitude, 1e-3);
  near(volts, phaseVoltageLimit(18, drive), 2e-3);
});

test('with gears that do not give, it is the current that the bus lets swing', () => {
  const stiff: JointDrive = {
    ...drive,
    motor,
    transmission: { ...transmission, torsionalStiffness: 1e12 },
  };
  const amplitude = transmission.ratio * torqueOf(motor, 40);
  near(
    torqueReach(stiff, 36, amplitude).frequency,
    saturationFrequency(motor, phaseVoltageLimit(36, drive), 40, 0),
    1e-3,
  );
});

test('an amplitude that cannot be held has no frequency', () => {
  const reach = torqueReach(drive, 36, 500);
  expect(reach.frequency).toBeNaN();
  expect(reach.limitedBy).toBe('current');
});

test('a larger torque swings slower', () => {
  const f = [10, 20, 40, 80].map((amplitude) => torqueReach(drive, 36, amplitude).frequency);
  for (let k = 1; k < f.length; k++) expect(f[k]).toBeLessThan(f[k - 1]);
});
