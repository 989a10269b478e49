import { curveAt } from '../gait/curve.ts';
import { GRAVITY, inverseDynamics, type LegMasses } from '../gait/inverse-dynamics.ts';
import type { Stride, StrideCurve } from '../gait/stride.ts';
import { type HipCourse, hipCourseAt } from '../walk/hip-course.ts';

/** Share of the stride over which the one moment passes into the other, after toe-off and before contact. Our choice. */
const PASSES = 0.1;
/** Samples over the stride. */
const SAMPLES = 200;

/**
 * Hip moment of a stride as a wearer of this leg gives it, N·m/kg of the wearer's mass, engine signs:
 *
 *     M = (1 − w)·M_own + w·τ_h/m,   w = S((s − s_off)/0.04)·S((1 − s)/0.04),   S(u) = 3u² − 2u³ within 0 … 1
 *
 * M_own: published, of a leg of flesh; τ_h: `inverseDynamics` of thigh, shank and foot of this leg on the stride's own motion, nothing touching
 * the ground; s_off: toe-off. In stance the ground decides and the published moment is what is known. In swing nothing pulls on the leg but
 * hip and gravity, and a hip that swung a lighter leg by the moment of a heavier one would bring it late: whoever walks on a leg knows its
 * weight. Rotors do not matter to the hip, since they turn with the joints' own angles.
 */
export function hipMomentOnLeg(
  { thigh, joints, stance, strideTime }: Stride,
  hip: HipCourse,
  leg: LegMasses,
  mass: number,
): StrideCurve {
  const own = joints.hip!.moment!;
  const curves = [thigh!, joints.knee!.angle, joints.ankle!.angle];
  const loads = { hip: 0, knee: 0, ankle: 0 };
  const at = new Float64Array(6);
  const value = Float64Array.from({ length: SAMPLES }, (_, k) => {
    const s = k / SAMPLES;
    const published = curveAt(own, 100 * s).value;
    const w = smooth((s - stance) / PASSES) * smooth((1 - s) / PASSES);
    if (w === 0) return published;
    const [t, n, a] = curves.map((curve) => {
      const { value, slope, curvature } = curveAt(curve, 100 * s);
      return [value, (100 * slope) / strideTime, (1e4 * curvature) / strideTime ** 2];
    });
    const segment = (i: (k: number) => number) => ({ angle: i(0), velocity: i(1), acceleration: i(2) });
    hipCourseAt(hip, s, 1 / strideTime, at);
    inverseDynamics(
      leg,
      {
        thigh: segment((i) => t[i]),
        shank: segment((i) => t[i] - n[i]),
        foot: segment((i) => t[i] - n[i] + a[i]),
        hip: { x: at[5], z: at[2] },
      },
      GRAVITY,
      loads,
    );
    return published + w * (loads.hip / mass - published);
  });
  return {
    form: 'table',
    percent: Array.from({ length: SAMPLES + 1 }, (_, k) => (100 * k) / SAMPLES),
    value: Array.from({ length: SAMPLES + 1 }, (_, k) => value[k % SAMPLES]),
    periodic: true,
  };
}

function smooth(u: number): number {
  const x = Math.max(0, Math.min(1, u));
  return x * x * (3 - 2 * x);
}
