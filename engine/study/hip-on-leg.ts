import { curveAt } from '../gait/curve.ts';
import { GRAVITY, inverseDynamics, type LegMasses } from '../gait/inverse-dynamics.ts';
import type { Stride, StrideCurve } from '../gait/stride.ts';
import { smoothStep } from '../numeric/smooth-step.ts';
import { type HipCourse, hipCourseAt } from '../walk/hip-course.ts';
import { type PassiveJoint, passiveState, passiveStep } from '../walk/passive-joint.ts';
import { DRIVE } from '../walk/walk-drive.ts';

/** Share of the stride over which the one moment passes into the other, after toe-off and before contact. Our choice. */
const PASSES = 0.1;
/** Samples over the stride. */
const SAMPLES = 200;

/** On the foot at a place of the stride, N. */
type GroundForce = (place: number) => { readonly up: number; readonly forward: number };

/**
 * Hip moment of a stride as a wearer of this leg gives it, N·m/kg of the wearer's mass, engine signs:
 *
 *     M = (1 − w)·M_own + w·τ_h/m,   w = S((s − s_off)/0.1)·S((1 − s)/0.1),   S(u) = 3u² − 2u³ within 0 … 1
 *
 * M_own: published, of a leg of flesh; τ_h: `inverseDynamics` of thigh, shank and foot of this leg on the stride's own motion, nothing touching
 * the ground; s_off: toe-off. In stance the ground decides and the published moment is what is known. In swing nothing pulls on the leg but
 * hip and gravity, and a hip that swung a lighter leg by the moment of a heavier one would bring it late: whoever walks on a leg knows its
 * weight. Rotors do not matter to the hip, since they turn with the joints' own angles.
 *
 * On a leg without drives (`foot`) the stance is another one than the published moment belongs to, and what the ground does to it is known: the
 * published force, where the foot's springs and dampers let it act. There
 *
 *     M_own = (τ_h − x_A·F_z + z_A·F_x − τ_a + τ_p)/m
 *
 * x_A, z_A: ankle from the hip, m; F: published, N; τ_a: ankle of the same `inverseDynamics`; τ_p: `passiveStep` of the foot on the
 * stride's own ankle. The force is a sound walker's: users' was not published as a curve.
 */
export function hipMomentOnLeg(
  { thigh, joints, stance, strideTime }: Stride,
  hip: HipCourse,
  leg: LegMasses,
  mass: number,
  foot?: { readonly joint: PassiveJoint; readonly force: GroundForce },
): StrideCurve {
  const own = joints.hip!.moment!;
  const curves = [thigh!, joints.knee!.angle, joints.ankle!.angle];
  const loads = { hip: 0, knee: 0, ankle: 0 };
  const at = new Float64Array(6);
  const state = passiveState();
  const value = Float64Array.from({ length: SAMPLES }, (_, k) => {
    const s = k / SAMPLES;
    const published = curveAt(own, 100 * s).value;
    const w = smoothStep((s - stance) / PASSES) * smoothStep((1 - s) / PASSES);
    const stands = foot !== undefined && s <= stance;
    if (w === 0 && !stands) return published;
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
    if (!stands) return published + w * (loads.hip / mass - published);
    const x = leg.thigh.length * Math.sin(t[0]) + leg.shank.length * Math.sin(t[0] - n[0]);
    const z = -leg.thigh.length * Math.cos(t[0]) - leg.shank.length * Math.cos(t[0] - n[0]);
    passiveStep(foot.joint, state, a[0], a[1]);
    const { up, forward } = foot.force(s);
    return (loads.hip - x * up + z * forward - loads.ankle + state[DRIVE.output]) / mass;
  });
  return {
    form: 'table',
    percent: Array.from({ length: SAMPLES + 1 }, (_, k) => (100 * k) / SAMPLES),
    value: Array.from({ length: SAMPLES + 1 }, (_, k) => value[k % SAMPLES]),
    periodic: true,
  };
}
