import { describe, expect, test } from 'vitest';
import { driveTerms } from '../drive/drive-terms.ts';
import { coldState, heatBalance } from '../drive/heat-nodes.ts';
import { inverterLoss } from '../drive/inverter-loss.ts';
import type { JointDrive } from '../drive/leg-drive.ts';
import { currentFor, torqueOf } from '../drive/motor-torque.ts';
import { shortTorque } from '../drive/shorted-phases.ts';
import { lossless, lossy } from '../drive/test-drive.ts';
import { phaseVoltageLimit, speedLimit } from '../drive/voltage-limit.ts';
import { rungeKutta4 } from '../numeric/runge-kutta.ts';
import {
  askCurrent,
  cutPower,
  DRIVE,
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
const PERIOD = 1e-3;

/** The state with so many N·m asked of a bus at so many V. */
function asking(state: Float64Array, torque: number, busVoltage: number): Float64Array {
  state[DRIVE.wanted] = torque;
  state[DRIVE.bus] = busVoltage;
  return state;
}

/** A joint of 0.2 kg·m² on the drive, pushed by `load` N·m, for `steps`. */
function pushed(of: WalkDrive, state: Float64Array, load: (step: number) => number, steps = 20_000) {
  let [angle, velocity] = [0, 0];
  for (let k = 0; k < steps; k++) {
    driveStep(of, state, angle, velocity);
    velocity += (STEP * (load(k) + state[DRIVE.output]!)) / 0.2;
    angle += STEP * velocity;
  }
  return { angle, velocity };
}

describe('what reaches the joint', () => {
  test.each([
    ['motor drives forwards', 20, 3],
    ['motor drives backwards', -20, -3],
    ['joint drives', 20, -3],
    ['joint drives, slowly', -5, 0.4],
  ])('%s: the motor torque that the drive chapter asks for it', (_, current, velocity) => {
    const state = driveState(drive, joint.motor.referenceTemperature, STEP, PERIOD);
    state[DRIVE.asked] = current;
    // until the gears, wound up at once, no longer swing
    for (let k = 0; k < 80_000; k++) driveStep(drive, state, k * STEP * velocity, velocity);
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
      const state = driveState(drive, 298, STEP, PERIOD);
      // pushed slowly: a sudden push swings beyond itself and would break loose
      return pushed(drive, state, (k) => torque * Math.min(1, k / 50_000), 200_000);
    };
    const torque = 0.9 * drive.breakaway;
    const held = run(torque);
    expect(Math.abs(held.velocity)).toBeLessThan(1e-9);
    // what sticks and the gears, one after the other
    expect(held.angle / (torque / drive.stickStiffness + torque / drive.gearStiffness)).toBeCloseTo(1, 6);
    expect(run(1.5 * drive.breakaway).velocity).toBeGreaterThan(0.5);
  });

  test('a loaded rotor at rest sticks by its mesh: more so the more it carries', () => {
    // the motor pushes with 30 N·m at the joint, the load with a little less: which moves it only beyond the loss of the mesh
    const still = (load: number) => {
      const state = driveState(drive, joint.motor.referenceTemperature, STEP, PERIOD);
      // both rise slowly: at once they would wind the gears up by twice as much
      const end = 50_000;
      let [angle, velocity] = [0, 0];
      for (let k = 0; k < 4 * end; k++) {
        const share = Math.min(1, k / end);
        state[DRIVE.asked] = currentFor(joint.motor, (30 * share) / drive.ratio);
        driveStep(drive, state, angle, velocity);
        velocity += (STEP * (share * load + state[DRIVE.output]!)) / 0.2;
        angle += STEP * velocity;
      }
      return Math.abs(velocity) < 1e-6;
    };
    const loss = (carried: number) => carried * drive.backDrivenLoss;
    const [least, most] = [30 - drive.breakaway - loss(30), 30 + drive.breakaway];
    expect(still(-(least + 0.5))).toBe(true);
    expect(still(-(least - 1))).toBe(false);
    expect(still(-(most - 0.5))).toBe(true);
  });
});

describe('elastic gears', () => {
  const free = walkDrive(lossless, bridge, 500);

  test('a joint that is held yields by what its motor pushes over the stiffness of the gears', () => {
    const state = driveState(free, lossless.motor.referenceTemperature, STEP, PERIOD);
    state[DRIVE.asked] = 12;
    for (let k = 0; k < 80_000; k++) driveStep(free, state, 0, 0);
    const torque = free.ratio * torqueOf(lossless.motor, 12);
    expect(state[DRIVE.output]! / torque).toBeCloseTo(1, 9);
    expect(state[DRIVE.rotor]! / (torque / lossless.transmission.torsionalStiffness)).toBeCloseTo(1, 9);
  });

  test('rotor and joint swing against each other as two inertias on a spring, and die out as it damps', () => {
    const [limb, step] = [0.05, 1e-5];
    const state = driveState(free, 298, step, PERIOD);
    state[DRIVE.rotor] = 0.02;
    let [angle, velocity] = [0, 0];
    const crossings: number[] = [];
    let before = 0.02;
    const peaks: number[] = [];
    let peak = 0;
    for (let k = 0; k < 60_000; k++) {
      driveStep(free, state, angle, velocity);
      velocity += (step * state[DRIVE.output]!) / limb;
      angle += step * velocity;
      const apart = state[DRIVE.rotor]! - angle;
      if (before > 0 !== apart > 0) {
        crossings.push(k * step);
        peaks.push(peak);
        peak = 0;
      }
      peak = Math.max(peak, Math.abs(apart));
      before = apart;
    }
    // μ = J_r·J_l/(J_r + J_l), ω_0² = K_g/μ, δ = D_g/(2μ): x = x_0·e^(−δt)·cos(ω_d·t)
    const reduced = (free.rotorInertia * limb) / (free.rotorInertia + limb);
    const decay = free.gearDamping / (2 * reduced);
    const damped = Math.sqrt(free.gearStiffness / reduced - decay ** 2);
    const half = (crossings.at(-1)! - crossings[0]!) / (crossings.length - 1);
    expect(half / (Math.PI / damped)).toBeCloseTo(1, 3);
    expect(Math.log(peaks[1]! / peaks.at(-1)!) / (decay * half * (peaks.length - 2))).toBeCloseTo(1, 2);
  });

  test('what the motor gives is in rotor and gears, at the joint, or lost', () => {
    const energy = (step: number): number => {
      const state = driveState(drive, 298, step, PERIOD);
      let [angle, velocity, given, moved] = [0, 0, 0, 0];
      let last = 0;
      for (let k = 0; k * step < 0.5; k++) {
        state[DRIVE.asked] = 20 * Math.sin(40 * k * step);
        driveStep(drive, state, angle, velocity);
        const power =
          state[DRIVE.motorPower]! + state[DRIVE.frictionPower]! - state[DRIVE.output]! * velocity;
        if (k > 0) {
          given += (step * (power + last)) / 2;
          moved += Math.abs(step * state[DRIVE.motorPower]!);
        }
        last = power;
        // stored before this step, of what was given up to it
        if ((k + 1) * step >= 0.5) return Math.abs(given - state[DRIVE.stored]!) / moved;
        velocity += (step * state[DRIVE.output]!) / 0.2;
        angle += step * velocity;
      }
      return Number.NaN;
    };
    const [coarse, fine] = [energy(1e-4), energy(5e-5)];
    expect(coarse).toBeLessThan(0.005);
    expect(fine).toBeLessThan(0.6 * coarse);
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
    const state = driveState(plain, joint.motor.referenceTemperature, STEP, PERIOD);
    const asked = (current < -20 ? -55 : 55) * plain.ratio * plain.torqueConstant;
    state[DRIVE.rotorRate] = speed / plain.ratio;
    askCurrent(asking(state, asked, volts));
    expect(state[DRIVE.asked]).toBeCloseTo(current, 8);
    expect(state[DRIVE.limit]).toBe(2);
  }
  const state = driveState(drive, joint.motor.referenceTemperature, STEP, PERIOD);
  askCurrent(asking(state, 1e4, volts));
  expect(state[DRIVE.asked]).toBe(drive.largestCurrent);
  expect(state[DRIVE.limit]).toBe(1);
  state[DRIVE.rotorRate] = 0.1;
  askCurrent(asking(state, drive.ratio * torqueOf(joint.motor, 12), volts));
  expect(state[DRIVE.asked]).toBeCloseTo(12, 10);
  expect(state[DRIVE.limit]).toBe(0);
  askCurrent(asking(state, Number.NaN, volts));
  expect(state[DRIVE.asked]).toBeNaN();
});

test('power at the bus is shaft, copper and bridge', () => {
  const state = driveState(drive, joint.motor.referenceTemperature, STEP, PERIOD);
  state[DRIVE.asked] = state[DRIVE.current] = 15;
  // a rotor held to the joint's own rate
  for (let k = 0; k < 10; k++) {
    [state[DRIVE.rotor], state[DRIVE.rotorRate]] = [k * STEP * 2, 2];
    driveStep(drive, state, k * STEP * 2, 2);
  }
  const volts = 44;
  const shaft = drive.ratio * torqueOf(joint.motor, 15) * 2;
  const want = shaft + 1.5 * joint.motor.resistance * 15 ** 2 + inverterLoss(bridge, 15, volts);
  drivePower(drive, state);
  expect(state[DRIVE.watts]! + volts * state[DRIVE.perVolt]!).toBeCloseTo(want, 9);
});

test('winding and housing go as in the heat chapter, integrated another way', () => {
  const [ambient, current, velocity] = [298, 25, 2];
  const state = driveState(drive, ambient, STEP, PERIOD);
  state[DRIVE.asked] = state[DRIVE.current] = current;
  // the joint turns steadily; what its friction takes changes a little with the magnets
  let [friction, ticks] = [0, 0];
  for (let k = 0; k < 600_000; k++) {
    driveStep(drive, state, k * STEP * velocity, velocity);
    if (k % 10 === 9) {
      friction += state[DRIVE.friction]! / 1e-3;
      ticks++;
      driveTick(drive, state);
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
    const state = driveState(drive, joint.motor.referenceTemperature, STEP, PERIOD);
    state[DRIVE.asked] = state[DRIVE.current] = 30;
    state[DRIVE.rotorRate] = 4;
    cutPower(state, short);
    let turned = 0;
    for (let k = 0; k < 100; k++) {
      turned = drive.ratio * state[DRIVE.rotorRate]!;
      driveStep(drive, state, k * STEP * 4, 4);
    }
    const want = short === 'open' ? 0 : -shortTorque(joint.motor, turned, short);
    expect(Math.abs(state[DRIVE.motorTorque]! - want)).toBeLessThan(1e-12);
    expect(state[DRIVE.motorPower]).toBeLessThanOrEqual(0);
    drivePower(drive, state);
    expect(state[DRIVE.watts]).toBe(bridge.quiescentPower);
    expect(state[DRIVE.current]).toBe(0);
  }
});
