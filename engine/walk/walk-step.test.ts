import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { walkPlan } from '../study/walk-plan.ts';
import { ANKLE, HIP_X, HIP_Z, KNEE, legTerms, TERM, THIGH } from './leg-terms.ts';
import { SMALL_TURN, sineOverTurn, turnCosine } from './small-turn.ts';
import { GROUND, soleContact } from './sole-contact.ts';
import { stopTorque } from './stop-torque.ts';
import { slopeTerrain } from './terrain.ts';
import { motionRoom, solveMotion } from './test-motion.ts';
import { COURSE, COURSE_WIDTH } from './walk-course.ts';
import { DRIVE, driveStep } from './walk-drive.ts';
import { LOG, LOG_WIDTH } from './walk-log.ts';
import { COUNT, type DrivenRoom, KEPT, walkRoom } from './walk-room.ts';
import type { WalkSetup } from './walk-setup.ts';
import { walkSteps } from './walk-step.ts';
import { walkTick } from './walk-tick.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const plan = walkPlan(input, { speed: 1.1 });
if ('openBecause' in plan) throw new Error(plan.openBecause);
const { setup } = plan;
const led: WalkSetup['thigh'] = { stiffness: 600, damping: 30 };

/** One step by the plain route: mass matrix and bias of `legTerms` with its own sines, Cholesky, one line a law, sums in loops. */
function plainStep(room: DrivenRoom): void {
  const { setup: of, course, q, v, a, force, needed, terms, ground, kept, step, belt, power, works } = room;
  const n = room.count[COUNT.step]!;
  const row = (k: number) =>
    course.table.subarray(((room.first + k) % course.steps) * COURSE_WIDTH).subarray(0, COURSE_WIDTH);
  const here = row(n);
  legTerms(room.chain, q, v, terms);
  driveStep(of.knee.drive, room.kneeDrive, q[KNEE]!, v[KNEE]!);
  driveStep(of.ankle.drive, room.ankleDrive, q[ANKLE]!, v[ANKLE]!);
  const kneeStop = stopTorque(of.knee.stops, q[KNEE]!, v[KNEE]!);
  const ankleStop = stopTorque(of.ankle.stops, q[ANKLE]!, v[ANKLE]!);
  const lift = new Float64Array(2);
  of.terrain?.lift(q[HIP_X]! + belt * n * step, lift);
  const height = here[COURSE.height]! + lift[0]!;
  const rate = here[COURSE.heightRate]! + lift[1]! * (v[HIP_X]! + belt);
  const guide = of.guide.stiffness * (height - q[HIP_Z]!) + of.guide.damping * (rate - v[HIP_Z]!);
  const other = here[COURSE.other]!;
  const hip = room.prescribed
    ? 0
    : here[COURSE.hipMoment]! +
      room.hipStiffness * (here[COURSE.thigh]! - q[THIGH]!) +
      room.hipDamping * (here[COURSE.thighRate]! - v[THIGH]!);
  const drives = [room.kneeDrive, room.ankleDrive] as const;
  force.set([
    0,
    guide + other,
    hip,
    drives[0][DRIVE.output]! + kneeStop,
    drives[1][DRIVE.output]! + ankleStop,
  ]);
  ground[GROUND.travel] = belt * n * step;
  ground[GROUND.belt] = belt;
  soleContact(of.sole, q, v, terms, room.anchors, force, ground, of.terrain);
  const free = room.prescribed ? [HIP_Z, KNEE, ANKLE] : [HIP_Z, THIGH, KNEE, ANKLE];
  solveMotion(terms, force, Int32Array.from(free), a, needed, motionRoom());

  const both = (place: number) => drives[0][place]! + drives[1][place]!;
  const now = [
    ...[both(DRIVE.motorPower), both(DRIVE.frictionPower), both(DRIVE.springPower)],
    kneeStop * v[KNEE]! + ankleStop * v[ANKLE]!,
    (hip + needed[THIGH]!) * v[THIGH]!,
    needed[HIP_X]! * v[HIP_X]!,
    guide * v[HIP_Z]!,
    other * v[HIP_Z]!,
    ground[GROUND.power]!,
  ];
  const energy = terms[TERM.kinetic]! + terms[TERM.potential]! + both(DRIVE.stored);
  if (n === 0) kept[KEPT.start] = energy;
  else {
    for (const [k, watts] of now.entries()) {
      const work = (step * (power[k]! + watts)) / 2;
      works[k]! += work;
      kept[KEPT.sum]! += work;
      kept[KEPT.moved]! += Math.abs(work);
    }
    const residual = Math.abs(energy - kept[KEPT.start]! - kept[KEPT.sum]!);
    kept[KEPT.worst] = Math.max(kept[KEPT.worst]!, residual);
  }
  power.set(now);

  const next = row(n + 1);
  for (const k of free) {
    v[k]! += step * a[k]!;
    q[k]! += step * v[k]!;
  }
  q[HIP_X] = next[COURSE.x]! + room.carried * (n + 1) * step;
  v[HIP_X] = next[COURSE.xRate]! + room.carried;
  a[HIP_X] = next[COURSE.xAcceleration]!;
  if (room.prescribed) {
    q[THIGH] = next[COURSE.thigh]!;
    v[THIGH] = next[COURSE.thighRate]!;
    a[THIGH] = next[COURSE.thighAcceleration]!;
  }
  room.count[COUNT.step] = n + 1;
}

/** What a step reads and writes; forces and terms it only writes. */
const STATE = [
  'q',
  'v',
  'a',
  'anchors',
  'kneeDrive',
  'ankleDrive',
  'power',
  'works',
  'kept',
  'count',
] as const;
const WRITTEN = [...STATE, 'force', 'needed', 'ground'] as const;

const VARIANTS: [string, Partial<WalkSetup>][] = [
  ['thigh prescribed', {}],
  ['thigh led', { thigh: led }],
  ['knee without play', { knee: { ...setup.knee, drive: { ...setup.knee.drive, halfPlay: 0 } } }],
  ['overground, uphill', { thigh: led, ground: 'overground', terrain: slopeTerrain(0.08) }],
  ['without power from 0.9 s on', { fault: { kind: 'power', time: 0.9 } }],
];

/** Largest difference beside the largest number, or beside 1; of what is no number in one alone, infinite. */
function apart(own: ArrayLike<number>, plain: ArrayLike<number>): number {
  let [worst, largest] = [0, 1];
  for (let k = 0; k < own.length; k++) {
    if (Number.isNaN(own[k]!) && Number.isNaN(plain[k]!)) continue;
    const off = Math.abs(own[k]! - plain[k]!);
    worst = off >= 0 ? Math.max(worst, off) : Number.POSITIVE_INFINITY;
    largest = Math.max(largest, Math.abs(plain[k]!));
  }
  return worst / largest;
}

describe.each(VARIANTS)('%s', (_, variant) => {
  test('every tick of a stride is that of the plain route', () => {
    const [own, plain] = [
      walkRoom({ ...setup, ...variant }, 2.5e-4, 2),
      walkRoom({ ...setup, ...variant }, 2.5e-4, 2),
    ];
    let loaded = 0;
    for (let tick = 0; tick < 1.05 * (own.course.perStride / own.perTick); tick++) {
      walkTick(own);
      for (const part of STATE) plain[part].set(own[part]);
      walkSteps(own, own.perTick);
      for (let k = 0; k < own.perTick; k++) plainStep(plain);
      // sines that are turned on are off by some 1e-15; a foot without a rotor is light, and contact makes 1e-10 of its rate of that
      for (const part of WRITTEN)
        if (apart(own[part], plain[part]) > 1e-9) expect(own[part]).toEqual(plain[part]);
      if (own.ground[GROUND.up]! > 100) loaded++;
    }
    expect(loaded).toBeGreaterThan(100);
  });
});

test('a walk logs each change of flank, and the hardest meeting, as its steps show them', () => {
  const room = walkRoom(setup, 2.5e-4, 2);
  const drives = [room.kneeDrive, room.ankleDrive] as const;
  // the demo leg has neither springs beside its gears nor viscous seals: what reaches the joint is what the flanks carry
  const seen = drives.map(() => ({ carried: 0, free: true, changes: 0, fastest: 0 }));
  while (room.count[COUNT.step]! < 1.2 * room.course.perStride) {
    walkTick(room);
    for (let k = 0; k < room.perTick; k++) {
      const winds = [
        room.v[KNEE]! - drives[0][DRIVE.rotorRate]!,
        room.v[ANKLE]! - drives[1][DRIVE.rotorRate]!,
      ];
      walkSteps(room, 1);
      for (const [j, of] of seen.entries()) {
        const torque = drives[j]![DRIVE.output]!;
        if (torque * of.carried < 0) of.changes++;
        if (torque !== 0 && of.free) of.fastest = Math.max(of.fastest, Math.abs(winds[j]!));
        if (torque !== 0) of.carried = torque;
        of.free = torque === 0;
      }
    }
  }
  walkTick(room);
  const rows = room.count[COUNT.row]!;
  for (const [j, [changes, meeting]] of (
    [
      [LOG.kneeChanges, LOG.kneeMeeting],
      [LOG.ankleChanges, LOG.ankleMeeting],
    ] as const
  ).entries()) {
    const { rotorInertia, gearStiffness } = [setup.knee, setup.ankle][j]!.drive;
    let [count, hardest] = [0, 0];
    for (let i = 0; i < rows; i++) {
      count += room.log[i * LOG_WIDTH + changes]!;
      hardest = Math.max(hardest, room.log[i * LOG_WIDTH + meeting]!);
    }
    expect(count).toBe(seen[j]!.changes);
    expect(count).toBeGreaterThan(4);
    expect(hardest / (seen[j]!.fastest * Math.sqrt(gearStiffness * rotorInertia))).toBeCloseTo(1, 12);
  }
});

test('sine and cosine of a turn just small enough are within 3e-16', () => {
  const largest = Math.sqrt(SMALL_TURN);
  for (const turn of [0, 1e-5, -3e-3, 0.01, largest]) {
    expect(Math.abs(turn * sineOverTurn(turn * turn) - Math.sin(turn))).toBeLessThan(3e-16);
    expect(Math.abs(turnCosine(turn * turn) - Math.cos(turn))).toBeLessThan(3e-16);
  }
});
