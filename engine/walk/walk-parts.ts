import type { StrideRange } from './stride-ranges.ts';
import { LOG, LOG_WIDTH, type WalkLog } from './walk-log.ts';

/** What lasted from one row of a log on, up to another, that one left out. */
export interface WalkPart {
  /** The controller's state; `foot loaded`, `foot free` where none was told. */
  readonly name: string;
  readonly from: number;
  readonly to: number;
  /** Whether the controller takes it for stance, swing or safe; of a foot: loaded is stance, free is swing. */
  readonly held: 'stance' | 'swing' | 'safe';
}

const HELD = ['stance', 'swing', 'safe'] as const;

/**
 * What a stride falls into where stance and swing, parted by one toe-off, do not tell it. One stretch: the states as `passed`, each with the
 * time, s, at which the controller came into it; where none are told, by the force on the foot, which has a centre of pressure or has not.
 * None of them where the foot never bore anything. Undefined: stance, then swing.
 */
export function walkParts(
  { table, period, stretch }: WalkLog,
  { from, to }: StrideRange,
  passed?: readonly { readonly state: string; readonly time: number }[],
): WalkPart[] | undefined {
  const y = (row: number, place: number): number => table[row * LOG_WIDTH + place];
  if (passed !== undefined) {
    const begins = passed.map(({ time }) => Math.round(time / period));
    return passed
      .map(({ state }, k) => ({
        name: state,
        from: begins[k],
        to: Math.min(to, begins[k + 1] ?? to),
        held: HELD[y(begins[k], LOG.mode)],
      }))
      .filter((part) => part.from < part.to);
  }
  const parts: WalkPart[] = [];
  const loaded = (row: number): boolean => !Number.isNaN(y(row, LOG.pressure));
  for (let row = from, begun = from; row < to; row++) {
    if (row + 1 < to && loaded(row + 1) === loaded(row)) continue;
    const [name, held] = loaded(row)
      ? (['foot loaded', 'stance'] as const)
      : (['foot free', 'swing'] as const);
    parts.push({ name, from: begun, to: row + 1, held });
    begun = row + 1;
  }
  if (parts.every(({ held }) => held === 'swing')) return [];
  return stretch === true ? parts : undefined;
}
