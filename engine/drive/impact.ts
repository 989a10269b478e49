/** Effective mass, kg, at a point `radius` m from the axis moving across it:  m = (J_link + J_ref)/r². */
export const effectiveMass = (linkInertia: number, reflected: number, radius: number): number =>
  (linkInertia + reflected) / radius ** 2;

/**
 * Peak force, N, and time to it, s, of a linear contact of stiffness `k` N/m closed at `speed` m/s by `mass` kg on something of
 * `target` kg (Infinity: the ground):  F = v·√(k·m_red), t = (π/2)·√(m_red/k). Undamped: an upper bound.
 */
export function impact(
  mass: number,
  target: number,
  k: number,
  speed: number,
): { force: number; time: number } {
  const reduced = target === Number.POSITIVE_INFINITY ? mass : (mass * target) / (mass + target);
  return { force: speed * Math.sqrt(k * reduced), time: (Math.PI / 2) * Math.sqrt(reduced / k) };
}

/**
 * Peak torque in the gears, N·m, when a joint that moves at `velocity` rad/s meets a hard stop: the rotor runs on into the gears'
 * own stiffness K_g, N·m/rad at the joint.  τ = q̇·√(K_g·J_ref). No slip, no damping, and a link that the stop holds: one that rebounds
 * while the rotor still runs on loads the gears more, see `endStopTorque`.
 */
export const hardStopTorque = (stiffness: number, reflected: number, velocity: number): number =>
  velocity * Math.sqrt(stiffness * reflected);
