import fc from 'fast-check';
import { expect, test } from 'vitest';
import { KINDS, type Kind, kindsOf, over, power, sameDimension, times } from './dimension.ts';
import { nearestName } from './nearest-name.ts';
import { EXAMPLE_UNITS, parseQuantity } from './parse-quantity.ts';
import { parseUnit, unitNames } from './unit.ts';

const K = KINDS;

test('a torque is not an energy, and the laws that fix angle hold', () => {
  expect(sameDimension(K.torque, K.energy)).toBe(false);
  expect(sameDimension(times(K.torque, K.angle), K.energy)).toBe(true);
  expect(sameDimension(times(K.torque, K['angular velocity']), K.power)).toBe(true);
  expect(sameDimension(times(K['rotational stiffness'], K.angle), K.torque)).toBe(true);
  // ½·J·ω² is an energy
  expect(sameDimension(times(K['moment of inertia'], power(K['angular velocity'], 2)), K.energy)).toBe(true);
  // K_t·ω·i = e·i
  expect(sameDimension(times(times(K['torque constant'], K['angular velocity']), K.current), K.power)).toBe(
    true,
  );
  expect(sameDimension(times(K['voltage constant'], K['angular velocity']), K.voltage)).toBe(true);
});

// SI Brochure, 9th edition (2019), Table 8 and NIST SP 811 (2008), Appendix B.8, printed factors.
const PRINTED: [string, Kind, number][] = [
  ['1 deg', 'angle', 1.745329e-2],
  ['1 rpm', 'angular velocity', 1.047198e-1],
  ['1 rev', 'angle', 6.283185],
  ['1 km/h', 'speed', 2.777778e-1],
  ['1 Wh', 'energy', 3.6e3],
  ['1 Ah', 'charge', 3.6e3],
  ['1 h', 'time', 3.6e3],
  ['20 degC', 'temperature', 293.15],
];
for (const [text, kind, si] of PRINTED) {
  test(`${text} is the printed ${si} to its last digit`, () => {
    const parsed = parseQuantity(text, kind);
    expect('si' in parsed && Math.abs(parsed.si / si - 1)).toBeLessThan(5e-7);
  });
}

test('printed and plain spellings are the same unit', () => {
  const pairs: [string, string, Kind][] = [
    ['3 N·m', '3 Nm', 'torque'],
    ['22 mN*m/A', '0.022 N·m/A', 'torque constant'],
    ['2148 g·cm²', '2.148e-4 kg*m^2', 'moment of inertia'],
    ['49.07 µH', '49.07 uH', 'inductance'],
    ['65.79 mΩ', '0.06579 ohm', 'resistance'],
    ['1.2e-4 N·m·s/rad', '1.2e-4 N*m*s/rad', 'rotational damping'],
    ['15 °', '15 deg', 'angle'],
    ['0.393 %/K', '3.93e-3 1/K', 'temperature coefficient'],
    ['4.949 mV*s', '4.949e-3 V*s', 'flux linkage'],
  ];
  for (const [a, b, kind] of pairs) {
    const [x, y] = [parseQuantity(a, kind), parseQuantity(b, kind)];
    expect('si' in x && 'si' in y && Math.abs(x.si - y.si) <= 1e-15 * Math.abs(y.si) * 10).toBe(true);
  }
});

test('what is wrong with a quantity is said with its mend', () => {
  expect(parseQuantity('22 kg', 'torque')).toEqual({
    what: '`22 kg` is a mass, but this field is a torque',
    mend: 'Use one of: N*m, mN*m',
  });
  expect(parseQuantity('22 J', 'torque')).toEqual({
    what: '`22 J` is an energy, but this field is a torque',
    mend: 'Use one of: N*m, mN*m',
  });
  expect(parseQuantity('900 N*m', 'rotational stiffness')).toMatchObject({
    what: '`900 N*m` is a torque, but this field is a rotational stiffness',
  });
  expect(parseQuantity('0,5 mm', 'length')).toEqual({
    what: '`0,5 mm` has a decimal comma',
    mend: 'Write `0.5 mm`',
  });
  expect(parseQuantity(22, 'torque')).toEqual({
    what: '`22` has no unit, but this field is a torque',
    mend: 'Add one of: N*m, mN*m',
  });
  expect(parseQuantity('22 mNM', 'torque')).toEqual({
    what: '`mNM` is not a unit known here',
    mend: 'Did you mean `mNm`? This field takes: N*m, mN*m',
  });
  expect(parseQuantity('soft', 'torque')).toMatchObject({ what: '`soft` is not a number with a unit' });
  expect(parseQuantity('1e999 N', 'force')).toMatchObject({ what: '`1e999 N` is too large for a number' });
});

test('every example unit fits its kind', () => {
  for (const kind of Object.keys(EXAMPLE_UNITS) as Kind[]) {
    for (const unit of EXAMPLE_UNITS[kind].split(/, | or /))
      expect(parseQuantity(`2 ${unit}`, kind), `${kind} ${unit}`).toHaveProperty('si');
  }
});

test('a unit divided by itself is a pure number, and products commute', () => {
  const atom = fc.constantFrom(...unitNames());
  fc.assert(
    fc.property(atom, atom, (a, b) => {
      const [ab, ba, aa] = [parseUnit(`${a}*${b}`), parseUnit(`${b}*${a}`), parseUnit(`${a}/${a}`)];
      if ('unknown' in ab || 'unknown' in ba || 'unknown' in aa) return false;
      return (
        sameDimension(ab.dimension, ba.dimension) &&
        aa.factor === 1 &&
        kindsOf(aa.dimension).includes('pure number')
      );
    }),
    { seed: 1 },
  );
});

test('dimension arithmetic is a group', () => {
  const dimension = fc.constantFrom(...Object.values(KINDS));
  fc.assert(
    fc.property(dimension, dimension, (a, b) => sameDimension(over(times(a, b), b), a)),
    { seed: 1 },
  );
});

test('text made from a number comes back as that number', () => {
  fc.assert(
    fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (x) => {
      const parsed = parseQuantity(`${x} N*m`, 'torque');
      return 'si' in parsed && Object.is(parsed.si + 0, x + 0);
    }),
    { seed: 1 },
  );
});

test('a misspelt name finds its neighbour, a strange one none', () => {
  expect(nearestName('raito', ['ratio', 'mass'])).toBe('ratio');
  expect(nearestName('elephant', ['ratio', 'mass'])).toBeUndefined();
});
