/** A logarithmic scale: `low` stands at 0 px, each decade is `decade` px long, `length` px in all. */
export interface LogScale {
  readonly low: number;
  readonly decade: number;
  readonly length: number;
}

export const logAt = ({ low, decade }: LogScale, value: number): number => decade * Math.log10(value / low);
export const valueAtPx = ({ low, decade }: LogScale, x: number): number => low * 10 ** (x / decade);

/** One engraved line: the stronger its rank, the longer. 3: 1·10^n, 2: 2 and 5, 1: other whole digits, 0: between. */
export interface LogTick {
  readonly value: number;
  readonly x: number;
  readonly rank: 0 | 1 | 2 | 3;
}

/** Ticks nearer than this cannot be told apart, px. */
const NEAREST = 2.8;
/** Steps within a decade that has been brought to 1–10, in hundredths. */
const STEPS = [2, 5, 10, 20, 50, 100];

/** Ticks from end to end: within 1–2, 2–5 and 5–10 of each decade the finest step whose closest pair can be told apart. */
export function logTicks(scale: LogScale): LogTick[] {
  const ticks: LogTick[] = [];
  const first = Math.floor(Math.log10(scale.low) + 1e-9);
  const last = Math.ceil(Math.log10(valueAtPx(scale, scale.length)) - 1e-9);
  for (let power = first; power < last + 1; power++) {
    for (const [from, to] of [
      [100, 200],
      [200, 500],
      [500, 1000],
    ] as const) {
      const step = STEPS.find((s) => scale.decade * Math.log10(to / (to - s)) >= NEAREST) ?? 100;
      for (let hundredths = from; hundredths < to; hundredths += step) {
        const value = (hundredths * 10 ** power) / 100;
        const x = logAt(scale, value);
        if (x < -0.01 || x > scale.length + 0.01) continue;
        const whole = hundredths % 100 === 0;
        const rank = hundredths === 100 ? 3 : hundredths === 200 || hundredths === 500 ? 2 : whole ? 1 : 0;
        ticks.push({ value: Number(value.toPrecision(4)), x, rank });
      }
    }
  }
  return ticks;
}

/** Numerals, strongest ticks first, each kept where it stands clear of those before it. `width` is px of a text. */
export function logNumerals(
  ticks: readonly LogTick[],
  width: (text: string) => number,
): { readonly x: number; readonly text: string }[] {
  const kept: { x: number; text: string }[] = [];
  const order = ticks.filter(({ rank }) => rank > 0).toSorted((a, b) => b.rank - a.rank || a.x - b.x);
  for (const { x, value } of order) {
    const text = String(value);
    if (kept.every((other) => Math.abs(other.x - x) >= (width(other.text) + width(text)) / 2 + 8))
      kept.push({ x, text });
  }
  return kept.toSorted((a, b) => a.x - b.x);
}
