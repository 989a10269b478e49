import { curveAt } from '../gait/curve.ts';
import type { StrideCurve } from '../gait/stride.ts';
import { COMMAND, MEASURED, type WalkController } from './walk-controller.ts';

interface StairJoint {
  readonly angle: StrideCurve;
  /** N·m */
  readonly moment: StrideCurve;
  /** N·m/rad, N·m·s/rad. */
  readonly stance: { readonly stiffness: number; readonly damping: number };
  readonly swing: { readonly stiffness: number; readonly damping: number };
}

/** A stride over a stair by which knee and ankle are led. */
export interface StairControl {
  /** s */
  readonly period: number;
  readonly strideTime: number;
  /** Share of the stride. */
  readonly stance: number;
  readonly knee: StairJoint;
  readonly ankle: StairJoint;
}

/**
 * One stride over a stair by a clock that starts with it, from contact to contact, and then stands still:
 *
 *     τ = M(s) + K·(θ*(s) − θ) + B·(θ̇*(s) − θ̇),   s = t/T ≤ 1;   M = 0 in swing
 *
 * K, B: of stance up to its share of the stride, then of swing. The stance that follows is called at s = 1, whatever bears. It looks at no
 * load and knows no faults.
 */
export function stairController(of: StairControl): WalkController {
  const { period, strideTime, stance } = of;
  let ticks = 0;
  const led = ({ angle, moment, ...gains }: StairJoint, s: number, at: number, rate: number): number => {
    const { value, slope } = curveAt(angle, 100 * s);
    const own = s < 1 ? (100 * slope) / strideTime : 0;
    const { stiffness, damping } = s < stance ? gains.stance : gains.swing;
    const ahead = s < stance ? curveAt(moment, 100 * s).value : 0;
    return ahead + stiffness * (value - at) + damping * (own - rate);
  };
  return {
    begin: () => {
      ticks = 0;
    },
    tick: (m, command) => {
      const s = Math.min(1, (ticks * period) / strideTime);
      command[COMMAND.mode] = s < stance || s === 1 ? 0 : 1;
      command[COMMAND.phase] = s < stance ? s / stance : s;
      command[COMMAND.kneeTarget] = curveAt(of.knee.angle, 100 * s).value;
      command[COMMAND.ankleTarget] = curveAt(of.ankle.angle, 100 * s).value;
      command[COMMAND.knee] = led(of.knee, s, m[MEASURED.knee], m[MEASURED.kneeRate]);
      command[COMMAND.ankle] = led(of.ankle, s, m[MEASURED.ankle], m[MEASURED.ankleRate]);
      command[COMMAND.fault] = 0;
      ticks++;
    },
  };
}
