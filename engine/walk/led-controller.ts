import type { SwingTorque } from '../control/swing-torque.ts';
import { type Trajectory, trajectoryAt } from '../control/trajectory.ts';
import { COMMAND, MEASURED, type WalkController } from './walk-controller.ts';

/** A stride by which knee and ankle are led, whatever the leg stands on. */
export interface LedBy {
  /** s */
  readonly period: number;
  readonly strideTime: number;
  /** Share of the stride that is called stance. */
  readonly stance: number;
  readonly knee: Trajectory;
  readonly ankle: Trajectory;
  /** N·m/rad, N·m·s/rad. */
  readonly gains: {
    readonly [joint in 'knee' | 'ankle']: {
      readonly stiffness: number;
      readonly damping: number;
      /** Share of `torque` that is asked for ahead; left out: none. */
      readonly carries?: number;
    };
  };
  /** What the leg's own weight and inertia ask for on the stride. */
  readonly torque?: SwingTorque;
}

/** Joints led over the stride by a clock:  τ = K·(θ*(s) − θ) + B·(θ̇*(s) − θ̇) + w·τ_own(s, ṡ),  ṡ = 1/T; w, τ_own: `carries`, `torque`. It looks at no load and knows no faults. */
export function ledController({
  period,
  strideTime,
  stance,
  knee,
  ankle,
  gains,
  torque,
}: LedBy): WalkController {
  const own = (share: number | undefined, held: Trajectory, moved: Trajectory): Trajectory =>
    held.map((x, i) => (share ?? 0) * (x + moved[i] / strideTime ** 2));
  const ahead = torque && {
    knee: own(gains.knee.carries, torque.kneeHeld, torque.kneeMoved),
    ankle: own(gains.ankle.carries, torque.ankleHeld, torque.ankleMoved),
  };
  let s = 0;
  const to = new Float64Array(3);
  return {
    begin: (_, phase) => {
      s = phase;
    },
    tick: (m, command) => {
      command[COMMAND.mode] = s < stance ? 0 : 1;
      command[COMMAND.phase] = s;
      command[COMMAND.fault] = 0;
      trajectoryAt(knee, s, to, 0);
      command[COMMAND.kneeTarget] = to[0];
      command[COMMAND.knee] =
        gains.knee.stiffness * (to[0] - m[MEASURED.knee]) +
        gains.knee.damping * (to[1] / strideTime - m[MEASURED.kneeRate]);
      trajectoryAt(ankle, s, to, 0);
      command[COMMAND.ankleTarget] = to[0];
      command[COMMAND.ankle] =
        gains.ankle.stiffness * (to[0] - m[MEASURED.ankle]) +
        gains.ankle.damping * (to[1] / strideTime - m[MEASURED.ankleRate]);
      if (ahead !== undefined) {
        trajectoryAt(ahead.knee, s, to, 0);
        command[COMMAND.knee] += to[0];
        trajectoryAt(ahead.ankle, s, to, 0);
        command[COMMAND.ankle] += to[0];
      }
      s = (s + period / strideTime) % 1;
    },
  };
}
