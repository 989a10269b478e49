import { KINDS, type Kind, kindsOf, sameDimension } from './dimension.ts';
import { nearestName } from './nearest-name.ts';
import { parseUnit, plainUnit, type Unit, unitNames } from './unit.ts';

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
  'torque rate': 'N*m/s',
  'torque per mass': 'N*m/kg',
  'energy per mass': 'J/kg',
  'power per mass': 'W/kg',
  'stiffness per mass': 'N*m/rad/kg',
};

const article = (noun: string): string => (/^[aeiou]/.test(noun) ? `an ${noun}` : `a ${noun}`);

type Wrong = { readonly what: string; readonly mend: string };

/**
 * Reads `0.05 N*m` as SI. The unit must fit `kind`; a bare number passes only for a pure number.
 * Nothing is guessed: a decimal comma, a missing unit, one of another dimension or one that is not on the list is a fault.
 * A temperature is a point on the scale: `20 degC` is 293.15 K. The width of one is read by `parseWidth`.
 */
export function parseQuantity(text: string | number, kind: Kind): ParsedQuantity {
  const read = numberAndUnit(text, kind);
  if ('what' in read) return read;
  const si = read.value * read.unit.factor + read.unit.zero;
  if (kind === 'temperature' && si < 0) {
    return {
      what: `\`${String(text).trim()}\` is below absolute zero`,
      mend: 'Correct the number or its unit',
    };
  }
  return { si };
}

/** Reads a width, such as a standard deviation: as `parseQuantity`, but 2 degC between two temperatures is 2 K. */
export function parseWidth(text: string | number, kind: Kind): ParsedQuantity {
  const read = numberAndUnit(text, kind);
  return 'what' in read ? read : { si: read.value * read.unit.factor };
}

function numberAndUnit(text: string | number, kind: Kind): { value: number; unit: Unit } | Wrong {
  const source = String(text).trim().replace(/^−/, '-');
  const units = EXAMPLE_UNITS[kind];
  const grouped = groupedNumber(source);
  if (grouped !== undefined) return grouped;
  const match = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)$/.exec(source);
  if (!match)
    return {
      what: `\`${source}\` is not a number with a unit`,
      mend: `Write ${article(kind)} such as \`1${kind === 'pure number' ? '' : ` ${units.split(', ')[0]}`}\``,
    };
  const [, digits = '', unitText = ''] = match;
  const value = Number(digits);
  if (!Number.isFinite(value))
    return { what: `\`${source}\` is too large for a number`, mend: 'Write it in a larger unit' };
  if (value === 0 && /[1-9]/.test(digits.replace(/[eE].*/, '')))
    return { what: `\`${source}\` is too small for a number`, mend: 'Write it in a smaller unit' };
  if (unitText === '') {
    if (kind === 'pure number') return { value, unit: parseUnit('1') as Unit };
    return {
      what: `\`${source}\` has no unit, but this field is ${article(kind)}`,
      mend: `Add one of: ${units}`,
    };
  }
  const unit = parseUnit(unitText);
  if ('unknown' in unit) return unknownUnit(unitText, unit.unknown, kind);
  if (!sameDimension(unit.dimension, KINDS[kind])) {
    const [found] = kindsOf(unit.dimension);
    return {
      what: `\`${source}\` is ${found === undefined ? 'of another dimension' : article(found)}, but this field is ${article(kind)}`,
      mend: `Use one of: ${units}`,
    };
  }
  return { value, unit };
}

/** A comma or a gap among the digits: a decimal comma where it can only be one, else the two readings. */
function groupedNumber(source: string): Wrong | undefined {
  const match = /^([+-]?\d[\d.]*,[\d.,]*|[+-]?\d{1,3}(?:\s\d{3})+(?![\d/])[.,]?\d*)(.*)$/.exec(source);
  if (match === null) return undefined;
  const digits = match[1]!;
  const rest = match[2]!.trim() === '' ? '' : ` ${match[2]!.trim()}`;
  const one = /^([+-]?\d+),(\d+)$/.exec(digits);
  if (one === null) {
    return {
      what: `\`${source}\` has marks between its digits`,
      mend: 'Write digits with one decimal point and nothing between thousands',
    };
  }
  const point = `\`${one[1]}.${one[2]}${rest}\``;
  if (one[2]!.length !== 3 || /^[+-]?0/.test(one[1]!))
    return { what: `\`${source}\` has a decimal comma`, mend: `Write ${point}` };
  return {
    what: `\`${source}\` has a comma that may divide decimals or thousands`,
    mend: `Write ${point} or \`${one[1]}${one[2]}${rest}\``,
  };
}

/** Spellings that mean another unit than the nearest one on the list. */
const EVERYDAY: Readonly<Record<string, string>> = {
  C: 'degC',
  sec: 's',
  hr: 'h',
  Ohm: 'ohm',
  deg_C: 'degC',
};

/** Says which part of a unit is not on the list, and the nearest unit that would fit the field, if one is near. */
function unknownUnit(text: string, unknown: string, kind: Kind): Wrong {
  const takes = `This field takes: ${EXAMPLE_UNITS[kind]}`;
  const fits = (candidate: string): boolean => {
    const unit = parseUnit(candidate);
    return !('unknown' in unit) && sameDimension(unit.dimension, KINDS[kind]);
  };
  if (kind === 'pure number' && /^:\s*1$/.test(text))
    return {
      what: `a ratio is written as one number here, without \`${text}\``,
      mend: 'Write `22` for 22:1',
    };
  const shown = text.includes(unknown) ? unknown : text;
  const what = unknown === '' ? `the unit \`${text}\` is not whole` : `\`${shown}\` is not a unit known here`;
  if (text.startsWith('/') && fits(`1${text}`)) return { what, mend: `Write \`1${text}\`` };
  const starred = text.replace(/\s+/g, '*');
  if (starred !== text && fits(starred)) return { what, mend: `Write \`${starred}\`` };
  const near = unitNames().filter((name) => fits(plainUnit(text).replace(plainUnit(unknown), name)));
  const everyday = Object.hasOwn(EVERYDAY, unknown) ? EVERYDAY[unknown] : undefined;
  const name = everyday ?? (unknown === '' ? undefined : nearestName(plainUnit(unknown), near));
  return {
    what,
    mend: name === undefined ? `Use one of: ${EXAMPLE_UNITS[kind]}` : `Did you mean \`${name}\`? ${takes}`,
  };
}
