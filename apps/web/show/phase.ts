/** Per cent of a stride at which the other foot comes down: half a stride away, as it does in even walking. */
const OTHER_FOOT = 50;

/**
 * Name of the part of a stride that lies at a place, for reading only; nothing is computed from it. Stance by what the feet do, as is COMMON
 * PRACTICE in gait analysis: loading response until the other foot leaves the ground, mid stance to half of stance, terminal stance until the
 * other foot comes down, pre-swing until this one leaves. The other foot does all of it half a stride away, and both bear together for
 * `stance` − 50 % of the stride: in a run not at all, and loading response and pre-swing are then no part of it. Swing in thirds.
 */
export function phaseName(percent: number, stance: number): string {
  const toeOff = 100 * stance;
  if (percent <= toeOff) {
    if (percent < toeOff - OTHER_FOOT) return 'loading response';
    if (percent < toeOff / 2) return 'mid stance';
    return percent < OTHER_FOOT || toeOff <= OTHER_FOOT ? 'terminal stance' : 'pre-swing';
  }
  const share = (percent - toeOff) / (100 - toeOff);
  if (share < 1 / 3) return 'initial swing';
  return share < 2 / 3 ? 'mid swing' : 'terminal swing';
}
