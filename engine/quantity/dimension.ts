/**
 * A physical dimension: exponents of metre, kilogram, second, ampere, kelvin and radian, in that order.
 *
 * Angle is a base dimension, so that a torque is not an energy. The rule that fixes every other exponent:
 *
 *     torque × angle = energy            torque            = energy · rad⁻¹
 *     torque × angular velocity = power
 *     stiffness × angle = torque         stiffness         = energy · rad⁻²
 *     inertia × angular acceleration = torque    moment of inertia = kg·m² · rad⁻²
 *
 */
export type Dimension = readonly [m: number, kg: number, s: number, A: number, K: number, rad: number];

export const times = (a: Dimension, b: Dimension): Dimension =>
  a.map((x, i) => x + (b[i] as number)) as unknown as Dimension;

export const power = (a: Dimension, n: number): Dimension => a.map((x) => x * n + 0) as unknown as Dimension;

export const over = (a: Dimension, b: Dimension): Dimension => times(a, power(b, -1));

export const sameDimension = (a: Dimension, b: Dimension): boolean =>
  a.every((x, i) => Math.abs(x - (b[i] as number)) < 1e-9);

const none: Dimension = [0, 0, 0, 0, 0, 0];
const length: Dimension = [1, 0, 0, 0, 0, 0];
const mass: Dimension = [0, 1, 0, 0, 0, 0];
const time: Dimension = [0, 0, 1, 0, 0, 0];
const current: Dimension = [0, 0, 0, 1, 0, 0];
const temperature: Dimension = [0, 0, 0, 0, 1, 0];
const angle: Dimension = [0, 0, 0, 0, 0, 1];
const speed = over(length, time);
const acceleration = over(speed, time);
const force = times(mass, acceleration);
const energy = times(force, length);
const watt = over(energy, time);
const torque = over(energy, angle);
const angularVelocity = over(angle, time);
const voltage = over(watt, current);
const resistance = over(voltage, current);
const stiffness = over(torque, angle);

/** The kinds of quantity a study file may hold, by the name used in faults. */
export const KINDS = {
  'pure number': none,
  length,
  mass,
  time,
  current,
  temperature,
  angle,
  speed,
  acceleration,
  force,
  energy,
  power: watt,
  torque,
  'angular velocity': angularVelocity,
  'moment of inertia': over(torque, over(angularVelocity, time)),
  'rotational stiffness': stiffness,
  'rotational damping': over(torque, angularVelocity),
  voltage,
  resistance,
  inductance: times(resistance, time),
  capacitance: over(time, resistance),
  charge: times(current, time),
  'flux linkage': times(voltage, time),
  'torque constant': over(torque, current),
  'voltage constant': over(voltage, angularVelocity),
  'temperature coefficient': over(none, temperature),
  'thermal resistance': over(temperature, watt),
  'heat capacity': over(energy, temperature),
  frequency: over(none, time),
  stiffness: over(force, length),
  'contact stiffness': over(force, power(length, 1.5)),
  'contact damping': over(time, length),
  'torque rate': over(torque, time),
  'torque per mass': over(torque, mass),
  'stiffness per mass': over(stiffness, mass),
  'energy per mass': over(energy, mass),
  'power per mass': over(watt, mass),
} as const satisfies Record<string, Dimension>;

/** Name of a kind of quantity. */
export type Kind = keyof typeof KINDS;

/** Every kind that has this dimension. */
export const kindsOf = (dimension: Dimension): Kind[] =>
  (Object.keys(KINDS) as Kind[]).filter((kind) => sameDimension(KINDS[kind], dimension));
