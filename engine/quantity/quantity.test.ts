import fc from 'fast-check';
import { expect, test } from 'vitest';
import { KINDS, type Kind, kindsOf, over, power, sameDimension, times } from './dimension.ts';
import { editDistance, nearestName } from './nearest-name.ts';
import { EXAMPLE_UNITS, parseQuantity, parseWidth } from './parse-quantity.ts';
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

// SI Brochure, 9th edition (2019), Table 8 and NIST SP 811 (2008), Appendix B.8, printed factors: FROM MEMORY. Each also follows from its definition, below.
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

// text, kind, what, mend
const REFUSED: [string, Kind, string, string][] = [
  ['−0,5 mm', 'length', '`-0,5 mm` has a decimal comma', 'Write `-0.5 mm`'],
  ['0,500 mm', 'length', '`0,500 mm` has a decimal comma', 'Write `0.500 mm`'],
  [
    '1,000 rpm',
    'angular velocity',
    '`1,000 rpm` has a comma that may divide decimals or thousands',
    'Write `1.000 rpm` or `1000 rpm`',
  ],
  [
    '1.234,5 mm',
    'length',
    '`1.234,5 mm` has marks between its digits',
    'Write digits with one decimal point and nothing between thousands',
  ],
  [
    '1 000 rpm',
    'angular velocity',
    '`1 000 rpm` has marks between its digits',
    'Write digits with one decimal point and nothing between thousands',
  ],
  ['3 N m', 'torque', '`N m` is not a unit known here', 'Write `N*m`'],
  ['3 kg m^2', 'moment of inertia', '`kg m^2` is not a unit known here', 'Write `kg*m^2`'],
  ['3 /s', 'frequency', 'the unit `/s` is not whole', 'Write `1/s`'],
  ['20 C', 'temperature', '`C` is not a unit known here', 'Did you mean `degC`? This field takes: degC, K'],
  ['3 N*m/(rad/s)', 'rotational damping', '`(rad` is not a unit known here', 'Use one of: N*m*s/rad'],
  ['22:1', 'pure number', 'a ratio is written as one number here, without `:1`', 'Write `22` for 22:1'],
  ['-300 degC', 'temperature', '`-300 degC` is below absolute zero', 'Correct the number or its unit'],
  ['4e-400 kg', 'mass', '`4e-400 kg` is too small for a number', 'Write it in a smaller unit'],
  ['5 %^999', 'pure number', '`%^999` is not a unit known here', 'Use one of: 1 or %'],
  ['5 __proto__', 'mass', '`__proto__` is not a unit known here', 'Use one of: kg, g'],
  [
    '900 N*m',
    'rotational stiffness',
    '`900 N*m` is a torque, but this field is a rotational stiffness',
    'Use one of: N*m/rad, N*m/deg',
  ],
  [
    '2 N*m*s',
    'rotational damping',
    '`2 N*m*s` is of another dimension, but this field is a rotational damping',
    'Use one of: N*m*s/rad',
  ],
  [
    '10 1/s',
    'angular velocity',
    '`10 1/s` is a frequency, but this field is an angular velocity',
    'Use one of: rad/s, deg/s, rpm',
  ],
];
for (const [text, kind, what, mend] of REFUSED) {
  test(`\`${text}\` is refused as ${kind}, with its mend`, () => {
    expect(parseQuantity(text, kind)).toEqual({ what, mend });
  });
}

test('a temperature is a point on the scale, its width is a difference', () => {
  expect(parseQuantity('20 degC', 'temperature')).toEqual({ si: 293.15 });
  expect(parseWidth('2 degC', 'temperature')).toEqual({ si: 2 });
  expect(parseWidth('2 K', 'temperature')).toEqual({ si: 2 });
  // in a compound a degree is a difference
  expect(parseQuantity('0.5 °C/W', 'thermal resistance')).toEqual({ si: 0.5 });
});

// SI prefixes: SI Brochure, 9th edition (2019), Table 7 (FROM MEMORY); powers of ten, so the law below is the witness
const PREFIXES: Readonly<Record<string, number>> = { n: 1e-9, u: 1e-6, m: 1e-3, c: 1e-2, k: 1e3 };
const si = (text: string, kind: Kind): number => {
  const parsed = parseQuantity(text, kind);
  if (!('si' in parsed)) throw new Error(parsed.what);
  return parsed.si;
};

test('every prefixed unit is its base unit times the prefix', () => {
  const names = unitNames();
  const prefixed = names.filter(
    (name) => name[0]! in PREFIXES && names.includes(name.slice(1)) && name !== 'min',
  );
  expect(prefixed.length).toBeGreaterThan(25);
  for (const name of prefixed) {
    const [unit, base] = [parseUnit(name), parseUnit(name.slice(1))];
    if ('unknown' in unit || 'unknown' in base) throw new Error(name);
    expect(sameDimension(unit.dimension, base.dimension), name).toBe(true);
    expect(unit.factor / base.factor, name).toBeCloseTo(PREFIXES[name[0]!]!, 12);
  }
});

test('atoms of torque and inertia are what they are made of', () => {
  // N·mm and the inertias from the definitions of their parts
  expect(si('1 Nmm', 'torque')).toBeCloseTo(1e-3, 15);
  for (const [unit, grams, metres] of [
    ['kgcm2', 1, 1e-2],
    ['kgmm2', 1, 1e-3],
    ['gcm2', 1e-3, 1e-2],
    ['gmm2', 1e-3, 1e-3],
  ] as const)
    expect(si(`1 ${unit}`, 'moment of inertia') / (grams * metres ** 2), unit).toBeCloseTo(1, 12);
});

test('both code points of omega and of micro are read', () => {
  expect(si('3 \u03A9', 'resistance')).toBe(3);
  expect(si('3 m\u2126', 'resistance')).toBe(3e-3);
  expect(si('3 \u00B5F', 'capacitance')).toBe(si('3 \u03BCF', 'capacitance'));
});

test('what is written in one unit and read back is the same quantity in every unit of its kind', () => {
  const kinds = Object.keys(EXAMPLE_UNITS) as Kind[];
  fc.assert(
    fc.property(fc.constantFrom(...kinds), fc.double({ min: 1e-3, max: 1e6, noNaN: true }), (kind, x) => {
      for (const text of EXAMPLE_UNITS[kind].split(/, | or /)) {
        const unit = parseUnit(text);
        if ('unknown' in unit) return false;
        const written = `${(x - unit.zero) / unit.factor} ${text}`;
        if (x < unit.zero) continue;
        if (Math.abs(si(written, kind) / x - 1) > 1e-12) return false;
      }
      return true;
    }),
    { seed: 1 },
  );
});

test('any text is read or refused, never thrown', () => {
  fc.assert(
    fc.property(
      fc.string({ unit: 'binary', maxLength: 24 }),
      fc.constantFrom(...(Object.keys(EXAMPLE_UNITS) as Kind[])),
      (text, kind) => {
        const parsed = parseQuantity(text, kind);
        return 'si' in parsed ? Number.isFinite(parsed.si) : parsed.what !== '' && parsed.mend !== '';
      },
    ),
    { seed: 1, numRuns: 2_000 },
  );
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

test('edits between words: none for the same, the same both ways, one for each slip of the hand', () => {
  const word = fc.string({ maxLength: 8 });
  fc.assert(
    fc.property(
      word,
      word,
      (a, b) =>
        editDistance(a, a) === 0 &&
        editDistance(a, b) === editDistance(b, a) &&
        editDistance(a, b) >= Math.abs(a.length - b.length) &&
        editDistance(a, b) <= Math.max(a.length, b.length),
    ),
    { seed: 1 },
  );
  for (const slip of ['rati', 'rratio', 'razio', 'raito']) expect(editDistance(slip, 'ratio'), slip).toBe(1);
});
