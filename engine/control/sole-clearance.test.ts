import { expect, test } from 'vitest';
import { legPose } from '../gait/pose.ts';
import type { LegSegments } from '../gait/stride.ts';
import { soleClearance } from './sole-clearance.ts';

const DEG = Math.PI / 180;
const part = (length: number) => ({ length, mass: 1, centre: { x: 0, z: 0 }, inertia: 0 });
const HEEL = { x: -0.055, z: -0.085 };
const TOE = { x: 0.175, z: -0.085 };
const leg = (...sole: LegSegments['sole'][number][]): LegSegments => ({
  thighLength: 0.42,
  thighPart: part(0),
  shank: part(0.43),
  foot: part(0),
  sole,
});

// Rotations of the three segments, computed independently with NumPy for a leg of 0.42 and 0.43 m, hip at 0.90 m.
test.each([
  [10, 60, 0, 0.02128735, 0.1974776, -0.2090928, 0.2820251, 0.04737405],
  [15, 62, 0, 0.0150951, 0.1833065, -0.1485934, 0.2572974, 0.05718465],
  [20, 55, 2, -0.01350511, 0.1117619, -0.002516376, 0.1461648, 0.100473],
  [22, 40, 2, -0.0283153, 0.03508129, 0.1692491, -0.01191431, 0.1447916],
  [24, 15, 0, 0.03502744, -0.0009524832, 0.4242386, -0.2534092, 0.1861424],
])(
  'CTL-TR-7 thigh %d°, knee %d°, ankle %d°',
  (thigh, knee, ankle, toe, heel, perThigh, perKnee, perAnkle) => {
    const at = (segments: LegSegments) => soleClearance(segments, 0.9, thigh * DEG, knee * DEG, ankle * DEG);
    const ofToe = at(leg(TOE));
    expect(ofToe.height).toBeCloseTo(toe, 7);
    expect(ofToe.perThigh).toBeCloseTo(perThigh, 6);
    expect(ofToe.perKnee).toBeCloseTo(perKnee, 6);
    expect(ofToe.perAnkle).toBeCloseTo(perAnkle, 6);
    expect(at(leg(HEEL)).height).toBeCloseTo(heel, 7);
    // the lower of both, and which it is
    const both = at(leg(HEEL, TOE));
    expect(both.height).toBe(Math.min(ofToe.height, at(leg(HEEL)).height));
    expect(both.point).toBe(toe < heel ? 1 : 0);
  },
);

test('the lowest point is the pose’s, and the slopes are those of the height', () => {
  const whole = leg(HEEL, { x: 0.06, z: -0.085 }, TOE);
  for (const [a, b, c] of [
    [0.1, 1, -0.1],
    [0.4, 0.5, 0.05],
    [0.42, 0.2, 0],
  ] as const) {
    const at = soleClearance(whole, 0.9, a, b, c);
    expect(at.height).toBeCloseTo(0.9 + legPose(whole, a, b, c).lowest, 12);
    const h = 1e-6;
    const slope = (da: number, db: number, dc: number) =>
      (soleClearance(whole, 0.9, a + da, b + db, c + dc).height -
        soleClearance(whole, 0.9, a - da, b - db, c - dc).height) /
      (2 * h);
    expect(at.perThigh).toBeCloseTo(slope(h, 0, 0), 7);
    expect(at.perKnee).toBeCloseTo(slope(0, h, 0), 7);
    expect(at.perAnkle).toBeCloseTo(slope(0, 0, h), 7);
  }
});

test('a leg without sole points has no clearance', () => {
  expect(soleClearance(leg(), 0.9, 0, 0, 0).height).toBeNaN();
});
