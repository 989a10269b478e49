/** Shown where there is no number: missing never becomes one. */
export const GAP = '–';

const trueMinus = (text: string): string =>
  /^-0(\.0*)?$/.test(text) ? text.slice(1) : text.replace(/^-/, '\u2212');

/** This many decimals and a true minus sign; a dash where the number is missing. */
export function fixed(value: number | null | undefined, decimals: number): string {
  if (value === null || value === undefined || Number.isNaN(value)) return GAP;
  if (!Number.isFinite(value)) return value > 0 ? '∞' : '\u2212∞';
  return trueMinus(value.toFixed(decimals));
}

/** This many significant figures, digits before the point kept, no exponent between 1e-4 and 1e6. */
export function significant(value: number | null | undefined, figures = 3): string {
  if (value === null || value === undefined || !Number.isFinite(value) || value === 0) return fixed(value, 0);
  const power = Math.floor(Math.log10(Math.abs(Number(value.toPrecision(figures)))));
  if (power < -4 || power >= 6) {
    const [digits, exponent] = value.toExponential(figures - 1).split('e') as [string, string];
    return `${trueMinus(digits)}·10^${trueMinus(exponent.replace('+', ''))}`;
  }
  return fixed(value, Math.max(0, figures - 1 - power));
}

/** A published range: one number where both ends are the same, a word where a dash would run into a minus. */
export function rangeText(low: number, high: number, decimals: number): string {
  const between = low < 0 ? ' to ' : '\u2013';
  return low === high ? fixed(low, decimals) : `${fixed(low, decimals)}${between}${fixed(high, decimals)}`;
}

/** A number as somebody wrote it: up to this many significant figures, no zeros made up behind them. */
export function written(value: number, figures = 4): string {
  if (!Number.isFinite(value)) return fixed(value, 0);
  const rounded = Number(value.toPrecision(figures));
  const power = rounded === 0 ? 0 : Math.floor(Math.log10(Math.abs(rounded)));
  if (power < -8) return significant(rounded, figures);
  return trueMinus(
    rounded
      .toFixed(Math.min(20, Math.max(0, figures - 1 - power)))
      .replace(/(\.\d*?)0+$/, '$1')
      .replace(/\.$/, ''),
  );
}
