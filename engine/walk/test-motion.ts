import { COORDINATES, TERM } from './leg-terms.ts';

const WIDTH = COORDINATES;

// The plain solver for any set of prescribed coordinates, beside which `walkSteps` has it written out for the two that a walk has.

/** Room that `solveMotion` works in. */
export const motionRoom = (): Float64Array => new Float64Array(WIDTH * WIDTH + WIDTH);

/**
 * Accelerations that are not prescribed, and the forces that prescribing takes.
 *
 *     q̈_u = M_uu⁻¹·(Q_u − h_u − M_up·q̈_p),   then for each p   R_p = (M·q̈ + h − Q)_p
 *
 * `free` lists the coordinates u; q̈ of the others stands in `a` beforehand and stays. R is the force, N, or torque, N·m, that whoever
 * prescribes must add; 0 at the free ones. M_uu is positive definite: Cholesky, in place. Nothing is allocated.
 */
export function solveMotion(
  terms: Float64Array,
  force: Float64Array,
  free: Int32Array,
  a: Float64Array,
  needed: Float64Array,
  room: Float64Array,
): void {
  const n = free.length;
  const y = WIDTH * WIDTH;
  for (let j = 0; j < WIDTH; j++) needed[j] = 1;
  for (let i = 0; i < n; i++) needed[free[i]] = 0;
  for (let i = 0; i < n; i++) {
    const row = free[i];
    const at = TERM.mass + WIDTH * row;
    let right = force[row] - terms[TERM.bias + row];
    for (let j = 0; j < WIDTH; j++) if (needed[j] === 1) right -= terms[at + j] * a[j];
    for (let j = 0; j <= i; j++) {
      let sum = terms[at + free[j]];
      for (let k = 0; k < j; k++) sum -= room[WIDTH * i + k] * room[WIDTH * j + k];
      if (i === j) room[WIDTH * i + i] = Math.sqrt(sum);
      else room[WIDTH * i + j] = sum / room[WIDTH * j + j];
    }
    for (let k = 0; k < i; k++) right -= room[WIDTH * i + k] * room[y + k];
    room[y + i] = right / room[WIDTH * i + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    let value = room[y + i];
    for (let k = i + 1; k < n; k++) value -= room[WIDTH * k + i] * a[free[k]];
    a[free[i]] = value / room[WIDTH * i + i];
  }
  for (let i = 0; i < WIDTH; i++) {
    if (needed[i] === 0) continue;
    let sum = terms[TERM.bias + i] - force[i];
    for (let j = 0; j < WIDTH; j++) sum += terms[TERM.mass + WIDTH * i + j] * a[j];
    needed[i] = sum;
  }
}
