import { closeSync, openSync, writeSync } from 'node:fs';

/** Columns a laboratory's export has beside those that are mapped. */
const EXTRA = 20;
const RATE = 200;
const ROWS = 220;

/** What reads the file that `writeRecording` makes. */
export const RECORDING_RECIPE = `delimiter: ","
time: { column: time, unit: s }
stride: stride
stance: 62 %
cutOff: 10 Hz
knee:
  angle: { column: knee, unit: deg, positive: flexion }
ankle:
  angle: { column: ankle, unit: deg, positive: dorsiflexion }
  moment: { column: ankleM, unit: N*m/kg, positive: plantarflexion }
`;

/** Writes at least `bytes` of strides at 200 Hz, all alike, and gives how many whole strides they hold. */
export function writeRecording(file: string, bytes: number): number {
  const bump = (p: number, centre: number, width: number) => Math.exp(-0.5 * ((p - centre) / width) ** 2);
  const extra = Array.from({ length: EXTRA }, (_, k) => (k * 1.234567).toFixed(5)).join(',');
  const cells = Array.from({ length: ROWS }, (_, i) => {
    const p = i / ROWS;
    const knee = 5 + 57 * bump(p, 0.72, 0.08);
    const ankle = 10 * bump(p, 0.42, 0.1) - 20 * bump(p, 0.64, 0.05);
    return `${knee.toFixed(4)},${ankle.toFixed(4)},${(1.5 * bump(p, 0.48, 0.1)).toFixed(5)},${extra}`;
  });
  const names = `time,stride,knee,ankle,ankleM,${Array.from({ length: EXTRA }, (_, k) => `extra${k}`).join(',')}\n`;
  const out = openSync(file, 'w');
  let written = writeSync(out, names);
  let stride = 0;
  while (written < bytes) {
    let block = '';
    for (let k = 0; k < 10; k++, stride++) {
      for (let i = 0; i < ROWS; i++) {
        block += `${((stride * ROWS + i) / RATE).toFixed(3)},${stride + 1},${cells[i]}\n`;
      }
    }
    written += writeSync(out, block);
  }
  closeSync(out);
  return stride;
}
