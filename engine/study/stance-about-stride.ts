import type { SchedulePoint } from '../control/controller.ts';
import { stanceEvents } from '../control/stance-events.ts';
import type { StrideDemand } from '../gait/demand-result.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { DesignResult } from './design.ts';

type Open = { readonly openBecause: string };

/** Points at which it is carried: straight lines between them. Our choice: two per cent of the stride. */
const POINTS = 33;

/**
 * A stance of one stiffness and one damping whose equilibrium follows one stride:
 *
 *     c(s) = M(s) + K·θ_own(s) + B·θ̇_own(s),   θ_eq = c/K,   so  τ = M(s) + K·(θ_own − θ) + B·(θ̇_own − θ̇)
 *
 * On its own stride it gives the typical person's moment M exactly, and what K and B add is felt off the stride alone; but while the ankle lowers
 * the foot, up to foot flat, B resists that: θ̇_own is taken as 0, or a foot that lands late would be driven down with the stride's own rate. One stride tells one
 * equation at each place of stance: it cannot tell stiffness and damping from the equilibrium, so both are stated. θ̇_own at the pace of the
 * stride. Open where the task has no moment of this joint in stance, or where the spring alone, θ_own + M/K, would rest outside the joint's
 * range and, let go, run into its end stop.
 */
export function stanceAboutStride(
  { demands }: Pick<DesignResult, 'demands'>,
  task: string,
  joint: DrivenJoint,
  { stiffness, damping }: { readonly stiffness: number; readonly damping: number },
  range: { readonly from: number; readonly to: number },
): readonly SchedulePoint[] | Open {
  const demand = demands[task];
  const own = demand?.kind === 'stride' ? demand.joints[joint] : undefined;
  if (own === undefined || Number.isNaN(own.humanMoment[0]))
    return { openBecause: `its stride has no ${joint} moment` };
  const { stance } = demand as StrideDemand;
  const landed = joint === 'ankle' ? landedAt(own.angle, stance) : 0;
  const points: SchedulePoint[] = [];
  for (let k = 0; k < POINTS; k++) {
    const at = k / (POINTS - 1);
    const of = (curve: Float64Array): number => between(curve, at * stance);
    const rest = of(own.angle) + of(own.humanMoment) / own.momentCover / stiffness;
    if (rest < range.from || rest > range.to)
      return {
        openBecause: `at ${(100 * at).toFixed(0)} % of stance a spring of ${stiffness.toFixed(0)} N·m/rad would rest at ${degrees(rest)}, outside the ${joint}’s range of ${degrees(range.from)} to ${degrees(range.to)}: take a stiffer one`,
      };
    const rate = at < landed ? 0 : of(own.velocity);
    points.push({ at, stiffness, equilibrium: rest + (damping * rate) / stiffness, damping });
  }
  return points;
}

/** Share of stance at which the foot is flat; 0 where the ankle's course does not tell. */
function landedAt(angle: Float64Array, stance: number): number {
  const last = Math.floor(stance * (angle.length - 1));
  const events = stanceEvents('ankle', angle.subarray(0, last + 1));
  return 'openBecause' in events ? 0 : events[1] / last;
}

const degrees = (x: number): string => `${((180 / Math.PI) * x).toFixed(0)}°`;

/** A curve over the whole stride at the share s of it. */
function between(curve: Float64Array, s: number): number {
  const last = curve.length - 1;
  const i = Math.min(Math.floor(s * last), last - 1);
  return curve[i] + (s * last - i) * (curve[i + 1] - curve[i]);
}
