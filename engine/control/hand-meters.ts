/** Places in the state of what tells a hold: s, shares of the stride. */
export const HOLD = {
  /** How long the thigh has stood. */
  time: 0,
  /** Largest |Δs| since, and Δs itself, both without the turn from 1 to 0. */
  drift: 1,
  moved: 2,
  /** Phase of the tick before. */
  before: 3,
} as const;

export const holdState = (): Float64Array => new Float64Array(4);

/** rad/s below which a thigh stands. Our choice: 1°/s. */
const STANDS = Math.PI / 180;

/** The nearer way from one phase to another, shares of the stride. */
const way = (from: number, to: number): number => to - from - Math.round(to - from);

/**
 * One tick of what a hold shows: while |θ̇| < 1°/s, Δs = Σ (s_k − s_{k−1}) the nearer way round, and its largest magnitude. A phase that is
 * no number counts as no way.
 */
export function holdTick(state: Float64Array, phase: number, rate: number, dt: number): void {
  const step = way(state[HOLD.before], phase);
  state[HOLD.before] = phase;
  if (!(Math.abs(rate) < STANDS)) {
    state.fill(0, HOLD.time, HOLD.before);
    return;
  }
  const first = state[HOLD.time] === 0;
  state[HOLD.time] += dt;
  if (first || Number.isNaN(step)) return;
  state[HOLD.moved] += step;
  state[HOLD.drift] = Math.max(state[HOLD.drift], Math.abs(state[HOLD.moved]));
}

/**
 * Shares of the thigh's way at which two passes are compared. They begin beyond the play of the latched map, which a thigh that went back
 * to a tenth of its way has left behind at 0.22, and end before its phase is full. Our choice.
 */
const LEVELS = Float64Array.from({ length: 15 }, (_, k) => (5 + k) / 20);
/** A pass begins from here. */
const ARMED = 0.1;

/** Two passes of the thigh over the same way, forward. */
export interface PassCompared {
  /** Largest |s_second − s_first| at the same angle of the thigh, share of the stride. */
  readonly warp: number;
  /** Mean speed of the way, shares of the way per second, of the earlier and the later. */
  readonly earlier: number;
  readonly later: number;
}

/** What tells how much a phase depends on pace, by the last two passes. */
export interface PassMeter {
  readonly phases: Float64Array;
  readonly earlier: Float64Array;
  /** Level that comes next; −1: not begun. */
  next: number;
  begun: number;
  clock: number;
  before: number;
  beforeShare: number;
  speed: number;
  compared: PassCompared | undefined;
}

export const passMeter = (): PassMeter => ({
  phases: new Float64Array(LEVELS.length),
  earlier: new Float64Array(LEVELS.length),
  next: -1,
  begun: 0,
  clock: 0,
  before: Number.NaN,
  beforeShare: Number.NaN,
  speed: Number.NaN,
  compared: undefined,
});

/**
 * One tick: `share` of the thigh's way, and the phase there. Where the thigh passes a level for the first time since it was back at a tenth
 * of its way, the phase is noted, on the straight line between ticks. A pass that is whole is set against the one before.
 */
export function passTick(meter: PassMeter, share: number, phase: number, dt: number): void {
  meter.clock += dt;
  if (share <= ARMED) meter.next = 0;
  while (meter.next >= 0 && meter.next < LEVELS.length && share > LEVELS[meter.next]) {
    const level = LEVELS[meter.next];
    const part = (level - meter.beforeShare) / (share - meter.beforeShare);
    const at = meter.before + part * way(meter.before, phase);
    if (Number.isNaN(at)) {
      meter.next = -1; // what it said was no number, or the thigh jumped there: no pass
      break;
    }
    meter.phases[meter.next] = at;
    const when = meter.clock - (1 - part) * dt;
    if (meter.next === 0) meter.begun = when;
    meter.next++;
    if (meter.next === LEVELS.length) endPass(meter, when);
  }
  meter.before = phase;
  meter.beforeShare = share;
}

function endPass(meter: PassMeter, now: number): void {
  const speed = (LEVELS[LEVELS.length - 1] - LEVELS[0]) / (now - meter.begun);
  if (!Number.isNaN(meter.speed)) {
    let warp = 0;
    for (let k = 0; k < LEVELS.length; k++)
      warp = Math.max(warp, Math.abs(way(meter.earlier[k], meter.phases[k])));
    meter.compared = { warp, earlier: meter.speed, later: speed };
  }
  meter.earlier.set(meter.phases);
  meter.speed = speed;
  meter.next = -1;
}
