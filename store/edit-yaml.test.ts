import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parse, stringify } from 'yaml';
import { editYaml } from './edit-yaml.ts';
import { lineDiff } from './line-diff.ts';

const LEG = `# Leg of the left side   # and a mark

name: "tern"      # quoted

joints:
    knee:            # four blanks deep
      ratio:   22    # motor ÷ joint


      drag: { value: 0.05 N*m, range: [0.035 N*m, 0.065 N*m],   basis: assumed }
    ankle: {ratio: 22}
parts:
- foot   # first
- 'shank'
empty:
note: |
  two
  lines
last: end`;

test.each<[(string | number)[], string, number, string]>([
  [['joints', 'knee', 'ratio'], '24', 7, '      ratio:   24    # motor ÷ joint'],
  [
    ['joints', 'knee', 'drag', 'value'],
    '0.06 N*m',
    10,
    '      drag: { value: 0.06 N*m, range: [0.035 N*m, 0.065 N*m],   basis: assumed }',
  ],
  [
    ['joints', 'knee', 'drag', 'range', 1],
    '70 mN*m',
    10,
    '      drag: { value: 0.05 N*m, range: [0.035 N*m, 70 mN*m],   basis: assumed }',
  ],
  [['joints', 'ankle', 'ratio'], '9', 11, '    ankle: {ratio: 9}'],
  [['name'], 'tern "9"', 3, String.raw`name: "tern \"9\""      # quoted`],
  [['parts', 0], 'left: foot', 13, "- 'left: foot'   # first"],
  [['parts', 1], "wearer's", 14, "- 'wearer''s'"],
  [['empty'], 'full', 15, 'empty: full'],
  [['last'], '# no comment', 19, "last: '# no comment'"],
  [['last'], 'two\nlines', 19, String.raw`last: "two\nlines"`],
])('%j becomes %j on its own line', (path, scalar, line, becomes) => {
  const before = LEG.split('\n');
  const edited = editYaml(LEG, path, scalar);
  expect(edited.split('\n')).toEqual(before.with(line - 1, becomes));
  expect(lineDiff(LEG, edited)).toEqual({ line, before: [before[line - 1]], after: [becomes] });
});

test('a block of lines becomes one value, its neighbours stay', () => {
  expect(lineDiff(LEG, editYaml(LEG, ['note'], 'one'))).toEqual({
    line: 16,
    before: ['note: |', '  two', '  lines'],
    after: ['note: one'],
  });
});

test('Windows line ends, a byte-order mark and a document start stay', () => {
  expect(editYaml('\ufeff---\r\na: 1 # one\r\nb: 2\r\n', ['a'], '3')).toBe(
    '\ufeff---\r\na: 3 # one\r\nb: 2\r\n',
  );
});

test('an alias is changed at its place only; an anchored value that stands elsewhere too is not changed', () => {
  const text = 'knee: &m 5 kg # both\nankle: *m\n';
  expect(editYaml(text, ['ankle'], '6 kg')).toBe('knee: &m 5 kg # both\nankle: 6 kg\n');
  expect(() => editYaml(text, ['knee'], '6 kg')).toThrow(
    'this value cannot be changed without changing another, since it is anchored or of a form of its own. Edit it by hand.',
  );
  expect(editYaml('knee: &m 5 kg # alone\n', ['knee'], '6 kg')).toBe('knee: &m 6 kg # alone\n');
});

test('faults: no such value, a map, a text that is not sound', () => {
  expect(() => editYaml(LEG, ['joints', 'hip'], '1')).toThrow(
    'joints.hip: there is no such value in this file. Add the field to the file first.',
  );
  expect(() => editYaml(LEG, ['joints', 'knee'], '1')).toThrow(
    'joints.knee: this is a map or a list, not one value. Edit one of the values inside it.',
  );
  expect(() => editYaml('a: 1\na: 2\n', ['a'], '1')).toThrow('this key stands twice in one map');
});

const key = fc.stringMatching(/^[a-z]{1,6}$/);
const word = fc.oneof(
  fc.stringMatching(/^[a-z0-9 :#'"{},&*!|>%@-]{0,12}$/),
  fc.double({ noNaN: true }).map(String),
);
const leaf = fc.oneof(word, fc.integer(), fc.boolean(), fc.constant(null));
const { tree } = fc.letrec((tie) => ({
  tree: fc.oneof(
    { maxDepth: 4 },
    leaf,
    fc.dictionary(key, tie('tree'), { minKeys: 1, maxKeys: 4, noNullPrototype: true }),
    fc.array(tie('tree'), { minLength: 1, maxLength: 3 }),
  ),
}));

/** Paths to every value that is neither map nor list. */
function leaves(value: unknown, at: (string | number)[] = []): (string | number)[][] {
  if (Array.isArray(value)) return value.flatMap((item, k) => leaves(item, [...at, k]));
  if (value === null || typeof value !== 'object') return [at];
  return Object.entries(value).flatMap(([k, item]) => leaves(item, [...at, k]));
}

/** The text with a comment behind each line that can bear one. */
const commented = (text: string): string => text.replace(/^([^\n]*[a-z0-9}\]"])$/gm, '$1 # kept');

test('property: an edit changes the lines of its value and no other byte, and reads back as what was asked', () => {
  fc.assert(
    fc.property(
      fc.dictionary(key, tree as fc.Arbitrary<unknown>, { minKeys: 1, maxKeys: 5, noNullPrototype: true }),
      fc.nat(),
      word,
      (value, pick, scalar) => {
        const drawn = stringify(value, { lineWidth: 0 });
        const text = /[|>]/.test(drawn) ? drawn : commented(drawn);
        const paths = leaves(parse(text));
        const path = paths[pick % paths.length]!;
        const edited = editYaml(text, path, scalar);
        const change = lineDiff(text, edited);
        if (change !== null) {
          expect(change.after).toHaveLength(1);
          if (change.before.length === 1)
            expect(change.after[0]!.includes('# kept')).toBe(change.before[0]!.includes('# kept'));
        }
        const read = path.reduce<unknown>(
          (at, k) => (at as Record<string | number, unknown>)[k],
          parse(edited),
        );
        expect([scalar, String(Number(scalar)), 'true', 'false', '']).toContain(
          read === null ? '' : String(read),
        );
      },
    ),
    { numRuns: 500 },
  );
});
