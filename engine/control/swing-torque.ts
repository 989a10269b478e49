import { inverseDynamics, type JointLoads, type LegMasses } from '../gait/inverse-dynamics.ts';
import { periodicTrajectory, type Trajectory, trajectoryAt } from './trajectory.ts';

/** Joint torques of the planned swing over the stride phase: `held` N·m, `moved` N·m·s², both nothing but numbers of a trajectory. */
export interface SwingTorque {
  readonly kneeHeld: Trajectory;
  readonly kneeMoved: Trajectory;
  readonly ankleHeld: Trajectory;
  readonly ankleMoved: Trajectory;
  /** Fastest phase whose motion is asked for, 1/s. */
  readonly fastest: number;
}

/** What swings, and N²·J of rotor and gears on each joint's own angle, kg·m². */
export interface SwungLeg {
  readonly leg: LegMasses;
  readonly kneeRotor: number;
  readonly ankleRotor: number;
  /** m/s². */
  readonly gravity: number;
}

/** Paces of the reference up to which the motion's share grows: a phase that catches up after a hold is no planned motion. Our own choice. */
const FASTEST = 1.5;
/** Samples over the stride from which harmonics are made; many times as many as there are. */
const SAMPLES = 200;

/**
 * Torque that this leg's own weight and inertia ask of its joints on the planned swing, nothing touching the ground:
 *
 *     τ(s, ṡ) = τ_held(s) + ṡ²·τ_moved(s)
 *     τ_held: inverse dynamics at rest;   τ_moved: of q′ and q″ without gravity, + J_rotor·q″
 *
 * Exact where the phase goes evenly and the hip goes evenly forward: s̈ and what the hip accelerates are left out, since the controller plans
 * neither. As many harmonics as the trajectories have, so the leg carries four more rows of one length.
 */
export function swingTorque(
  {
    thigh,
    knee,
    ankle,
  }: { readonly thigh: Trajectory; readonly knee: Trajectory; readonly ankle: Trajectory },
  pace: number,
  { leg, kneeRotor, ankleRotor, gravity }: SwungLeg,
): SwingTorque {
  const harmonics = knee.length / 2 - 1;
  const [t, n, a] = [new Float64Array(3), new Float64Array(3), new Float64Array(3)];
  const loads: JointLoads = { hip: 0, knee: 0, ankle: 0 };
  const rows = {
    kneeHeld: [] as number[],
    kneeMoved: [] as number[],
    ankleHeld: [] as number[],
    ankleMoved: [] as number[],
  };
  const loaded = (moves: 0 | 1): void => {
    const segment = (k: (i: number) => number) => ({
      angle: k(0),
      velocity: moves * k(1),
      acceleration: moves * k(2),
    });
    inverseDynamics(
      leg,
      {
        thigh: segment((i) => t[i]),
        shank: segment((i) => t[i] - n[i]),
        foot: segment((i) => t[i] - n[i] + a[i]),
        hip: { x: 0, z: 0 },
      },
      moves === 1 ? 0 : gravity,
      loads,
    );
  };
  for (let k = 0; k <= SAMPLES; k++) {
    const s = k / SAMPLES;
    trajectoryAt(thigh, s, t, 0);
    trajectoryAt(knee, s, n, 0);
    trajectoryAt(ankle, s, a, 0);
    loaded(0);
    rows.kneeHeld.push(loads.knee);
    rows.ankleHeld.push(loads.ankle);
    loaded(1);
    rows.kneeMoved.push(loads.knee + kneeRotor * n[2]);
    rows.ankleMoved.push(loads.ankle + ankleRotor * a[2]);
  }
  const fitted = (values: readonly number[]): Trajectory => periodicTrajectory(values, harmonics);
  return {
    kneeHeld: fitted(rows.kneeHeld),
    kneeMoved: fitted(rows.kneeMoved),
    ankleHeld: fitted(rows.ankleHeld),
    ankleMoved: fitted(rows.ankleMoved),
    fastest: FASTEST * pace,
  };
}
