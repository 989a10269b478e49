import type { StrideCurve } from '../gait/stride.ts';
import { type Deg, radFromDeg } from '../quantity/angle.ts';

/** % of the stride between two of the angles below. */
const EVERY = 4;

/**
 * Angle of the prosthetic ankle, degrees, dorsiflexion positive, at every 4 % of the stride from contact on: mean of nine users above the knee
 * on passive prostheses. Hood, Ishmael, Gunnell, Foreman & Lenzi, Scientific Data 7 (2020) 150; a spline through these is within 0.2° of the
 * mean at every per cent.
 */
// biome-ignore format: one speed a row
const USERS: readonly (readonly [speed: number, ...degrees: number[]])[] = [
  [0.6, 0.3, -2.2, -2.7, -2.0, -0.5, 1.4, 3.2, 4.8, 6.4, 8.1, 9.8, 11.7, 13.2, 13.2, 10.8, 6.9, 3.5, 1.9, 1.8, 1.9, 1.9, 1.9, 2.1, 2.2, 2.1],
  [0.8, -0.2, -3.2, -3.7, -2.9, -1.0, 1.2, 3.2, 5.0, 6.9, 9.0, 11.1, 13.4, 14.8, 13.9, 10.2, 5.2, 2.2, 1.6, 1.7, 1.9, 2.0, 1.9, 2.1, 2.3, 2.2],
  [1.0, -0.6, -4.0, -4.6, -3.6, -1.6, 0.9, 3.1, 5.1, 7.4, 9.7, 12.2, 14.6, 15.8, 14.5, 10.0, 4.6, 1.8, 1.5, 1.7, 1.8, 1.9, 1.9, 2.1, 2.5, 2.3],
  [1.2, -0.9, -4.8, -5.3, -4.0, -1.7, 0.8, 3.2, 5.4, 7.9, 10.5, 13.2, 15.7, 16.5, 14.4, 9.0, 3.5, 1.5, 1.5, 1.7, 1.9, 1.9, 1.9, 2.2, 2.6, 2.3],
  [1.4, -1.3, -5.6, -6.2, -4.5, -1.9, 0.8, 3.2, 5.7, 8.4, 11.1, 13.9, 16.4, 17.2, 14.5, 8.3, 2.8, 1.3, 1.5, 1.8, 1.8, 1.8, 1.9, 2.1, 2.6, 2.3],
];

/** The angle at a speed, between two published speeds in proportion; beyond them that of the nearest, which `published` tells. */
export function usersAnkle(speed: number): { readonly angle: StrideCurve; readonly published: boolean } {
  const last = USERS.length - 1;
  const held = Math.min(Math.max(speed, USERS[0][0]), USERS[last][0]);
  const after = Math.max(
    1,
    USERS.findIndex(([own]) => own >= held),
  );
  const [a, b] = [USERS[after - 1], USERS[after]];
  const w = (held - a[0]) / (b[0] - a[0]);
  const value = a.slice(1).map((degrees, i) => radFromDeg((degrees + w * (b[i + 1] - degrees)) as Deg));
  return {
    angle: {
      form: 'table',
      percent: Array.from({ length: value.length + 1 }, (_, i) => EVERY * i),
      value: [...value, value[0]],
      periodic: true,
    },
    published: held === speed,
  };
}
