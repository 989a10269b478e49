/** Shown where there is no number: missing never becomes one. */
export const GAP = '—';

const trueMinus = (text: string): string =>
  /^-0(\.0*)?$/.test(text) ? text.slice(1) : text.replace(/^-/, '−');

/** A number with this many decimals and a true minus sign; a dash where it is missing. */
export function fixed(value: number | null | undefined, decimals: number): string {
  if (value === null || value === undefined || Number.isNaN(value)) return GAP;
  if (!Number.isFinite(value)) return value > 0 ? '∞' : '−∞';
  return trueMinus(value.toFixed(decimals));
}

/** A number to this many significant figures, without exponent between 0.0001 and 1e6, digits before the point kept. */
export function significant(value: number | null | undefined, figures = 3): string {
  if (value === null || value === undefined || !Number.isFinite(value) || value === 0) return fixed(value, 0);
  const power = Math.floor(Math.log10(Math.abs(Number(value.toPrecision(figures)))));
  if (power < -4 || power >= 6) return trueMinus(value.toExponential(figures - 1).replace('e+', 'e'));
  return fixed(value, Math.max(0, figures - 1 - power));
}
