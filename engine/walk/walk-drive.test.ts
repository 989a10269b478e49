import { describe, expect, test } from 'vitest';
import { driveTerms } from '../drive/drive-terms.ts';
import { coldState, heatBalance } from '../drive/heat-nodes.ts';
import { inverterLoss } from '../drive/inverter-loss.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import { currentFor, torqueOf } from '../drive/motor-torque.ts';
import { shortTorque } from '../drive/shorted-phases.ts';
import { lossy } from '../drive/test-drive.ts';
import { phaseVoltageLimit, speedLimit } from '../drive/voltage-limit.ts';
import { rungeKutta4 } from '../numeric/runge-kutta.ts';
import {
  askCurrent,
  cutPower,
  DRIVE,
  drivePerVolt,
  drivePower,
  driveState,
  driveStep,
  driveTick,
  type WalkDrive,
  walkDrive,
} from './walk-drive.ts';

const bridge = { switchingFrequency: 2e4, onResistance: 3e-3, switchingTime: 6e-8, quiescentPower: 2 };
const thermal = {
  windingToHousing: 0.15,
  housingToAmbient: 2.5,
  windingCapacity: 69,
  housingCapacity: 270,
  windingLimit: 393,
};
const joint: JointDrive = { ...lossy, motor: { ...lossy.motor, saturationCurrent: 90 }, thermal };
const drive = walkDrive(joint, bridge, 500);
const STEP = 1e-4;

function stepped(
  of: WalkDrive,
  state: Float64Array,
  angle: number,
  velocity: number,
  acceleration: number,
): void {
  driveStep(of, state, Float64Array.of(angle), Float64Array.of(velocity), Float64Array.of(acceleration), 0);
}

describe('what reaches the joint', () => {
  test.each([
    ['motor drives forwards', 20, 3],
    ['motor drives backwards', -20, -3],
    ['joint drives', 20, -3],
    ['joint drives, slowly', -5, 0.4],
  ])('%s: the motor torque that the drive chapter asks for it', (_, current, velocity) => {
    const state = driveState(drive, joint.motor.referenceTemperature, STEP);
    state[DRIVE.asked] = current;
    for (let k = 0; k < 4000; k++) stepped(drive, state, k * STEP * velocity, velocity, 0);
    const { motorTorque } = driveTerms(joint, {
      angle: 0,
      velocity,
      acceleration: 0,
      moment: state[DRIVE.output]!,
    });
    expect(state[DRIVE.current]).toBeCloseTo(current, 10);
    expect(state[DRIVE.motorTorque]! / torqueOf(joint.motor, current)).toBeCloseTo(1, 10);
    expect(state[DRIVE.motorTorque]! / motorTorque).toBeCloseTo(1, 10);
    expect(state[DRIVE.frictionPower]).toBeLessThan(0);
  });

  test('dry friction holds a push below breakaway and lets a larger one go', () => {
    const run = (torque: number) => {
      const state = driveState(drive, 298, STEP);
      let [angle, velocity, acceleration] = [0, 0, 0];
      for (let k = 0; k < 10_000; k++) {
        stepped(drive, state, angle, velocity, acceleration);
        // pushed slowly: a sudden push swings beyond itself and would break loose
        acceleration = (torque * Math.min(1, k / 5000) + state[DRIVE.output]!) / 0.2;
        velocity += STEP * acceleration;
        angle += STEP * velocity;
      }
      return { angle, velocity, gives: torque / drive.stickStiffness };
    };
    const held = run(0.9 * drive.breakaway);
    expect(Math.abs(held.velocity)).toBeLessThan(1e-9);
    expect(Math.abs(held.angle / held.gives - 1)).toBeLessThan(1e-6);
    expect(held.angle).toBeLessThan(0.001);
    expect(run(1.5 * drive.breakaway).velocity).toBeGreaterThan(0.5);
  });

  test('a loaded joint at rest sticks by its mesh: more so the more it carries', () => {
    // the motor pushes with 30 N·m at the joint, the load with a little less: which moves it only beyond the loss of the mesh
    const still = (load: number) => {
      const state = driveState(drive, joint.motor.referenceTemperature, STEP);
      state[DRIVE.asked] = currentFor(joint.motor, 30 / drive.ratio);
      state[DRIVE.current] = state[DRIVE.asked]!;
      let [angle, velocity, acceleration] = [0, 0, 0];
      for (let k = 0; k < 10_000; k++) {
        stepped(drive, state, angle, velocity, acceleration);
        acceleration = (load + state[DRIVE.output]!) / 0.2;
        velocity += STEP * acceleration;
        angle += STEP * velocity;
      }
      return Math.abs(velocity) < 1e-6;
    };
    const mesh = 30 * drive.drivingLoss;
    expect(still(-30 + 0.9 * (mesh + drive.breakaway))).toBe(true);
    expect(still(-30 + drive.breakaway + mesh + 1)).toBe(false);
  });
});

test('the current that the bus allows is the one at which the motor reaches this speed', () => {
  const plain = walkDrive(
    { ...joint, motor: { ...joint.motor, saturationCurrent: undefined } as never },
    bridge,
    500,
  );
  const volts = 40;
  // braking hard, the same speed has two ends: the lower one is met from below
  for (const current of [30, 5, -5, -30]) {
    const speed = speedLimit(joint.motor, phaseVoltageLimit(volts, joint), current);
    const state = driveState(plain, joint.motor.referenceTemperature, STEP);
    const asked = (current < -20 ? -55 : 55) * plain.ratio * plain.torqueConstant;
    askCurrent(plain, state, asked, speed / plain.ratio, volts);
    expect(state[DRIVE.asked]).toBeCloseTo(current, 8);
    expect(state[DRIVE.limit]).toBe(2);
  }
  const state = driveState(drive, joint.motor.referenceTemperature, STEP);
  askCurrent(drive, state, 1e4, 0, volts);
  expect(state[DRIVE.asked]).toBe(drive.largestCurrent);
  expect(state[DRIVE.limit]).toBe(1);
  askCurrent(drive, state, drive.ratio * torqueOf(joint.motor, 12), 0.1, volts);
  expect(state[DRIVE.asked]).toBeCloseTo(12, 10);
  expect(state[DRIVE.limit]).toBe(0);
  askCurrent(drive, state, Number.NaN, 0.1, volts);
  expect(state[DRIVE.asked]).toBeNaN();
});

test('power at the bus is shaft, copper and bridge', () => {
  const state = driveState(drive, joint.motor.referenceTemperature, STEP);
  state[DRIVE.asked] = state[DRIVE.current] = 15;
  for (let k = 0; k < 10; k++) stepped(drive, state, k * STEP * 2, 2, 0);
  const volts = 44;
  const shaft = drive.ratio * torqueOf(joint.motor, 15) * 2;
  const want = shaft + 1.5 * joint.motor.resistance * 15 ** 2 + inverterLoss(bridge, 15, volts);
  expect(drivePower(drive, state, 1e-3) + volts * drivePerVolt(drive, state, 1e-3)).toBeCloseTo(want, 9);
});

test('winding and housing go as in the heat chapter, integrated another way', () => {
  const [ambient, current, velocity] = [298, 25, 2];
  const state = driveState(drive, ambient, STEP);
  state[DRIVE.asked] = state[DRIVE.current] = current;
  // the joint turns steadily; what its friction takes changes a little with the magnets
  let [friction, ticks] = [0, 0];
  for (let k = 0; k < 600_000; k++) {
    stepped(drive, state, k * STEP * velocity, velocity, 0);
    if (k % 10 === 9) {
      friction += state[DRIVE.friction]! / 1e-3;
      ticks++;
      driveTick(drive, state, ambient, 1e-3);
    }
  }
  const own = { ...joint.motor, magnetCoefficient: 0 };
  const load = {
    copper: 1.5 * own.resistance * current ** 2,
    fluxExponent: 0,
    friction: friction / ticks,
    rotor: 'turning',
  } as const;
  const nodes = coldState(ambient);
  const step = rungeKutta4(heatBalance({ motor: own, thermal, ambient }, load), 3);
  for (let k = 0; k < 600; k++) step(nodes, 0.1);
  expect(Math.abs(state[DRIVE.winding]! - nodes[0]!)).toBeLessThan(0.02);
  expect(Math.abs(state[DRIVE.housing]! - nodes[2]!)).toBeLessThan(0.02);
  expect(state[DRIVE.winding]!).toBeGreaterThan(ambient + 20);
});

test('without power the phases brake as the drive chapter says, or not at all, and the bus sees nothing', () => {
  for (const short of ['open', 0, 0.7] as const) {
    const state = driveState(drive, joint.motor.referenceTemperature, STEP);
    state[DRIVE.asked] = state[DRIVE.current] = 30;
    cutPower(state, short);
    for (let k = 0; k < 100; k++) stepped(drive, state, k * STEP * 4, 4, 0);
    const want = short === 'open' ? 0 : -shortTorque(joint.motor, drive.ratio * 4, short);
    expect(Math.abs(state[DRIVE.motorTorque]! - want)).toBeLessThan(1e-12);
    expect(state[DRIVE.motorPower]).toBeLessThanOrEqual(0);
    expect(drivePower(drive, state, 1e-2)).toBe(bridge.quiescentPower);
    expect(state[DRIVE.current]).toBe(0);
  }
});
