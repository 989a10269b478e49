import { KINDS, type Kind, kindsOf, sameDimension } from './dimension.ts';
import { nearestName } from './nearest-name.ts';
import { parseUnit, plainUnit, unitNames } from './unit.ts';

/** A quantity in SI, or what is wrong with its text. */
export type ParsedQuantity = { readonly si: number } | { readonly what: string; readonly mend: string };

/** How to write one of each kind; the first unit is the one a fault proposes. */
export const EXAMPLE_UNITS: Readonly<Record<Kind, string>> = {
  'pure number': '1 or %',
  length: 'm, cm, mm',
  mass: 'kg, g',
  time: 's, ms, min, h',
  current: 'A, mA',
  temperature: 'degC, K',
  angle: 'rad, deg, mrad',
  speed: 'm/s, km/h',
  acceleration: 'm/s^2',
  force: 'N, kN',
  energy: 'J, Wh',
  power: 'W, kW',
  torque: 'N*m, mN*m',
  'angular velocity': 'rad/s, deg/s, rpm',
  'moment of inertia': 'kg*m^2, g*cm^2',
  'rotational stiffness': 'N*m/rad, N*m/deg',
  'rotational damping': 'N*m*s/rad',
  voltage: 'V, mV',
  resistance: 'ohm, mohm',
  inductance: 'H, mH, uH',
  capacitance: 'F, mF, uF',
  charge: 'Ah, A*s',
  'flux linkage': 'V*s, mV*s',
  'torque constant': 'N*m/A, mN*m/A',
  'voltage constant': 'V*s/rad, V/rpm',
  'temperature coefficient': '1/K, %/K',
  'thermal resistance': 'K/W',
  'heat capacity': 'J/K',
  frequency: 'Hz, kHz',
  stiffness: 'N/m, N/mm',
  'contact stiffness': 'N/m^1.5',
  'contact damping': 's/m',
  'torque per mass': 'N*m/kg',
  'stiffness per mass': 'N*m/rad/kg',
};

const article = (noun: string): string => (/^[aeiou]/.test(noun) ? `an ${noun}` : `a ${noun}`);

/**
 * Reads `0.05 N*m` as SI. The unit must fit `kind`; a bare number passes only for a pure number.
 * Nothing is guessed: a decimal comma, a missing unit, one of another dimension or one that is not on the list is a fault.
 */
export function parseQuantity(text: string | number, kind: Kind): ParsedQuantity {
  const source = String(text).trim();
  const units = EXAMPLE_UNITS[kind];
  const comma = /^([+-]?\d+),(\d+)\s*(.*)$/.exec(source);
  if (comma) {
    return {
      what: `\`${source}\` has a decimal comma`,
      mend: `Write \`${comma[1]}.${comma[2]}${comma[3] ? ` ${comma[3]}` : ''}\``,
    };
  }
  const match = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)$/.exec(source.replace(/^−/, '-'));
  if (!match)
    return {
      what: `\`${source}\` is not a number with a unit`,
      mend: `Write ${article(kind)} such as \`1 ${units.split(', ')[0]}\``,
    };
  const value = Number(match[1]);
  const unitText = match[2] ?? '';
  if (!Number.isFinite(value))
    return { what: `\`${source}\` is too large for a number`, mend: 'Write it in a larger unit' };
  if (unitText === '') {
    if (kind === 'pure number') return { si: value };
    return {
      what: `\`${source}\` has no unit, but this field is ${article(kind)}`,
      mend: `Add one of: ${units}`,
    };
  }
  const unit = parseUnit(unitText);
  if ('unknown' in unit) {
    const near = nearestName(plainUnit(unit.unknown), unitNames());
    return {
      what: `\`${unit.unknown}\` is not a unit known here`,
      mend:
        near === undefined ? `Use one of: ${units}` : `Did you mean \`${near}\`? This field takes: ${units}`,
    };
  }
  if (!sameDimension(unit.dimension, KINDS[kind])) {
    const [found] = kindsOf(unit.dimension);
    return {
      what: `\`${source}\` is ${found === undefined ? 'of another dimension' : article(found)}, but this field is ${article(kind)}`,
      mend: `Use one of: ${units}`,
    };
  }
  return { si: value * unit.factor + unit.zero };
}
