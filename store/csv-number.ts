const POWERS = Float64Array.from({ length: 23 }, (_, i) => 10 ** i);

/**
 * The number between two bytes of a buffer, blanks round it allowed; NaN where there is none. `point` is the byte of the decimal mark.
 *
 * At most 15 digits and a power of ten up to 22 are exact in one operation on doubles, so the result is the nearest double
 * (Clinger, Proc. PLDI (1990) 92–101); anything else goes to the language's own reader, which is slower and as exact.
 */
export function parseNumber(b: Uint8Array, from: number, to: number, point: number): number {
  let i = from;
  while (i < to && b[i]! <= 32) i++;
  let end = to;
  while (end > i && b[end - 1]! <= 32) end--;
  const start = i;
  let negative = false;
  if (i < end && (b[i] === 45 || b[i] === 43)) negative = b[i++] === 45;
  let mantissa = 0;
  let digits = 0;
  let scale = 0;
  let seen = 0;
  let fraction = false;
  for (; i < end; i++) {
    const c = b[i]! - 48;
    if (c >= 0 && c <= 9) {
      seen++;
      if (digits > 0 || c > 0) digits++;
      mantissa = mantissa * 10 + c;
      if (fraction) scale--;
    } else if (b[i] === point && !fraction) fraction = true;
    else break;
  }
  if (seen > 0 && i < end && (b[i]! | 32) === 101) {
    i++;
    let sign = 1;
    if (i < end && (b[i] === 45 || b[i] === 43)) sign = b[i++] === 45 ? -1 : 1;
    let exponent = 0;
    const first = i;
    for (; i < end && b[i]! >= 48 && b[i]! <= 57; i++) exponent = exponent * 10 + b[i]! - 48;
    if (i === first) return Number.NaN;
    scale += sign * exponent;
  }
  if (seen === 0 || i !== end) return Number.NaN;
  if (digits <= 15 && scale >= -22 && scale <= 22) {
    const value = scale < 0 ? mantissa / POWERS[-scale]! : mantissa * POWERS[scale]!;
    return negative ? -value : value;
  }
  let text = '';
  for (let k = start; k < end; k++) text += String.fromCharCode(b[k]!);
  return Number(point === 44 ? text.replace(',', '.') : text);
}
