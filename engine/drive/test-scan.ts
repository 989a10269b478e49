// Random strides, drives and motors for the scan, the same everywhere. Read by tests only.
import { rad } from '../quantity/angle.ts';
import type { JointTrajectory } from './drive-load.ts';
import type { JointDrive, Motor } from './leg-drive.ts';
import { motor, transmission } from './test-motor.ts';

/** Uniform draws from 0 to 1. Park & Miller, Comm. ACM 31 (1988) 1192: minimal standard generator. */
export function draws(start: number): () => number {
  let seed = start;
  return () => {
    seed = (seed * 48271) % 2147483647;
    return seed / 2147483647;
  };
}

/** A smooth periodic stride: five harmonics of angle with their derivatives, and a moment of its own. */
export function randomStride(uniform: () => number, n = 201): JointTrajectory {
  const time = 0.8 + 0.6 * uniform();
  const waves = Array.from({ length: 5 }, (_, k) => ({
    order: k + 1,
    size: (0.5 * uniform()) / (k + 1) ** 2,
    shift: 2 * Math.PI * uniform(),
    moment: (80 * uniform()) / (k + 1),
    lag: 2 * Math.PI * uniform(),
  }));
  const curve = (f: (wave: (typeof waves)[number], phase: number, rate: number) => number): Float64Array =>
    Float64Array.from({ length: n }, (_, i) =>
      waves.reduce((sum, wave) => {
        const rate = (2 * Math.PI * wave.order) / time;
        return sum + f(wave, (2 * Math.PI * wave.order * i) / (n - 1), rate);
      }, 0),
    );
  return {
    angle: curve((w, phase) => w.size * Math.sin(phase + w.shift)),
    velocity: curve((w, phase, rate) => w.size * rate * Math.cos(phase + w.shift)),
    acceleration: curve((w, phase, rate) => -w.size * rate * rate * Math.sin(phase + w.shift)),
    moment: curve((w, phase) => w.moment * Math.sin(phase + w.lag)),
  };
}

/** A motor from a small one to a large one; every other one saturates. */
export function randomMotor(uniform: () => number): Motor {
  const { saturationCurrent: _, ...linear } = motor;
  const saturates = uniform() < 0.5;
  return {
    ...linear,
    polePairs: 7 + Math.floor(14 * uniform()),
    fluxLinkage: 0.003 + 0.006 * uniform(),
    resistance: 0.02 + 0.3 * uniform(),
    inductanceQ: (20 + 200 * uniform()) * 1e-6,
    rotorInertia: (0.2 + 4 * uniform()) * 1e-4,
    coulombDrag: 0.1 * uniform(),
    viscousDrag: 3e-4 * uniform(),
    ...(saturates && { saturationCurrent: 40 + 200 * uniform() }),
  };
}

/** A joint whose output side is anything: friction, inertia, and a spring in every other one. */
export function randomDrive(uniform: () => number): JointDrive {
  const sprung = uniform() < 0.5;
  return {
    motor: randomMotor(uniform),
    transmission: {
      ...transmission,
      ratio: 5 + 55 * uniform(),
      inputInertia: 4e-5 * uniform(),
      outputInertia: 0.02 * uniform(),
      drivingEfficiency: 0.85 + 0.14 * uniform(),
      backDrivenEfficiency: 0.85 + 0.14 * uniform(),
      outputCoulomb: 0.5 * uniform(),
      outputViscous: 0.1 * uniform(),
    },
    ...(sprung && {
      parallelSpring: {
        stiffness: 100 * uniform(),
        equilibrium: rad(0.1),
        engaged: { from: rad(-0.2), to: rad(0.3) },
      },
    }),
    currentLimit: 60,
    modulation: uniform() < 0.5 ? 'sine' : 'spaceVector',
    voltageMargin: 0.95,
    range: { from: rad(-1), to: rad(2) },
  };
}
