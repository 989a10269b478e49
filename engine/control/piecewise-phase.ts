/** A stride as three numbers of its thigh curve. */
export interface PiecewiseMap {
  /** Thigh at initial contact, rad. */
  readonly contact: number;
  /** Thigh at its furthest back, rad. */
  readonly back: number;
  /** Share of the stride where it is there. */
  readonly turn: number;
}

/**
 * Stride phase from the thigh by two straight lines.
 *
 *     going back      s = s_m·(θ_0 − θ)/(θ_0 − θ_min)                    kept within 0 … s_m
 *     going forward   s = s_m + (1 − s_m)·(θ − θ_min)/(θ_0 − θ_min)      kept within s_m … 1
 *
 * θ_0: thigh at contact, θ_min: furthest back, s_m: share of the stride there. Full as soon as the thigh is back where it was at
 * contact, which is before its peak. No memory but the branch; curves must be fitted against this s, not against per cent of time.
 */
export function piecewisePhase(map: PiecewiseMap, forward: boolean, thigh: number): number {
  const { contact, back, turn } = map;
  if (forward) {
    const s = turn + ((1 - turn) * (thigh - back)) / (contact - back);
    return s < turn ? turn : Math.min(s, 1);
  }
  const s = (turn * (contact - thigh)) / (contact - back);
  return s < 0 ? 0 : Math.min(s, turn);
}

/** Shares of the way θ_0 − θ_min above θ_min below which the branch may turn forward: our choice. */
const TURN_BELOW = 0.25;

/**
 * Whether the thigh is on its way forward: from where it moves forward near its furthest back, until the leg is loaded again. The
 * leg stays loaded for a while after it has turned, so it is the beginning of load that counts (`loadedBefore` false).
 */
export function onWayForward(
  map: PiecewiseMap,
  forward: boolean,
  thigh: number,
  rate: number,
  loaded: boolean,
  loadedBefore: boolean,
): boolean {
  if (forward) return !(loaded && !loadedBefore);
  return rate > 0 && thigh < map.back + TURN_BELOW * (map.contact - map.back);
}
