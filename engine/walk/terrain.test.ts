import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { walkPlan } from '../study/walk-plan.ts';
import { legChain } from './leg-chain.ts';
import { ANKLE, COORDINATES, HIP_X, HIP_Z, KNEE, legTerms, legTermsRoom, THIGH } from './leg-terms.ts';
import { anchorsOf, GROUND, groundRoom, soleContact } from './sole-contact.ts';
import { slopeTerrain, stepTerrain, type Terrain, terrainOf, unevenTerrain } from './terrain.ts';
import { LOG, LOG_WIDTH, type WalkLog } from './walk-log.ts';
import { walkRun } from './walk-run.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const plan = walkPlan(input, { speed: 1.1 });
if ('openBecause' in plan) throw new Error(plan.openBecause);
const { setup } = plan;
const DEG = Math.PI / 180;
const value = (log: WalkLog, row: number, place: number): number => log.table[row * LOG_WIDTH + place]!;
const TERRAINS: [string, Terrain][] = [
  ['5° up', slopeTerrain(5 * DEG)],
  ['5° down', slopeTerrain(-5 * DEG)],
  [
    '5° down after level ground',
    terrainOf({ kind: 'slope', angle: -5 * DEG, onset: { from: 1.2, over: 0.8 } }),
  ],
  ['a step of 15 mm', stepTerrain(0.015, 1.8, 0.06)],
  ['uneven', unevenTerrain(0.005, 3)],
];

test('a flat terrain is level ground to the last bit', () => {
  const none = (_: number, out: Float64Array): void => {
    out.fill(0);
  };
  const flat = { at: none, lift: none, tilt: 0 };
  const [level, given] = [walkRun(setup, 5e-4, 2), walkRun({ ...setup, terrain: flat }, 5e-4, 2)];
  expect([...given.table]).toEqual([...level.table]);
});

describe.each(TERRAINS)('%s', (_, terrain) => {
  test('its slope is the derivative of its height, everywhere', () => {
    const out = new Float64Array(2);
    const height = (x: number): number => {
      terrain.at(x, out);
      return out[0]!;
    };
    for (let x = -1; x < 6; x += 0.0137) {
      const between = (height(x + 1e-6) - height(x - 1e-6)) / 2e-6;
      terrain.at(x, out);
      expect(Math.abs(out[1]! - between)).toBeLessThan(1e-6);
    }
  });

  test('the energy of the walk balances on it', () => {
    const { residual, moved } = walkRun({ ...setup, terrain, ground: 'overground' }, 2.5e-4, 3);
    expect(residual).toBeLessThan(0.003 * moved);
  });

  test('on a treadmill as on the ground', () => {
    const own = { ...setup, terrain };
    if (terrain.lean !== undefined) {
      expect(() => walkRun(own, 2.5e-4, 2)).toThrow('A belt whose slope begins under way is not modelled');
      return;
    }
    const [belt, ground] = [walkRun(own, 2.5e-4, 2), walkRun({ ...own, ground: 'overground' }, 2.5e-4, 2)];
    for (let i = 0; i < belt.rows; i += 20) {
      expect(Math.abs(value(belt, i, LOG.knee) - value(ground, i, LOG.knee))).toBeLessThan(1e-5);
      expect(Math.abs(value(belt, i, LOG.up) - value(ground, i, LOG.up))).toBeLessThan(0.1);
    }
  });
});

describe('a slope after level ground', () => {
  const [angle, from, over] = [-5 * DEG, 1.2, 0.8];
  const ramp = terrainOf({ kind: 'slope', angle, onset: { from, over } });
  const out = new Float64Array(3);

  test('is level before, and afterwards the plane that set out from the middle of the way it takes', () => {
    for (const x of [-1, 0, from]) {
      ramp.at(x, out);
      expect([out[0], out[1]].map(Math.abs)).toEqual([0, 0]);
    }
    for (const x of [from + over, 3, 40]) {
      ramp.at(x, out);
      expect(out[0]).toBeCloseTo(Math.tan(angle) * (x - from - over / 2), 12);
      expect(out[1]).toBeCloseTo(Math.tan(angle), 12);
    }
  });

  test('the lean goes from none to the slope, its derivatives those of its own curve', () => {
    const lean = (x: number): number => {
      ramp.lean!(x, out);
      return out[0]!;
    };
    expect(Math.abs(lean(from))).toBe(0);
    expect(lean(from + over)).toBe(angle);
    for (let x = from + 0.01; x < from + over; x += 0.0371) {
      const [before, here, after] = [lean(x - 1e-4), lean(x), lean(x + 1e-4)];
      lean(x);
      expect(Math.abs(out[1]! - (after - before) / 2e-4)).toBeLessThan(1e-6);
      expect(Math.abs(out[2]! - (after - 2 * here + before) / 1e-8)).toBeLessThan(1e-5);
    }
  });

  test('a walk is the level walk until there, and the thigh is led by as much more as the ground leans', () => {
    const level: WalkLog = walkRun({ ...setup, ground: 'overground' }, 5e-4, 4);
    const onto = walkRun({ ...setup, ground: 'overground', terrain: ramp }, 5e-4, 4);
    const speed = setup.course.speed;
    for (let i = 0; i < onto.rows; i += 50) {
      const x = speed * value(onto, i, LOG.time);
      const more = value(onto, i, LOG.ownThigh) - value(level, i, LOG.ownThigh);
      // the hip goes to and fro by some cm about an even way
      if (x < from - 0.1) expect(Math.abs(more)).toBeLessThan(1e-9);
      if (x > from + over + 0.1) expect(Math.abs(more - angle)).toBeLessThan(1e-9);
    }
    // as long as the foot has not felt it the leg goes alike; the way is added up otherwise, and friction feels its last digits
    const early = Math.floor((0.3 / speed) * 1000);
    expect(Math.abs(value(onto, early, LOG.knee) - value(level, early, LOG.knee))).toBeLessThan(1e-4);
  });
});

test('uneven ground has the height that was asked for, and is another with another seed', () => {
  const out = new Float64Array(2);
  const rms = (seed: number): number => {
    const terrain = unevenTerrain(0.01, seed);
    let sum = 0;
    for (let i = 0; i < 40_000; i++) {
      terrain.at(i * 0.01, out);
      sum += out[0]! ** 2;
    }
    return Math.sqrt(sum / 40_000);
  };
  expect(Math.abs(rms(1) / 0.01 - 1)).toBeLessThan(0.02);
  expect(rms(1)).not.toBe(rms(2));
  expect(rms(1)).toBe(rms(1));
});

test('a foot on a slope feels what a foot on the level feels when the world is turned by the slope', () => {
  // one posture and motion, turned as a whole about the hip's own place on the ground: closed form by rotation
  const chain = legChain(setup.leg);
  const gamma = 8 * DEG;
  const contact = (turn: number, terrain?: Terrain): number[] => {
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    const [x, z, vx, vz] = [0.02, 0.915, 0.4, -0.15];
    const q = new Float64Array(COORDINATES);
    const v = new Float64Array(COORDINATES);
    q[HIP_X] = c * x - s * z;
    q[HIP_Z] = s * x + c * z;
    v[HIP_X] = c * vx - s * vz;
    v[HIP_Z] = s * vx + c * vz;
    q[THIGH] = 0.2 + turn;
    q[KNEE] = 0.15;
    q[ANKLE] = -0.02;
    v[THIGH] = -0.6;
    v[KNEE] = 0.3;
    v[ANKLE] = 0.2;
    const terms = legTermsRoom();
    legTerms(chain, q, v, terms);
    const ground = groundRoom();
    const force = new Float64Array(COORDINATES);
    const anchors = anchorsOf(setup.sole);
    soleContact(setup.sole, q, v, terms, anchors, force, ground, terrain);
    // back into the frame of the slope
    const [forward, up] = [ground[GROUND.forward]!, ground[GROUND.up]!];
    return [
      c * forward + s * up,
      c * up - s * forward,
      force[THIGH]!,
      force[KNEE]!,
      force[ANKLE]!,
      ground[GROUND.power]!,
    ];
  };
  const level = contact(0);
  const sloped = contact(gamma, slopeTerrain(gamma));
  expect(level[1]).toBeGreaterThan(100);
  for (const [i, x] of level.entries())
    expect(Math.abs(sloped[i]! - x)).toBeLessThan(1e-9 * Math.abs(level[1]!));
});

test('uphill the hip is carried up by what walks', () => {
  const rise = Math.tan(5 * DEG);
  const log = walkRun({ ...setup, terrain: slopeTerrain(5 * DEG) }, 2.5e-4, 8);
  expect(log.fell).toBeUndefined();
  const rows = Math.round(log.strideTime / log.period);
  const last = log.rows - 1;
  const climbed = value(log, last, LOG.height) - value(log, last - 5 * rows, LOG.height);
  // over whole strides the hip has gone v·T forward, and tan γ of that up
  expect(Math.abs(climbed / (rise * log.speed * 5 * log.strideTime) - 1)).toBeLessThan(0.02);
});
