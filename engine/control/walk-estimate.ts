/** Places in the state of the estimate. */
export const WALK = {
  /** 0 before the first whole stance; then one of `WALK_STATUS` for the last stance. */
  status: 0,
  /** What the last stance that was no refusal said: speed along the ground, m/s, and its slope, rad. */
  speed: 1,
  incline: 2,
  /** s, from contact to contact. */
  strideTime: 3,
  /** In this stance so far: speed since contact, m/s, and slope by the foot as it lies flat, rad; NaN where there is none or it lies outside. */
  speedNow: 4,
  inclineNow: 5,
  /** Stances judged, refusals among them. */
  stances: 6,
  /** From here on room to work in. */
  work: 7,
} as const;

/** What a stance came to. */
export const WALK_STATUS = {
  read: 1,
  'speed outside': 2,
  'incline outside': 3,
  'no flat foot': 4,
  'no number': 5,
} as const;

/** What the estimate is told before the leg walks. */
export interface WalkMap {
  /** m */
  readonly thigh: number;
  readonly shank: number;
  /** Sole points in the foot frame, x and z by turns, m. */
  readonly sole: Float64Array;
  /** Pitch of the foot that lies flat on level ground, over speed: at the centre, rad, and more for each m/s beyond it. */
  readonly flat: { readonly pitch: number; readonly perSpeed: number; readonly centre: number };
  /** Where the estimate has been tried: outside it refuses. m/s; rad. */
  readonly speeds: { readonly from: number; readonly to: number };
  readonly inclines: { readonly from: number; readonly to: number };
}

const f32 = Math.fround;

/** The foot lies flat while its pitch changes by less than this, rad/s: 30°/s. Our choice. */
const FLAT_RATE = Math.fround(Math.PI / 6);
/** Lag of the filter of that rate, s: 10 Hz. Our choice. */
const RATE_LAG = Math.fround(1 / (2 * Math.PI * 10));
/** After contact the foot comes down; before this long, s, it does not count as flat. And a flat foot lasts as long. Our choice. */
const LEAST_FLAT = 0.06;

const TIME = WALK.work;
const SINCE = WALK.work + 1;
const TRAVEL = WALK.work + 2;
const FLAT_SUM = WALK.work + 3;
const FLAT_TIME = WALK.work + 4;
const PITCH = WALK.work + 5;
const PITCH_RATE = WALK.work + 6;
const LOADED = WALK.work + 7;
const POINT = WALK.work + 8;
const ALONG = WALK.work + 9;
const SPOILT = WALK.work + 10;

/** A state before its first stance. */
export function walkState(): Float64Array {
  const state = new Float64Array(WALK.work + 11);
  state[WALK.speed] = Number.NaN;
  state[WALK.strideTime] = Number.NaN;
  state[WALK.speedNow] = Number.NaN;
  state[WALK.inclineNow] = Number.NaN;
  state[LOADED] = -1;
  return state;
}

/**
 * One tick of the estimate of speed and slope, from the stance leg alone: loaded or not, thigh, knee and ankle angle, rad.
 *
 *     φ_3 = θ_thigh − θ_knee + θ_ankle,   p_i = hip → sole point i by the pose
 *     D = −Σ Δ(p_low · e),   low: the point that lay lowest over the ground in the tick before, e: along the ground
 *     at toe-off:   v̂ = D/t_stance,   γ̂ = mean(φ_3 while |φ̇_3| < 30°/s) − flat(v̂)
 *
 * The point that stands on the ground does not slip, so the hip goes forward as that point goes back under it; over a stance it goes as
 * fast as over a stride, since the other leg does the same half a stride later. The lowest point is looked for on the slope of the
 * last stance. `flat` is what a flat foot reads on level ground; it takes up how the joint angles were zeroed.
 *
 * Causal; a new reading at each toe-off, running ones in between. Nothing is allocated. A speed or slope outside what the map was tried
 * on, a stance without a flat foot or with an input that is no number is refused: the last reading stays and the status says why.
 * A leg that does not walk (stairs, standing up) is not told from one that does: that is the state machine's to say.
 *
 * The rate of the pitch is float32, step by step: whether a foot lies flat in a tick is then decided alike by firmware.
 */
export function walkTick(
  map: WalkMap,
  state: Float64Array,
  loaded: boolean,
  thigh: number,
  knee: number,
  ankle: number,
  dt: number,
): void {
  state[SINCE] += dt;
  const pitch = thigh - knee + ankle;
  const known = Number.isFinite(pitch);
  const was = state[LOADED];
  state[LOADED] = loaded ? 1 : 0;
  if (was === 1 && !known && state[SPOILT] === 0) state[SPOILT] = 1;
  if (!loaded) {
    if (was === 1 && state[SPOILT] !== 2) judge(map, state);
    state[SPOILT] = 0;
    return;
  }
  if (was !== 1) {
    // contact; a leg that is switched on in stance has no whole stance to judge yet
    if (was === 0 && state[WALK.stances] > 0) state[WALK.strideTime] = state[SINCE];
    state[SPOILT] = was !== 0 ? 2 : known ? 0 : 1;
    state[SINCE] = 0;
    state.fill(0, TRAVEL, PITCH);
    state[TIME] = 0;
    state[PITCH_RATE] = 0;
    state[WALK.speedNow] = Number.NaN;
    state[WALK.inclineNow] = Number.NaN;
  }
  if (!known) return;
  const before = state[PITCH];
  const single = f32(f32(thigh - knee) + ankle);
  state[PITCH] = single;

  const slope = state[WALK.incline];
  const ex = Math.cos(slope);
  const ez = Math.sin(slope);
  const c = Math.cos(pitch);
  const s = Math.sin(pitch);
  const shank = thigh - knee;
  const ax = map.thigh * Math.sin(thigh) + map.shank * Math.sin(shank);
  const az = -map.thigh * Math.cos(thigh) - map.shank * Math.cos(shank);
  const { sole } = map;
  if (was === 1) {
    const i = 2 * state[POINT];
    const x = ax + sole[i] * c - sole[i + 1] * s;
    const z = az + sole[i] * s + sole[i + 1] * c;
    state[TRAVEL] -= x * ex + z * ez - state[ALONG];
    state[TIME] += dt;
    const period = f32(dt);
    const newest = f32(period / f32(RATE_LAG + period));
    const change = f32(f32(f32(single - before) / period) - state[PITCH_RATE]);
    state[PITCH_RATE] = f32(state[PITCH_RATE] + f32(newest * change));
    if (state[TIME] > LEAST_FLAT && Math.abs(state[PITCH_RATE]) < FLAT_RATE) {
      state[FLAT_SUM] += pitch * dt;
      state[FLAT_TIME] += dt;
    }
    state[WALK.speedNow] = within(map.speeds, state[TRAVEL] / state[TIME]);
    if (state[FLAT_TIME] >= LEAST_FLAT) {
      const read = state[FLAT_SUM] / state[FLAT_TIME] - flatPitch(map, state[WALK.speed]);
      state[WALK.inclineNow] = within(map.inclines, read);
    }
  }
  // the point that stands on the ground until the next tick
  let low = Number.POSITIVE_INFINITY;
  for (let i = 0; i < sole.length; i += 2) {
    const x = ax + sole[i] * c - sole[i + 1] * s;
    const z = az + sole[i] * s + sole[i + 1] * c;
    const height = z * ex - x * ez;
    if (height < low) {
      low = height;
      state[POINT] = i / 2;
      state[ALONG] = x * ex + z * ez;
    }
  }
}

const flatPitch = ({ flat }: WalkMap, speed: number): number =>
  flat.pitch + flat.perSpeed * (speed - flat.centre);

/** The value where it has been tried; else none. */
const within = ({ from, to }: { readonly from: number; readonly to: number }, value: number): number =>
  value >= from && value <= to ? value : Number.NaN;

/** Toe-off: what the stance was. */
function judge(map: WalkMap, state: Float64Array): void {
  state[WALK.stances] += 1;
  const speed = state[TRAVEL] / state[TIME];
  const incline = state[FLAT_SUM] / state[FLAT_TIME] - flatPitch(map, speed);
  if (state[SPOILT] === 1) state[WALK.status] = WALK_STATUS['no number'];
  else if (!(state[FLAT_TIME] >= LEAST_FLAT)) state[WALK.status] = WALK_STATUS['no flat foot'];
  else if (!(speed >= map.speeds.from && speed <= map.speeds.to))
    state[WALK.status] = WALK_STATUS['speed outside'];
  else if (!(incline >= map.inclines.from && incline <= map.inclines.to))
    state[WALK.status] = WALK_STATUS['incline outside'];
  else {
    state[WALK.status] = WALK_STATUS.read;
    state[WALK.speed] = speed;
    state[WALK.incline] = incline;
  }
}
