import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { canonicalJson, fingerprint, fingerprintOfBytes, fingerprintOfFile } from './fingerprint.ts';

// FIPS 180-4 example values (NIST, "SHA-256", one-block and two-block message samples).
test.each([
  ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
  [
    'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
    '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
  ],
])('the fingerprint of "%s" is the published one', async (text, sha256) => {
  expect(fingerprintOfBytes(text)).toBe(sha256);
  const folder = mkdtempSync(path.join(tmpdir(), 'striderule-print-'));
  writeFileSync(path.join(folder, 'f'), text);
  expect(await fingerprintOfFile(path.join(folder, 'f'))).toBe(sha256);
  rmSync(folder, { recursive: true });
});

// Keys by UTF-16 code unit and numbers in ECMAScript's shortest form, as RFC 8785 (JSON Canonicalization Scheme)
// sections 3.2.2 and 3.2.3 print them; −0 is apart on purpose, where the scheme makes it 0.
test('keys are sorted and numbers are in their shortest exact form', () => {
  expect(canonicalJson({ '\u20ac': 1, '\r': 2, 1: 4, '\ud83d\ude00': 5, '\u0080': 6, '\u00f6': 7 })).toBe(
    '{"\\r":2,"1":4,"\u0080":6,"\u00f6":7,"\u20ac":1,"\ud83d\ude00":5}',
  );
  expect(canonicalJson([Number('333333333.33333329'), 1e30, 4.5, 2e-3, 0.000000000000000000000000001])).toBe(
    '[333333333.3333333,1e+30,4.5,0.002,1e-27]',
  );
  expect(canonicalJson([0, -0])).toBe('[0,-0]');
});

test('a field that is undefined is a field left out; a Float64Array is its numbers', () => {
  expect(canonicalJson({ b: [null, true, Float64Array.of(1, -0)], a: undefined })).toBe(
    '{"b":[null,true,[1,-0]]}',
  );
});

test.each<[string, unknown, string]>([
  [
    'NaN',
    { motor: { drag: Number.NaN } },
    'motor.drag: NaN is not a number that can be compared, so what it belongs to has no fingerprint. Leave the field out where the value is unknown.',
  ],
  ['infinity', [1, -Infinity], '1: -Infinity is not a number that can be compared'],
  ['a hole in a list', new Array(1), '0: a value of type undefined has no JSON'],
  ['a function', { f: () => 1 }, 'f: a value of type function has no JSON'],
  ['a date', { at: new Date(0) }, 'at: a Date has no JSON'],
])('%s has no fingerprint', (_, value, said) => {
  expect(() => fingerprint(value)).toThrow(said);
});

test('a value that holds itself has no fingerprint; one that stands twice has', () => {
  const knee: Record<string, unknown> = { ratio: 22 };
  expect(canonicalJson({ a: knee, b: knee })).toBe('{"a":{"ratio":22},"b":{"ratio":22}}');
  knee.self = knee;
  expect(() => fingerprint(knee)).toThrow('self: the value holds itself');
});

test('property: the order of keys does not matter, and the text reads back to the same value', () => {
  fc.assert(
    fc.property(fc.jsonValue(), (value) => {
      const reversed = JSON.parse(JSON.stringify(value), (_, item) =>
        item !== null && typeof item === 'object' && !Array.isArray(item)
          ? Object.fromEntries(Object.entries(item).reverse())
          : item,
      );
      // through JSON.stringify −0 would become 0
      if (!JSON.stringify(value).includes('-0') && !canonicalJson(value).includes('-0'))
        expect(fingerprint(reversed)).toBe(fingerprint(value));
      expect(canonicalJson(JSON.parse(canonicalJson(value)))).toBe(canonicalJson(value));
    }),
  );
});
