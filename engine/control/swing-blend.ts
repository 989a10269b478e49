/**
 * What is left, at the share u of the blend, of an offset with which swing began.
 *
 *     e_0·(1 − 10u³ + 15u⁴ − 6u⁵) + d_0·(u − 6u³ + 8u⁴ − 3u⁵) + (c_0/2)·(u² − 3u³ + 3u⁴ − u⁵)
 *
 * e_0: offset, d_0 and c_0: its slope and curvature over u at u = 0. Gone at u = 1 with both derivatives: joint angle, speed and
 * acceleration are continuous. The blend runs over the phase, not over time, so a pause in mid-blend does no harm.
 */
export function blendOffset(e0: number, d0: number, c0: number, u: number): number {
  if (u >= 1) return 0;
  const u2 = u * u;
  const u3 = u2 * u;
  return (
    e0 * (1 - u3 * (10 - 15 * u + 6 * u2)) +
    d0 * (u - u3 * (6 - 8 * u + 3 * u2)) +
    (c0 / 2) * (u2 - u3 * (3 - 3 * u + u2))
  );
}

/** Slope of `blendOffset` over u. */
export function blendOffsetSlope(e0: number, d0: number, c0: number, u: number): number {
  if (u >= 1) return 0;
  const u2 = u * u;
  return (
    e0 * -u2 * (30 - 60 * u + 30 * u2) +
    d0 * (1 - u2 * (18 - 32 * u + 15 * u2)) +
    (c0 / 2) * (2 * u - u2 * (9 - 12 * u + 5 * u2))
  );
}
