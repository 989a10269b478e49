import type { Cell } from '../show/csv.ts';
import { degrees } from '../show/unit.ts';
import { type HandRun, STRIP_STEP } from './hand-run.ts';

const HEAD = [
  'time, s',
  'thigh, ° (forward +)',
  'thigh heard, °',
  'phase, % of the stride',
  'knee, ° (flexion +)',
  'ankle, ° (dorsiflexion +)',
  'recorded knee, °',
  'recorded ankle, °',
];

/** The last seconds, every `step`-th sample; what was before the beginning is left out. */
export function stripRows({ strip }: HandRun, step: number): Cell[][] {
  const rows: Cell[][] = [HEAD];
  const last = strip.thigh.length - 1;
  for (let i = last % step; i <= last; i += step) {
    if (Number.isNaN(strip.thigh[i])) continue;
    const { thigh, heard, phase, knee, ankle, ownKnee, ownAnkle } = strip;
    const angle = (curve: Float64Array) => Number(degrees(curve[i] ?? Number.NaN).toFixed(2));
    rows.push([
      Number(((i - last) * STRIP_STEP).toFixed(2)),
      ...[angle(thigh), angle(heard), Number((100 * (phase[i] ?? Number.NaN)).toFixed(3))],
      ...[angle(knee), angle(ankle), angle(ownKnee), angle(ownAnkle)],
    ]);
  }
  return rows;
}
