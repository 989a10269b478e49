import { type Dimension, KINDS, over, power, times } from './dimension.ts';

/** A unit by its factor to SI; `zero` is the SI value of the unit's own zero (only °C has one). */
export interface Unit {
  readonly factor: number;
  readonly dimension: Dimension;
  readonly zero: number;
}

const K = KINDS;
const of = (factor: number, dimension: Dimension, zero = 0): Unit => ({ factor, dimension, zero });

/**
 * The closed list. Factors are exact by definition, tables FROM MEMORY: SI Brochure (9th ed., 2019), 1–4 and 8 (minute, hour, degree), and
 * NIST SP 811 (2008) App. B for rev/min and km/h. `Nm` and `kgm2` are atoms of their own because a torque carries rad⁻¹ and an
 * inertia rad⁻² (see dimension.ts); the spellings `N*m` and `kg*m^2` are read as these atoms.
 */
const ATOMS: Readonly<Record<string, Unit>> = {
  '1': of(1, K['pure number']),
  '%': of(0.01, K['pure number']),
  m: of(1, K.length),
  cm: of(1e-2, K.length),
  mm: of(1e-3, K.length),
  um: of(1e-6, K.length),
  km: of(1e3, K.length),
  kg: of(1, K.mass),
  g: of(1e-3, K.mass),
  s: of(1, K.time),
  ms: of(1e-3, K.time),
  us: of(1e-6, K.time),
  ns: of(1e-9, K.time),
  min: of(60, K.time),
  h: of(3600, K.time),
  A: of(1, K.current),
  mA: of(1e-3, K.current),
  K: of(1, K.temperature),
  degC: of(1, K.temperature, 273.15),
  rad: of(1, K.angle),
  mrad: of(1e-3, K.angle),
  deg: of(Math.PI / 180, K.angle),
  rev: of(2 * Math.PI, K.angle),
  rpm: of((2 * Math.PI) / 60, K['angular velocity']),
  N: of(1, K.force),
  kN: of(1e3, K.force),
  Nm: of(1, K.torque),
  mNm: of(1e-3, K.torque),
  kNm: of(1e3, K.torque),
  Nmm: of(1e-3, K.torque),
  kgm2: of(1, K['moment of inertia']),
  kgcm2: of(1e-4, K['moment of inertia']),
  kgmm2: of(1e-6, K['moment of inertia']),
  gcm2: of(1e-7, K['moment of inertia']),
  gmm2: of(1e-9, K['moment of inertia']),
  J: of(1, K.energy),
  kJ: of(1e3, K.energy),
  Wh: of(3600, K.energy),
  W: of(1, K.power),
  kW: of(1e3, K.power),
  mW: of(1e-3, K.power),
  V: of(1, K.voltage),
  mV: of(1e-3, K.voltage),
  kV: of(1e3, K.voltage),
  ohm: of(1, K.resistance),
  mohm: of(1e-3, K.resistance),
  kohm: of(1e3, K.resistance),
  H: of(1, K.inductance),
  mH: of(1e-3, K.inductance),
  uH: of(1e-6, K.inductance),
  F: of(1, K.capacitance),
  mF: of(1e-3, K.capacitance),
  uF: of(1e-6, K.capacitance),
  Ah: of(3600, K.charge),
  mAh: of(3.6, K.charge),
  Wb: of(1, K['flux linkage']),
  mWb: of(1e-3, K['flux linkage']),
  Hz: of(1, K.frequency),
  kHz: of(1e3, K.frequency),
};

/** Every unit atom that can be written. */
export const unitNames = (): string[] => Object.keys(ATOMS);

/** One spelling for the several ways a unit is printed: `N·m` → `Nm`, `g·cm²` → `gcm2`, `µH` → `uH`, `Ω` → `ohm`. */
export function plainUnit(text: string): string {
  return text
    .trim()
    .replace(/[·×⋅]/g, '*')
    .replace(/[\u00B5\u03BC]/g, 'u') // micro sign, and Greek small mu
    .replace(/[\u03A9\u2126]/g, 'ohm') // Greek capital omega, and the ohm sign
    .replace(/°C/g, 'degC')
    .replace(/°/g, 'deg')
    .replace(/⁻/g, '^-')
    .replace(/[¹²³]/g, (c) => `^${'¹²³'.indexOf(c) + 1}`)
    .replace(/\^-\^/g, '^-')
    .replace(/\s*([*/^])\s*/g, '$1')
    .replace(/\b([mk]?N)[*.]m(?![a-zA-Z^])/g, '$1m')
    .replace(/\bN[*.]mm(?![a-zA-Z^])/g, 'Nmm')
    .replace(/\b(k?g)[*.]?(c|m)?m\^2/g, (_, gram, prefix = '') => `${gram}${prefix}m2`);
}

/** No unit of the trade has a higher power; more would only run a number out of its range. */
const LARGEST_EXPONENT = 4;

/** Reads a unit such as `N*m*s/rad`. Null where an atom is not on the list; `unknown` then names it. */
export function parseUnit(text: string): Unit | { readonly unknown: string } {
  let factor = 1;
  let dimension: Dimension = K['pure number'];
  let zero = 0;
  const parts = plainUnit(text).split(/([*/])/);
  for (let i = 0; i < parts.length; i += 2) {
    const [name = '', exponent = '1'] = parts[i]!.split('^');
    const atom = Object.hasOwn(ATOMS, name) ? ATOMS[name] : undefined;
    const n = /^-?\d+(\.\d+)?$/.test(exponent) ? Number(exponent) : Number.NaN;
    if (atom === undefined || !(Math.abs(n) <= LARGEST_EXPONENT)) return { unknown: parts[i]!.trim() };
    const dividing = parts[i - 1] === '/';
    factor = dividing ? factor / atom.factor ** n : factor * atom.factor ** n;
    dimension = (dividing ? over : times)(dimension, power(atom.dimension, n));
    // A degree Celsius in a compound is a difference, 1 K; alone it has its own zero.
    if (parts.length === 1 && n === 1) zero = atom.zero;
  }
  return { factor, dimension, zero };
}
