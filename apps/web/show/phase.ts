/**
 * Names of the parts of a stride, for reading only; nothing is computed from them. Shares of stance and of swing are COMMON PRACTICE
 * in gait analysis (loading response to about 12 %, single support to about 50 %, toe-off about 62 %, swing in thirds).
 */
export function phaseName(percent: number, stance: number): string {
  const toeOff = 100 * stance;
  if (percent <= toeOff) {
    const share = percent / toeOff;
    if (share < 0.19) return 'loading response';
    if (share < 0.5) return 'mid stance';
    return share < 0.81 ? 'terminal stance' : 'pre-swing';
  }
  const share = (percent - toeOff) / (100 - toeOff);
  if (share < 1 / 3) return 'initial swing';
  return share < 2 / 3 ? 'mid swing' : 'terminal swing';
}
