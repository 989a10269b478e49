/** Rows of equal width, one after another in one array: a list of small arrays costs the collector of rubbish more than its numbers. */
export interface GrowingRows {
  readonly push: (row: Float64Array) => void;
  readonly count: () => number;
  /** Number `i` of every row. */
  readonly column: (i: number) => Float64Array;
  /** All rows so far, row by row; of the moment, since later rows may go to another array. */
  readonly all: () => Float64Array;
}

/** No rows yet. Room doubles when it runs out. */
export function growingRows(width: number): GrowingRows {
  let rows = new Float64Array(width * 16);
  let count = 0;
  return {
    push(row) {
      if ((count + 1) * width > rows.length) {
        const more = new Float64Array(rows.length * 2);
        more.set(rows);
        rows = more;
      }
      rows.set(row, count++ * width);
    },
    count: () => count,
    column(i) {
      const column = new Float64Array(count);
      for (let k = 0; k < count; k++) column[k] = rows[k * width + i];
      return column;
    },
    all: () => rows.subarray(0, count * width),
  };
}
