import { describe, expect, test } from 'vitest';
import { compileController } from './compile-controller.ts';
import { firmwareChecksum, firmwareSizes, firmwareTables, firmwareTableText } from './firmware-tables.ts';
import { twoStates } from './test-controller.ts';

const compiled = compileController(twoStates, { period: 0.01, bodyWeight: 800, maps: {}, schedules: {} });

/** CRC-32 byte by byte over a table of 256, as most libraries do it. */
function crc32(bytes: Uint8Array): number {
  const table = Array.from({ length: 256 }, (_, n) => {
    let c = n;
    for (let k = 0; k < 8; k++) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
    return c >>> 0;
  });
  let crc = 0xffffffff;
  for (const byte of bytes) crc = (crc >>> 8) ^ table[(crc ^ byte) & 0xff]!;
  return (crc ^ 0xffffffff) >>> 0;
}

describe('tables of the firmware', () => {
  test('the checksum is CRC-32 of the words as they lie in memory', () => {
    // check value of CRC-32/ISO-HDLC for "123456789", as catalogues of CRCs print it
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
    const tables = firmwareTables(compiled);
    const words = tables.flatMap(({ kind, values }) =>
      (values.length === 0 ? [0] : values).map((value) => ({ kind, value })),
    );
    const memory = new DataView(new ArrayBuffer(4 * words.length));
    words.forEach(({ kind, value }, k) => {
      if (kind === 'float') memory.setFloat32(4 * k, value, true);
      else memory.setInt32(4 * k, value, true);
    });
    expect(firmwareChecksum(tables)).toBe(crc32(new Uint8Array(memory.buffer)));
    const [first, ...rest] = tables;
    const changed = { ...first!, values: first!.values.map((x, k) => (k === 0 ? x + 1 : x)) };
    expect(firmwareChecksum([changed, ...rest])).not.toBe(firmwareChecksum(tables));
  });

  test('every number is a float32, written so that it comes back; an open end is the largest', () => {
    for (const { kind, values } of firmwareTables(compiled))
      for (const value of values)
        expect(kind === 'float' ? Math.fround(value) : Math.trunc(value)).toBe(value);
    const text = firmwareTableText(compiled, { controller: 'a'.repeat(64), build: 'b'.repeat(64) });
    const [, low] = /condition_low\[\] = \{\n([^}]*)\}/.exec(text)!;
    const read = low!.split(',').map((cell) => Math.fround(Number(cell.trim().replace(/f$/, ''))));
    expect(read).toEqual(firmwareTables(compiled).find(({ name }) => name === 'condition_low')!.values);
    expect(read).toContain(-3.4028234663852886e38);
  });

  test('numbers of states and faults have names', () => {
    const text = firmwareSizes(compiled);
    expect(text).toContain('#define CTL_STATE_SWING 0\n#define CTL_STATE_STANCE 1\n#define CTL_STATE_SAFE 2');
    expect(text).toContain('#define CTL_FAULT_THIGH_LOST 1');
  });
});
