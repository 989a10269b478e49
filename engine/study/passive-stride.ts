import { curveAt } from '../gait/curve.ts';
import type { LegSegments, Stride, StrideCurve } from '../gait/stride.ts';
import { smoothStep } from '../numeric/smooth-step.ts';
import { usersAnkle } from './users-ankle.ts';

/** Share of the stride before contact over which the knee goes straight. Our own proposal. */
const STRAIGHTENS = 0.1;
/** Share of the stride after which the knee is looked at for where it is straightest in late stance: behind the bend of early stance. */
const LATE = 0.25;

/**
 * The stride of one who walks on a leg without drives: the foot goes where it went, on a knee that stays straight while it is loaded, and the
 * ankle goes as it did in users of such legs.
 *
 *     θ*(s) = (1 − w)·θ(s),   φ* = φ − β(θ) + β(θ*),   β(θ) = atan2(L₂·sin θ, L₁ + L₂·cos θ)
 *
 * θ: knee; φ: thigh; L₁, L₂: of thigh and shank, m. φ − β is the direction from hip to ankle, and is kept. w: 1 from contact to where
 * the published knee is straightest in late stance; from there to 0 at toe-off, and from 0 to 1 in the last tenth before contact, by 3u² − 2u³.
 * Ankle: `usersAnkle`. A knee that gives way under load is only safe straight, and a straight leg on a sound walker's thigh would come down
 * late and too far ahead. That users keep the way of the foot, and the thigh pays for it, is our own proposal; no thigh of theirs was published
 * that could be used here.
 */
export function passiveStride(
  stride: Stride,
  speed: number,
  { thighLength, shank }: Pick<LegSegments, 'thighLength' | 'shank'>,
): { readonly stride: Stride; readonly notes: readonly string[] } {
  const { thigh, stance } = stride;
  const { knee, ankle } = stride.joints;
  const straightest = straightestLate(knee!.angle, stance);
  const lean = (angle: number): number =>
    Math.atan2(shank.length * Math.sin(angle), thighLength + shank.length * Math.cos(angle));
  const percent = Array.from({ length: 201 }, (_, i) => i / 2);
  const [thighs, knees] = [[] as number[], [] as number[]];
  for (const p of percent) {
    const s = (p % 100) / 100;
    const w =
      s <= stance
        ? 1 - smoothStep((s - straightest) / (stance - straightest))
        : smoothStep((s - 1 + STRAIGHTENS) / STRAIGHTENS);
    const own = curveAt(knee!.angle, 100 * s).value;
    const now = (1 - w) * own;
    knees.push(now);
    thighs.push(curveAt(thigh!, 100 * s).value - lean(own) + lean(now));
  }
  const table = (value: readonly number[]): StrideCurve => ({
    form: 'table',
    percent,
    value,
    periodic: true,
  });
  const users = usersAnkle(speed);
  return {
    stride: {
      ...stride,
      thigh: table(thighs),
      joints: {
        ...stride.joints,
        knee: { ...knee!, angle: table(knees) },
        ankle: { ...ankle!, angle: users.angle },
      },
    },
    notes: [
      'Walked as on a passive leg: knee straight while loaded, thigh so that the foot goes where a sound walker’s goes, ankle as published of users. Its thigh is not that of a driven leg: compare the hip with that in mind.',
      ...(users.published
        ? []
        : ['Users’ ankles were published at 0.6 to 1.4 m/s: that of the nearest is taken.']),
    ],
  };
}

/** Share of the stride at which the knee is least bent in late stance. */
function straightestLate(angle: StrideCurve, stance: number): number {
  let best = LATE;
  for (let s = LATE; s < stance; s += 0.005)
    if (curveAt(angle, 100 * s).value < curveAt(angle, 100 * best).value) best = s;
  return best;
}
