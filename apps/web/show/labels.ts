/**
 * Heights of labels that want to stand at `wanted` and must keep `gap` between them, inside [top, bottom], in the order given.
 * Sorted, pushed down where they crowd, then the lot pushed up from the bottom. Where they cannot all fit they are spread evenly.
 */
export function spreadLabels(wanted: readonly number[], gap: number, top: number, bottom: number): number[] {
  const order = wanted.map((y, i) => ({ y, i })).sort((a, b) => a.y - b.y || a.i - b.i);
  const out = new Array<number>(wanted.length);
  if (order.length > 1 && (order.length - 1) * gap > bottom - top) {
    order.forEach(({ i }, k) => {
      out[i] = top + (k * (bottom - top)) / (order.length - 1);
    });
    return out;
  }
  let from = top;
  for (const item of order) {
    item.y = Math.max(item.y, from);
    from = item.y + gap;
  }
  let to = bottom;
  for (const item of order.toReversed()) {
    item.y = Math.min(item.y, to);
    to = item.y - gap;
  }
  for (const { y, i } of order) out[i] = y;
  return out;
}
