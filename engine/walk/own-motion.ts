/** A joint's own motion over the stride phase, 0 … 1: rad, and rad a stride. */
export type OwnMotion = (place: number) => { readonly angle: number; readonly rate: number };

/** What was asked of each at the steps of a course, angle and rate by turns; NaN where nobody asked yet. */
const known = new WeakMap<OwnMotion, Float64Array>();

/**
 * Angle and rate at each of `places`. Those of a course of so many even `steps` are worked out once for all walks of this motion: a walk
 * passes the same places in every stride, and so does every leg of a shortlist.
 */
export function motionAt(
  own: OwnMotion,
  places: Float64Array,
  steps: number,
): { readonly angle: Float64Array; readonly rate: Float64Array } {
  let table = known.get(own);
  if (table?.length !== 2 * steps) {
    table = new Float64Array(2 * steps).fill(Number.NaN);
    known.set(own, table);
  }
  const angle = new Float64Array(places.length);
  const rate = new Float64Array(places.length);
  for (let i = 0; i < places.length; i++) {
    const place = places[i];
    const k = Math.round(place * steps);
    const kept = k / steps === place && k < steps;
    if (kept && !Number.isNaN(table[2 * k])) {
      angle[i] = table[2 * k];
      rate[i] = table[2 * k + 1];
      continue;
    }
    const at = own(place);
    angle[i] = at.angle;
    rate[i] = at.rate;
    if (kept) {
      table[2 * k] = at.angle;
      table[2 * k + 1] = at.rate;
    }
  }
  return { angle, rate };
}
