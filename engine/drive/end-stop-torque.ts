import { rungeKutta4 } from '../numeric/runge-kutta.ts';

/** A joint that runs into its end stop, SI at the joint. */
export interface StopRun {
  /** What hangs on the joint, kg·m², without rotor. */
  readonly linkInertia: number;
  /** J_ref, kg·m². */
  readonly rotorInertia: number;
  /** K_g, N·m/rad. */
  readonly gearStiffness: number;
  /** Of the stop: N·m/rad, N·m·s/rad. */
  readonly stopStiffness: number;
  readonly stopDamping: number;
  /** rad/s at which both arrive. */
  readonly velocity: number;
}

/** Steps in one period of the fastest motion. */
const FINE = 200;

/**
 * Largest torque in the gears, N·m, while the stop catches the link and the gears catch the rotor, nobody powered.
 *
 *     J_l·θ̈_l = K_g·(θ_r − θ_l) − max(0, K_s·θ_l + D_s·θ̇_l)  while θ_l > 0,     J_r·θ̈_r = −K_g·(θ_r − θ_l)
 *
 * A link that the stop holds gives the closed form q̇·√(K_g·J_r), `hardStopTorque`. One that rebounds meets the rotor, which still runs
 * on, at up to twice the speed: 2q̇·√(K_g·J_l·J_r/(J_l + J_r)) and more. So a stop that is hard and springy is the worst for the gears.
 * Gears undamped, no backlash, no slip. Runge–Kutta of 4th order over two of the slowest periods, by Dunkerley's sum.
 */
export function endStopTorque(run: StopRun): number {
  const { linkInertia, rotorInertia, gearStiffness: kg, stopStiffness: ks, stopDamping } = run;
  const slow = 2 * Math.PI * Math.sqrt((linkInertia + rotorInertia) / ks + rotorInertia / kg);
  const fast = Math.sqrt(kg / rotorInertia + (kg + ks) / linkInertia) + stopDamping / linkInertia;
  const h = (2 * Math.PI) / fast / FINE;
  // link angle and velocity, rotor angle and velocity; 0 is where the stop begins
  const y = Float64Array.of(0, run.velocity, 0, run.velocity);
  const step = rungeKutta4((s, out) => {
    const gear = kg * (s[2] - s[0]);
    const stop = s[0] > 0 ? Math.max(0, ks * s[0] + stopDamping * s[1]) : 0;
    out[0] = s[1];
    out[1] = (gear - stop) / linkInertia;
    out[2] = s[3];
    out[3] = -gear / rotorInertia;
  }, 4);
  let most = 0;
  for (let t = 0; t < 2 * slow; t += h) {
    step(y, h);
    most = Math.max(most, Math.abs(kg * (y[2] - y[0])));
  }
  return most;
}
