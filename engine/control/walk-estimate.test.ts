import { describe, expect, test } from 'vitest';
import { WALK, WALK_STATUS, type WalkMap, walkState, walkTick } from './walk-estimate.ts';

const [L1, L2] = [0.42, 0.43];
const SOLE = [-0.055, -0.085, 0.06, -0.085, 0.175, -0.085] as const;
const MAP: WalkMap = {
  thigh: L1,
  shank: L2,
  sole: Float64Array.from(SOLE),
  flat: { pitch: 0, perSpeed: 0, centre: 1 },
  speeds: { from: 0.5, to: 2 },
  inclines: { from: -0.2, to: 0.2 },
};

/** A walk told from the world: the hip's speed along the ground, its height over it, the ground's slope, the foot's pitch against it. */
interface Walk {
  readonly speed: number;
  readonly slope: number;
  readonly height?: number;
  /** Foot's pitch against the ground over stance, 0 … 1; the lowest point of a straight sole stands still whatever it is. */
  readonly pitch?: (s: number) => number;
}

/** Stance, s, of a stride of 1 s: as long as the leg reaches. */
const stanceOf = ({ speed }: Walk): number => Math.min(0.6, Math.floor(650 / speed) / 1000);

/**
 * Thigh, knee and ankle of a leg whose hip goes evenly over a foot that rolls over heel, flat and toe without slipping: two-link
 * inverse kinematics, the estimate the other way round.
 */
function poseAt(walk: Walk, s: number): { thigh: number; knee: number; ankle: number } {
  const { speed, slope, height = 0.84, pitch = () => 0 } = walk;
  const stance = stanceOf(walk);
  const tilt = pitch(s);
  // in the ground's frame: heel of the flat foot at 0, and the point it pitches about
  const [hx, tx, z] = [SOLE[0], SOLE[4], SOLE[1]];
  const about = tilt > 0 ? hx : tx;
  const ankleX = about - (about * Math.cos(tilt) - z * Math.sin(tilt));
  const ankleZ = -(about * Math.sin(tilt) + z * Math.cos(tilt));
  const hipX = speed * stance * (s - 0.45);
  const [dx, dz] = [ankleX - hipX, ankleZ - height];
  const reach = Math.hypot(dx, dz);
  const knee = Math.PI - Math.acos((L1 * L1 + L2 * L2 - reach * reach) / (2 * L1 * L2));
  const thigh =
    Math.atan2(dx, -dz) + Math.acos((L1 * L1 + reach * reach - L2 * L2) / (2 * L1 * reach)) + slope;
  return { thigh, knee, ankle: slope + tilt - (thigh - knee) };
}

function walked(
  walk: Walk,
  { map = MAP, strides = 3, dt = 1e-3, state = walkState(), spoil = (_: number): boolean => false } = {},
): Float64Array {
  const stance = stanceOf(walk);
  const every = Math.round(1 / dt);
  for (let k = -50; k < strides * every; k++) {
    const t = (((k % every) + every) % every) * dt;
    const loaded = k >= 0 && t < stance - 1e-9;
    const { thigh, knee, ankle } = poseAt(walk, Math.min(t / stance, 1));
    walkTick(map, state, loaded, spoil(k) ? Number.NaN : thigh, knee, ankle, dt);
  }
  return state;
}

const rolling = (s: number): number => (s < 0.2 ? 0.3 * (1 - s / 0.2) : s < 0.6 ? 0 : -(s - 0.6));

describe('speed and slope from the stance leg', () => {
  for (const speed of [0.7, 1.1, 1.5])
    for (const slope of [-0.15, 0, 0.1])
      test(`a hip led over a flat foot at ${speed} m/s on a slope of ${slope} rad is read back`, () => {
        const state = walked({ speed, slope });
        expect(state[WALK.status]).toBe(WALK_STATUS.read);
        expect(state[WALK.speed]).toBeCloseTo(speed, 9);
        expect(state[WALK.incline]).toBeCloseTo(slope, 9);
        expect(state[WALK.strideTime]).toBeCloseTo(1, 9);
      });

  test('a foot that comes down on its heel and leaves over its toe: the pivot stands, the hip is read', () => {
    const state = walked({ speed: 1.2, slope: 0.08, pitch: rolling });
    expect(state[WALK.status]).toBe(WALK_STATUS.read);
    // where heel and toe change over to the flat sole the pivot jumps within one tick
    expect(state[WALK.speed]).toBeCloseTo(1.2, 2);
    expect(Math.abs(state[WALK.incline]! - 0.08)).toBeLessThan(0.01);
  });

  test('within stance the running readings are there, and are the same', () => {
    const walk = { speed: 1.1, slope: 0.05 };
    const state = walked(walk, { strides: 2 });
    // half way through the next stance
    for (let k = 0; k < 300; k++) {
      const { thigh, knee, ankle } = poseAt(walk, k / 1000 / stanceOf(walk));
      walkTick(MAP, state, true, thigh, knee, ankle, 1e-3);
    }
    expect(state[WALK.speedNow]).toBeCloseTo(1.1, 9);
    expect(state[WALK.inclineNow]).toBeCloseTo(0.05, 9);
  });

  test('the pitch of a flat foot on the level, over speed, is taken off', () => {
    const flat = { pitch: -0.03, perSpeed: 0.02, centre: 1 };
    const state = walked({ speed: 1.5, slope: 0 }, { map: { ...MAP, flat } });
    // what it reads tilts the frame it reads the speed in: a cosine
    expect(state[WALK.incline]).toBeCloseTo(-(-0.03 + 0.02 * 0.5), 4);
  });

  test('outside the hull it refuses, says which, and the last reading stays', () => {
    const state = walked({ speed: 1, slope: 0.1 });
    walked({ speed: 0.4, slope: 0.1 }, { state });
    expect(state[WALK.status]).toBe(WALK_STATUS['speed outside']);
    walked({ speed: 1.2, slope: 0.25 }, { state });
    expect(state[WALK.status]).toBe(WALK_STATUS['incline outside']);
    expect(Number.isNaN(state[WALK.inclineNow]!)).toBe(true);
    expect(state[WALK.speed]).toBeCloseTo(1, 9);
    expect(state[WALK.incline]).toBeCloseTo(0.1, 9);
  });

  test('a stance on the toe has no flat foot', () => {
    const state = walked({ speed: 1, slope: 0, height: 0.8, pitch: (s) => -0.1 - 0.6 * s });
    expect(state[WALK.status]).toBe(WALK_STATUS['no flat foot']);
    expect(Number.isNaN(state[WALK.speed]!)).toBe(true);
  });

  test('an angle that is no number spoils its stance and nothing else', () => {
    const walk = { speed: 1.3, slope: 0 };
    const spoilt = walked(walk, { strides: 1, spoil: (k) => k === 200 });
    expect(spoilt[WALK.status]).toBe(WALK_STATUS['no number']);
    const next = walked(walk, { strides: 2, spoil: (k) => k === 200 });
    expect(next[WALK.status]).toBe(WALK_STATUS.read);
    expect(next[WALK.speed]).toBeCloseTo(1.3, 9);
    const swing = walked(walk, { strides: 2, spoil: (k) => k === 700 });
    expect(swing[WALK.status]).toBe(WALK_STATUS.read);
  });

  test('switched on in stance, it waits for a whole one', () => {
    const state = walkState();
    for (let k = 300; k < 600; k++) {
      const { thigh, knee, ankle } = poseAt({ speed: 1, slope: 0 }, k / 600);
      walkTick(MAP, state, true, thigh, knee, ankle, 1e-3);
    }
    for (let k = 0; k < 400; k++) walkTick(MAP, state, false, 0.1, 0.5, 0, 1e-3);
    expect(state[WALK.stances]).toBe(0);
    walkTick(MAP, state, true, 0.1, 0.1, 0, 1e-3);
    expect(Number.isNaN(state[WALK.strideTime]!)).toBe(true);
    expect(state[WALK.status]).toBe(0);
  });
});
