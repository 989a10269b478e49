import { rungeKutta4 } from '../numeric/runge-kutta.ts';
import type { Rad } from '../quantity/angle.ts';
import type { Pendulum } from './free-swing.ts';

/** A swing over time. */
export interface SwingCourse {
  /** s between angles. */
  readonly step: number;
  /** rad from hanging, the first at rest at the start; ends where it stays, or with the time that was asked for. */
  readonly angle: Float64Array;
  /** Whether it came to rest within that time. */
  readonly rests: boolean;
}

/** Halvings that find a turn within a step: beyond them the step's own error is larger. */
const HALVINGS = 40;

/**
 * A pendulum of any amplitude let go at `start`, over at most `longest` s:
 *
 *     J·θ̈ = −K·sin θ − b·θ̇ − τ_c·sgn θ̇         at a turn it stays where K·|sin θ| ≤ max(τ_s, τ_c)
 *
 * Runge–Kutta steps, each within one direction: a step in which it turns is cut at the turn, found by halving. End stops are not in
 * it. Step of a hundredth of the small swing's period or less, so that the error of a step is far below a drawing's.
 */
export function swingCourse(p: Pendulum, start: Rad, step: number, longest: number): SwingCourse {
  // where running friction alone would hold it, it stays too, whatever the file says of breakaway
  const breakaway = Math.max(p.breakaway ?? 0, p.coulomb);
  const held = (angle: number): boolean => p.gravity * Math.abs(Math.sin(angle)) <= breakaway;
  let direction = -Math.sign(start);
  const move = rungeKutta4((y, out) => {
    out[0] = y[1];
    out[1] = (-p.gravity * Math.sin(y[0]) - p.viscous * y[1] - p.coulomb * direction) / p.inertia;
  }, 2);
  const angles: number[] = [start];
  if (held(start)) return { step, angle: Float64Array.from(angles), rests: true };
  const now = Float64Array.of(start, 0);
  const trial = new Float64Array(2);
  /** Whether it would have turned within `h`; leaves where it would be in `trial`. */
  const turns = (h: number): boolean => {
    trial.set(now);
    move(trial, h);
    return trial[1] * direction < 0;
  };
  const samples = Math.floor(longest / step);
  for (let k = 0; k < samples; k++) {
    let left = step;
    while (turns(left)) {
      let [before, after] = [0, left];
      for (let i = 0; i < HALVINGS; i++) {
        const middle = (before + after) / 2;
        if (turns(middle)) after = middle;
        else before = middle;
      }
      turns(before);
      now[0] = trial[0];
      now[1] = 0;
      left -= before;
      if (held(now[0])) {
        angles.push(now[0]);
        return { step, angle: Float64Array.from(angles), rests: true };
      }
      direction = -direction;
    }
    now.set(trial);
    angles.push(now[0]);
  }
  return { step, angle: Float64Array.from(angles), rests: false };
}
