export interface CsvLayout {
  readonly delimiter: ',' | ';' | '\t';
  readonly decimal: '.' | ',';
  /** Line of the names, from 1; 0: there are none, columns are named by place. Left out: the first that is no comment. */
  readonly namesLine?: number;
  /** First line of data; left out: the one after the names. */
  readonly dataLine?: number;
}

/** Gets the wanted numbers of every row, in the order asked, and its line. The array is used again. */
export interface CsvRows {
  readonly row: (values: Float64Array, line: number) => void;
  /** May this row have cells without a number? Then `row` gets NaN for them. Left out: never. */
  readonly tolerates?: (values: Float64Array) => boolean;
}
