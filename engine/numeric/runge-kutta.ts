/** dy/dt of a system that does not name time: reads `y`, writes `out`. */
export type Derivative = (y: Float64Array, out: Float64Array) => void;

/**
 * One step of the classical fourth-order Runge–Kutta method, in place:
 *
 *     y ← y + h/6·(k1 + 2·k2 + 2·k3 + k4)
 *
 * Error of a step falls as h⁵. Stable on the negative real axis while |λ|·h < 2.78. Runge (1895), Kutta (1901), FROM MEMORY; the order
 * and the stability bound are tests. Returns a stepper that owns its work arrays, so that a long run allocates nothing.
 */
export function rungeKutta4(derivative: Derivative, size: number): (y: Float64Array, h: number) => void {
  const k = new Float64Array(size);
  const sum = new Float64Array(size);
  const at = new Float64Array(size);
  return (y, h) => {
    derivative(y, k);
    for (let i = 0; i < size; i++) {
      sum[i] = k[i];
      at[i] = y[i] + (h / 2) * k[i];
    }
    derivative(at, k);
    for (let i = 0; i < size; i++) {
      sum[i] += 2 * k[i];
      at[i] = y[i] + (h / 2) * k[i];
    }
    derivative(at, k);
    for (let i = 0; i < size; i++) {
      sum[i] += 2 * k[i];
      at[i] = y[i] + h * k[i];
    }
    derivative(at, k);
    for (let i = 0; i < size; i++) y[i] += (h / 6) * (sum[i] + k[i]);
  };
}
