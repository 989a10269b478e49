import fc from 'fast-check';
import { expect, test } from 'vitest';
import { growingRows } from './growing-rows.ts';

test('rows come out as they went in, whole and by column, past every growth; what is written later changes none', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 7 }).chain((width) =>
        fc.record({
          width: fc.constant(width),
          rows: fc.array(fc.array(fc.double(), { minLength: width, maxLength: width }), { maxLength: 90 }),
        }),
      ),
      ({ width, rows }) => {
        const table = growingRows(width);
        const scratch = new Float64Array(width);
        for (const row of rows) {
          scratch.set(row);
          table.push(scratch);
        }
        expect(table.count()).toBe(rows.length);
        expect([...table.all()]).toEqual(rows.flat());
        for (let i = 0; i < width; i++) expect([...table.column(i)]).toEqual(rows.map((row) => row[i]));
      },
    ),
    { seed: 4 },
  );
});
