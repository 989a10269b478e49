/** A stance as K(s), c(s), B(s) at even steps of its phase, 0 at contact and 1 at toe-off: N·m/rad, N·m, N·m·s/rad. */
export interface StanceTable {
  readonly stiffness: Float64Array;
  readonly offset: Float64Array;
  readonly damping: Float64Array;
}

/** The same as the controller reads it: K, c and B of one place after the other. */
export function stanceRow({ stiffness, offset, damping }: StanceTable): Float64Array {
  const row = new Float64Array(3 * stiffness.length);
  for (let i = 0; i < stiffness.length; i++) {
    row[3 * i] = stiffness[i];
    row[3 * i + 1] = offset[i];
    row[3 * i + 2] = damping[i];
  }
  return row;
}

/** τ = −K·θ + c − B·θ̇ at the share `w` between place `i` of a stance's row and the next. */
export function stanceTorque(
  row: Float64Array,
  i: number,
  w: number,
  angle: number,
  velocity: number,
): number {
  const k = 3 * i;
  const stiffness = row[k] + w * (row[k + 3] - row[k]);
  const offset = row[k + 1] + w * (row[k + 4] - row[k + 1]);
  const damping = row[k + 2] + w * (row[k + 5] - row[k + 2]);
  return -stiffness * angle + offset - damping * velocity;
}
