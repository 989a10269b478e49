import { describe, expect, test } from 'vitest';
import { type CompiledController, compileController } from './compile-controller.ts';
import type { Controller, Watch } from './controller.ts';
import { controllerState, INPUT, OUTPUT, OUTPUTS } from './controller-memory.ts';
import { controllerTick } from './controller-tick.ts';
import { ticked, twoStates } from './test-controller.ts';

const DEG = Math.PI / 180;
const GEARS = 900;

const apart: Watch = {
  name: 'apart',
  sensor: 'kneeSecond',
  detect: 'disagrees',
  limit: 1 * DEG,
  time: 0.01,
  reaction: 'warn',
};
/** A spring of 100 N·m/rad at the knee, its two encoders compared, at 1 ms. */
const machine = (windUp = 1 / GEARS, over: Partial<Controller> = {}): CompiledController => {
  const joint = { windUp, unwinds: 0, ahead: windUp, copper: 0 };
  return compileController(
    { ...twoStates, watches: [apart], ...over },
    { period: 1e-3, bodyWeight: 1, maps: {}, schedules: {}, drives: { knee: joint, ankle: joint } },
  );
};
const warned = (of: CompiledController, knee: number, second: number, ticks = 30): number =>
  ticked(
    of,
    Array.from({ length: ticks }, () => ({ knee, kneeSecond: second })),
  ).findIndex((out) => out[OUTPUT.warning] === 1);

describe('two encoders of one joint', () => {
  test('differ by the limit and by what the gears wind up under the torque asked, no more', () => {
    // 0.3 rad from rest: 30 N·m wind the gears up by 1/30 rad
    const allowed = 1 * DEG + 30 / GEARS;
    expect(warned(machine(), 0.3, 0.3 + 0.99 * allowed)).toBe(-1);
    expect(warned(machine(), 0.3, 0.3 - 0.99 * allowed)).toBe(-1);
    // longer than 10 ms: eleven ticks; in the first no torque has been asked yet
    expect(warned(machine(), 0.3, 0.3 + 1.01 * allowed)).toBe(10);
    expect(warned(machine(), 0.3, 0.3 - 1.01 * allowed)).toBe(10);
    expect(warned(machine(0), 0.3, 0.3 + 1.01 * DEG)).toBe(10);
  });

  test('a whole turn between them is none: where each has its zero does not matter', () => {
    const turn = 2 * Math.PI;
    expect(warned(machine(), 0.1, 0.1 + turn)).toBe(-1);
    expect(warned(machine(), 0.1, 0.1 - 2 * turn)).toBe(-1);
    expect(warned(machine(0), 0.1, 0.1 + turn + 1.5 * DEG)).toBe(10);
  });

  test('one that gives no number is compared with nothing', () => {
    expect(warned(machine(), 0.1, Number.NaN)).toBe(-1);
    const rows = [0.1, 0.5, Number.NaN, 0.5].flatMap((second) =>
      Array.from({ length: 9 }, () => ({ knee: 0.1, kneeSecond: second })),
    );
    expect(ticked(machine(), rows).every((out) => out[OUTPUT.warning] === 0)).toBe(true);
  });
});

/**
 * A rotor of 0.1 kg·m² seen at the joint and a shank of 0.3 kg·m², gears of 900 N·m/rad between with 0.15° of play, integrated apart from
 * the engine. The wearer pushes the shank about with up to 70 N·m and kicks it once a second. The first encoder sits on the rotor, the
 * second on the shank. Gives the second at which the comparison warns; `spoil` is what the first encoder then says instead, from 2 s on.
 */
function elastic(of: CompiledController, spoil: (angle: number, held: number) => number): number {
  const [rotor, shank, play, dt] = [0.1, 0.3, 0.15 * DEG, 1e-5];
  const state = controllerState(of);
  const [inputs, outputs] = [new Float64Array(Object.keys(INPUT).length), new Float64Array(OUTPUTS)];
  let [q, w, p, v, asked, held] = [0, 0, 0, 0, 0, 0];
  for (let k = 0; k < 4000; k++) {
    const t = k * 1e-3;
    if (k < 2000) held = q;
    inputs[INPUT.knee] = k < 2000 ? q : spoil(q, held);
    inputs[INPUT.kneeSecond] = p;
    controllerTick(of, state, inputs, outputs);
    if (outputs[OUTPUT.warning] === 1) return t;
    for (let i = 0; i < 100; i++) {
      const between = p - q;
      const twist = Math.abs(between) > play / 2 ? between - (Math.sign(between) * play) / 2 : 0;
      const gears = GEARS * twist + (twist === 0 ? 0 : 3 * (v - w));
      const kick = k % 1000 < 10 ? 60 : 0;
      w += (dt * (asked + gears)) / rotor;
      v += (dt * (50 * Math.sin(2 * Math.PI * t) + 20 * Math.sin(6 * Math.PI * t) + kick - gears)) / shank;
      q += dt * w;
      p += dt * v;
    }
    asked = outputs[OUTPUT.kneeTorque]!;
  }
  return Number.POSITIVE_INFINITY;
}

describe('gears that wind up by degrees, as they do', () => {
  const spring = { kind: 'spring', stiffness: 200, damping: 6, equilibrium: 0 } as const;
  const limits = { ...twoStates.limits.knee, torque: 200 };
  const of = (windUp?: number) =>
    machine(windUp, {
      states: twoStates.states.map((state) => ({ ...state, knee: spring })),
      limits: { knee: limits, ankle: limits },
    });
  const sound = (angle: number): number => angle;

  test('are not taken for an encoder that is wrong, and would be without the allowance', () => {
    expect(elastic(of(), sound)).toBe(Number.POSITIVE_INFINITY);
    expect(elastic(of(0), sound)).toBeLessThan(1);
  });

  test('a slip of 1.5° for good is found within a stride, a stuck encoder once the joint has turned', () => {
    const slipped = elastic(of(), (angle) => angle + 1.5 * DEG);
    expect(slipped).toBeGreaterThan(2);
    expect(slipped).toBeLessThan(3);
    const stuck = elastic(of(), (_, held) => held);
    expect(stuck).toBeGreaterThan(2.01);
    expect(stuck).toBeLessThan(2.3);
  });
});
