// Play between the flanks of a joint's gears, as `driveStep` has it.
import { describe, expect, test } from 'vitest';
import type { JointDrive } from '../drive/leg-drive.ts';
import { currentFor } from '../drive/motor-torque.ts';
import { lossless, lossy } from '../drive/test-drive.ts';
import { rungeKutta4 } from '../numeric/runge-kutta.ts';
import { radFromDeg } from '../quantity/angle.ts';
import { DRIVE, driveState, driveStep, driveTick, walkDrive } from './walk-drive.ts';

const bridge = { switchingFrequency: 2e4, onResistance: 3e-3, switchingTime: 6e-8, quiescentPower: 2 };
const STEP = 1e-6;
/** Wide enough that a flight takes thousands of steps. */
const PLAY = radFromDeg(2 as never);

const withPlay = (joint: JointDrive, backlash: number = PLAY) => {
  const transmission = { ...joint.transmission, backlash: backlash as typeof PLAY };
  return walkDrive({ ...joint, transmission }, bridge, 500);
};
const stateOf = (drive: ReturnType<typeof walkDrive>, step = STEP) =>
  driveState(drive, drive.referenceTemperature, step, 1e-3);
/** A motor that gives `torque` N·m at the joint from now on. */
function give(drive: ReturnType<typeof walkDrive>, state: Float64Array, torque: number): void {
  state[DRIVE.asked] = state[DRIVE.current] = currentFor(drive.motor, torque / drive.ratio);
}

describe('in the gap', () => {
  test.each([
    ['without friction', lossless, 0],
    // the output's friction and the mesh need a flank to act on: neither is in it
    ['against the rotor’s own dry friction', { ...lossy, motor: { ...lossy.motor, viscousDrag: 0 } }, 1],
  ] as const)('a rotor flies from flank to flank in √(2·b·J/(τ − τ_c)), %s', (_, joint, dry) => {
    const drive = withPlay(joint);
    const state = stateOf(drive);
    const torque = 5;
    give(drive, state, torque);
    state[DRIVE.rotor] = -drive.halfPlay;
    state[DRIVE.slips] = 1;
    // an anchor that already slips
    state[DRIVE.anchor] = -drive.halfPlay - 1;
    let steps = 0;
    while (state[DRIVE.flank] !== 1) {
      driveStep(drive, state, 0, 0);
      if (state[DRIVE.flank] !== 1 && state[DRIVE.output] !== 0) throw new Error('carried');
      steps++;
    }
    const drives = torque - dry * drive.ratio * joint.motor.coulombDrag;
    const flight = Math.sqrt((2 * PLAY * drive.rotorInertia) / drives);
    expect((steps * STEP) / flight).toBeCloseTo(1, 3);
    expect(state[DRIVE.meeting]! / Math.sqrt((2 * PLAY * drives) / drive.rotorInertia)).toBeCloseTo(1, 3);
  });

  test('a rotor that rests is moved by no joint that stays within it, and by one that does not', () => {
    const drive = withPlay(lossy);
    const state = stateOf(drive, 1e-5);
    const swing = (share: number) => {
      for (let k = 0; k < 50_000; k++) {
        const at = 20 * k * 1e-5;
        driveStep(
          drive,
          state,
          share * drive.halfPlay * Math.sin(at),
          share * drive.halfPlay * 20 * Math.cos(at),
        );
      }
      return Math.abs(state[DRIVE.rotor]!);
    };
    expect(swing(0.99)).toBe(0);
    expect(swing(2)).toBeGreaterThan(0.1 * drive.halfPlay);
  });
});

describe('a meeting of flanks', () => {
  const drive = withPlay(lossless);
  // rotor on the gears, the joint held: J·δ̈ + D·δ̇ + K·δ = 0 from δ = 0 at speed v until the flank would pull
  const decay = drive.gearDamping / (2 * drive.rotorInertia);
  const swings = Math.sqrt(drive.gearStiffness / drive.rotorInertia - decay ** 2);
  const contact = (Math.PI - Math.atan2(2 * decay * swings, swings ** 2 - decay ** 2)) / swings;
  /** Schwager & Pöschel, Granular Matter 9 (2007) 465, FROM MEMORY; the two lines above give the same by δ̈ = 0. */
  const restitution = Math.exp(-decay * contact);

  test('throws the rotor back with e = exp(−β·t_c), flank after flank, and counts each', () => {
    const state = stateOf(drive);
    const speed = 1.2;
    state[DRIVE.rotor] = -drive.halfPlay;
    state[DRIVE.rotorRate] = speed;
    const meets: { at: number; speed: number; hardest: number }[] = [];
    let [flank, hardest] = [0, 0];
    for (let k = 0; meets.length < 6; k++) {
      driveStep(drive, state, 0, 0);
      if (state[DRIVE.flank] !== 0 && flank === 0) {
        const last = meets.at(-1);
        if (last !== undefined) last.hardest = hardest;
        hardest = 0;
        meets.push({ at: k * STEP, speed: state[DRIVE.meeting]!, hardest });
        expect(state[DRIVE.changes]).toBe(meets.length > 1 ? 1 : 0);
        driveTick(drive, state);
        expect(state[DRIVE.meeting]).toBe(0);
      }
      flank = state[DRIVE.flank]!;
      hardest = Math.max(hardest, Math.abs(state[DRIVE.output]!));
    }
    // largest of K·δ + D·δ̇ by the closed form on a fine grid
    const most = (v: number) =>
      Array.from({ length: 20_001 }, (_, i) => (i / 20_000) * contact).reduce((top, t) => {
        const [sin, cos] = [Math.sin(swings * t), Math.cos(swings * t)];
        const fall = (v / swings) * Math.exp(-decay * t);
        const push =
          drive.gearStiffness * fall * sin + drive.gearDamping * fall * (swings * cos - decay * sin);
        return Math.max(top, push);
      }, 0);
    for (let n = 0; n < 5; n++) {
      const v = speed * restitution ** n;
      expect(meets[n]!.speed / v).toBeCloseTo(1, 3);
      expect(meets[n]!.hardest / most(v)).toBeCloseTo(1, 3);
      // the flank lets go while K·δ = −D·δ̇, so the flight is as much longer
      const next = contact + PLAY / (v * restitution) + drive.gearDamping / drive.gearStiffness;
      expect((meets[n + 1]!.at - meets[n]!.at) / next).toBeCloseTo(1, 3);
    }
  });

  test('never pulls: torque and twist beyond the gap have one sign, and nothing is carried within it', () => {
    const lossyDrive = withPlay(
      { ...lossy, transmission: { ...lossy.transmission, outputViscous: 0 } },
      PLAY / 4,
    );
    const state = stateOf(lossyDrive, 1e-5);
    let [angle, velocity, carried, free] = [0, 0, 0, 0];
    for (let k = 0; k < 100_000; k++) {
      give(lossyDrive, state, 25 * Math.sin(40 * k * 1e-5) + 5 * Math.sin(310 * k * 1e-5));
      const wound = state[DRIVE.rotor]! - angle;
      driveStep(lossyDrive, state, angle, velocity);
      const torque = state[DRIVE.output]!;
      if (Math.abs(wound) <= lossyDrive.halfPlay) {
        free++;
        if (torque !== 0) throw new Error(`${torque} N·m in the gap`);
      } else if (torque !== 0) {
        carried++;
        if (torque * wound < 0) throw new Error(`${torque} N·m at ${wound} rad`);
      }
      velocity += (1e-5 * torque) / 0.2;
      angle += 1e-5 * velocity;
    }
    expect(Math.min(carried, free)).toBeGreaterThan(1000);
  });
});

test('what the motor gives is in rotor and gears, at the joint, or lost, flanks apart or not', () => {
  const drive = withPlay(lossy, PLAY / 8);
  const missed = (step: number): number => {
    const state = driveState(drive, 298, step, 1e-3);
    let [angle, velocity, given, moved, last] = [0, 0, 0, 0, 0];
    for (let k = 0; ; k++) {
      state[DRIVE.asked] = 20 * Math.sin(40 * k * step);
      driveStep(drive, state, angle, velocity);
      const power = state[DRIVE.motorPower]! + state[DRIVE.frictionPower]! - state[DRIVE.output]! * velocity;
      if (k > 0) {
        given += (step * (power + last)) / 2;
        moved += Math.abs(step * state[DRIVE.motorPower]!);
      }
      last = power;
      if ((k + 1) * step >= 0.5) {
        expect(state[DRIVE.changes]).toBeGreaterThan(4);
        return Math.abs(given - state[DRIVE.stored]!) / moved;
      }
      velocity += (step * state[DRIVE.output]!) / 0.2;
      angle += step * velocity;
    }
  };
  const [coarse, fine] = [missed(1e-4), missed(5e-5)];
  expect(coarse).toBeLessThan(0.005);
  expect(fine).toBeLessThan(0.6 * coarse);
});

test('without play the gears are a spring and a damper to the last bit, pulling too', () => {
  const drive = withPlay(lossless, 0);
  for (const [rotor, rate] of [
    [0, 0.3],
    [0.01, -3],
    [-0.01, 3],
    [0.02, 1],
  ] as const) {
    const state = stateOf(drive);
    state[DRIVE.rotor] = rotor;
    state[DRIVE.rotorRate] = rate;
    driveStep(drive, state, 0, 0);
    expect(state[DRIVE.output]).toBe(drive.gearStiffness * rotor + drive.gearDamping * rate);
    expect(state[DRIVE.stored]).toBe(
      0.5 * (drive.rotorInertia * rate * rate + drive.gearStiffness * rotor * rotor),
    );
    driveTick(drive, state);
    expect(state[DRIVE.changes]).toBeNaN();
    expect(state[DRIVE.meeting]).toBeNaN();
  }
});

/**
 * A position loop on the joint's own encoder, τ = −k_p·θ, with viscous drag at rotor and joint. For a swing of amplitude A a gap of half-width s
 * is a softer spring (Gelb & Vander Velde, Multiple-Input Describing Functions and Nonlinear System Design, 1968, dead zone, FROM MEMORY):
 *
 *     k(A) = K·(1 − (2/π)·(asin(s/A) + (s/A)·√(1 − (s/A)²))),   A > s
 *
 * On a spring k the loop is  J·I·p⁴ + (J·c + B·I)·p³ + ((J + I)·k + B·c)·p² + (B + c)·k·p + k_p·k = 0, and swings on steadily where p = iω.
 */
describe('a stiff position loop round a gap', () => {
  const drive = { ...withPlay(lossless, PLAY / 8), gearDamping: 0, rotorViscous: 1.5, outputViscous: 1.5 };
  const { rotorInertia: J, rotorViscous: B, outputViscous: c, gearStiffness: K, halfPlay: s } = drive;
  const I = 0.15;
  const kp = 400;
  // ω² = a·k from the odd powers, put into the even ones
  const a = (B + c) / (J * c + B * I);
  const k = (kp - B * c * a) / (a * (J + I) - J * I * a * a);
  const gap = (A: number) =>
    K * (1 - (2 / Math.PI) * (Math.asin(s / A) + (s / A) * Math.sqrt(1 - (s / A) ** 2)));
  const predicted = () => {
    let [lo, hi] = [s, 1000 * s];
    for (let n = 0; n < 60; n++) {
      const A = (lo + hi) / 2;
      if (gap(A) < k) lo = A;
      else hi = A;
    }
    return { amplitude: lo, rate: Math.sqrt(a * k) };
  };
  /** Amplitude of the twist and rate of the swing in the last of `seconds`. */
  const swing = (run: (each: (wound: number) => void) => void) => {
    let [before, amplitude] = [0, 0];
    const crossings: number[] = [];
    let n = 0;
    run((wound) => {
      n++;
      if (n < TAIL) return;
      if (before < 0 && wound >= 0) crossings.push(n);
      before = wound;
      amplitude = Math.max(amplitude, Math.abs(wound));
    });
    const period = ((crossings.at(-1)! - crossings[0]!) / (crossings.length - 1)) * H;
    return { amplitude, rate: (2 * Math.PI) / period };
  };
  const H = 2e-5;
  const TAIL = 250_000;
  const ALL = 300_000;

  /** The loop on gears with so much play, let go at twice the gap. */
  const run = (halfPlay: number) =>
    swing((each) => {
      const gears = { ...drive, halfPlay };
      const state = driveState(gears, gears.referenceTemperature, H, 1e-3);
      let [angle, velocity] = [2 * s, 0];
      for (let n = 0; n < ALL; n++) {
        give(gears, state, -kp * angle);
        each(state[DRIVE.rotor]! - angle);
        driveStep(gears, state, angle, velocity);
        velocity += (H * state[DRIVE.output]!) / I;
        angle += H * velocity;
      }
    });
  const simulated = run(s);

  test('comes to rest without the gap', () => {
    expect(run(0).amplitude).toBeLessThan(1e-3 * simulated.amplitude);
  });

  test('swings on by itself as the same two inertias do, integrated another way', () => {
    const y = Float64Array.of(0, 0, 2 * s, 0);
    const step = rungeKutta4(([r, w, q, v], out) => {
      const twist = r! - q!;
      const T = K * (Math.max(twist - s, 0) + Math.min(twist + s, 0));
      out.set([w!, (-kp * q! - B * w! - T) / J, v!, (T - c * v!) / I]);
    }, 4);
    const plain = swing((each) => {
      for (let n = 0; n < ALL; n++) {
        each(y[0]! - y[2]!);
        step(y, H);
      }
    });
    expect(simulated.amplitude / plain.amplitude).toBeCloseTo(1, 2);
    expect(simulated.rate / plain.rate).toBeCloseTo(1, 2);
  });

  test('near the amplitude and rate that the describing function tells', () => {
    const told = predicted();
    // it takes the swing for a sine
    expect(Math.abs(simulated.rate / told.rate - 1)).toBeLessThan(0.05);
    expect(Math.abs(simulated.amplitude / told.amplitude - 1)).toBeLessThan(0.1);
  });
});
