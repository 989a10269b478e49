import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseNumber } from './csv-number.ts';

const read = (text: string, point = '.') => {
  const bytes = Buffer.from(text);
  return parseNumber(bytes, 0, bytes.length, point.charCodeAt(0));
};

test('every double reads back to the same bits, however it is printed', () => {
  fc.assert(
    fc.property(
      fc.double({ noNaN: true, noDefaultInfinity: true }),
      fc.integer({ min: 0, max: 17 }),
      (x, digits) => {
        expect(read(String(x))).toBe(Number(String(x)));
        expect(read(x.toExponential(digits))).toBe(Number(x.toExponential(digits)));
      },
    ),
    { seed: 11, numRuns: 2000 },
  );
});

test('what people write: fixed decimals, signs, blanks, a leading point, a decimal comma', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -1e6, max: 1e6, noNaN: true }),
      fc.integer({ min: 0, max: 9 }),
      (x, decimals) => {
        const text = x.toFixed(decimals);
        expect(read(`  ${text}\t`)).toBe(Number(text));
        expect(read(text.replace('.', ','), ',')).toBe(Number(text));
      },
    ),
    { seed: 12, numRuns: 2000 },
  );
  expect(read('+.5')).toBe(0.5);
  expect(read('5.')).toBe(5);
  expect(Object.is(read('-0'), -0)).toBe(true);
  expect(read('1E3')).toBe(1000);
});

test('what is no number is NaN, never a part of it', () => {
  for (const text of [
    '',
    ' ',
    '-',
    '.',
    'e5',
    '1e',
    '1e+',
    '1,5',
    '1 2',
    '12a',
    'NaN',
    '0x10',
    '1.2.3',
    '--1',
    '1_000',
    '∞',
  ]) {
    expect(read(text), text).toBeNaN();
  }
  expect(read('1.5', ',')).toBeNaN();
  expect(read('1e400')).toBe(Number.POSITIVE_INFINITY); // refused by the reader, which wants finite numbers
});

test('any bytes are a number that the language reads too, or NaN', () => {
  fc.assert(
    fc.property(fc.stringMatching(/^[-+.0-9eE ]{0,12}$/), (text) => {
      const x = read(text);
      if (!Number.isNaN(x)) expect(x).toBe(Number(text));
    }),
    { seed: 13, numRuns: 3000 },
  );
});
