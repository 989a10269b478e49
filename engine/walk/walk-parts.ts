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

/** Share of its own pace below which a walk does not move on, and s for which it does not to be standing: one that turns round is slow for less. Our choice. */
const STANDS = { pace: 1e-3, lasts: 0.1 };

/**
 * What a stride falls into where stance and swing, parted by one toe-off, do not tell it. One stretch: the states as `passed`, each with the
 * time, s, at which the controller came into it; where none are told, by the force on the foot, which has a centre of pressure or has not.
 * None of them where the foot never bore anything. A stride in which the walk stops or goes back: by that force, and by whether it goes on,
 * ṗ·T > 0, p its place in the stride that is walked and T the time of that. What stands of a stride in which the leg fell: by that force.
 * Undefined: stance, then swing.
 */
export function walkParts(
  log: WalkLog,
  { from, to, whole }: StrideRange,
  passed?: readonly { readonly state: string; readonly time: number }[],
): WalkPart[] | undefined {
  const { table, period, stretch } = log;
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
  const goes = goings(log, from, to);
  const stops = stretch !== true && goes.some((going) => going !== 1);
  const parts: WalkPart[] = [];
  const loaded = (row: number): boolean => !Number.isNaN(y(row, LOG.pressure));
  const going = (row: number): number => (stops ? goes[row - from] : 1);
  for (let row = from, begun = from; row < to; row++) {
    if (row + 1 < to && loaded(row + 1) === loaded(row) && going(row + 1) === going(row)) continue;
    const [foot, held] = loaded(row)
      ? (['foot loaded', 'stance'] as const)
      : (['foot free', 'swing'] as const);
    parts.push({ name: `${foot}${GOING[1 + going(row)]}`, from: begun, to: row + 1, held });
    begun = row + 1;
  }
  if (stops) return parts;
  if (parts.every(({ held }) => held === 'swing')) return [];
  return stretch === true || !whole ? parts : undefined;
}

const GOING = [', going back', ', standing', ''];

/** Of each row 1 where the walk goes on, 0 where it stands, −1 where it goes back. */
function goings({ table, period, strideTime }: WalkLog, from: number, to: number): Int8Array {
  const still = (STANDS.pace * period) / strideTime;
  const goes = new Int8Array(to - from).fill(1);
  for (let i = 1; i < goes.length; i++) {
    const at = (from + i) * LOG_WIDTH + LOG.place;
    const went = table[at] - table[at - LOG_WIDTH];
    const on = went - Math.round(went);
    goes[i] = Math.abs(on) < still ? 0 : Math.sign(on);
  }
  for (let i = 0, begun = 0; i < goes.length; i++) {
    if (i + 1 < goes.length && goes[i + 1] === goes[i]) continue;
    if (goes[i] === 0 && (i + 1 - begun) * period < STANDS.lasts) goes.fill(goes[begun - 1], begun, i + 1);
    begun = i + 1;
  }
  return goes;
}
