import { openStudy } from '@striderule/store';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { timeToSafe } from '../control/check-controller.ts';
import { SENSORS } from '../control/controller.ts';
import { controllerState, INPUT, OUTPUT } from '../control/controller-memory.ts';
import { curveAt } from '../gait/curve.ts';
import { type ControlledLeg, controlledLeg } from './controlled-leg.ts';
import { controllerFaults } from './controller-faults.ts';
import { evaluateDesign } from './design.ts';
import type { StudyInput } from './study-input.ts';
import { swingPlan } from './swing-plan.ts';
import { type Posture, runOf } from './test-controlled-leg.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const design = evaluateDesign(input);
/** What is known, or a failed test that says why not. */
const known = <T>(of: T | { readonly openBecause: string }): T => {
  if (typeof of === 'object' && of !== null && 'openBecause' in of) throw new Error(of.openBecause as string);
  return of as T;
};
const legOf = (study: StudyInput): ControlledLeg => known(controlledLeg(study, design));
const leg = legOf(input);
const DEG = Math.PI / 180;
const BODY = leg.compiled.bodyWeight;
const STANDING: Posture = { load: 0.5 };

const task = input.tasks.find(({ id }) => id === 'walk-natural')!;
if (task.kind !== 'stride') throw new Error('walk-natural is no stride');
const plan = known(swingPlan(input, task));
const { stance, strideTime } = plan.stride;

/** The published stride as what the sensors read, from contact on; loaded from contact to toe-off. */
function walking(t: number): Posture & { readonly kneeRate: number; readonly ankleRate: number } {
  const place = (t / strideTime) % 1;
  const at = (curve: typeof plan.own.knee) => {
    const { value, slope } = curveAt(curve, 100 * place);
    return { value: value / DEG, rate: (100 * slope) / strideTime / DEG };
  };
  const [thigh, knee, ankle] = [at(plan.own.thigh), at(plan.own.knee), at(plan.own.ankle)];
  return {
    thigh: thigh.value,
    thighRate: thigh.rate,
    knee: knee.value,
    kneeRate: knee.rate,
    ankle: ankle.value,
    ankleRate: ankle.rate,
    load: place < stance ? 1 : 0,
  };
}

/** Into level swing by way of a first step that the sound leg leads, the foot just off the ground. */
const swinging = (of: ControlledLeg) => {
  const toeOff = stance * strideTime;
  return runOf(of)
    .feed(0.5, () => STANDING)
    .feed(0.1, () => ({ ...STANDING, thigh: -10 }))
    .feed(stance * strideTime, walking)
    .feed(0.02, (t) => walking(toeOff + t));
};

describe('walking', () => {
  test('a sound machine on this leg: no fault', () => {
    expect(controllerFaults(input, design)).toEqual([]);
  });

  test('level strides: stance and swing by turns, no fault, knee and ankle led close to the stride', () => {
    const run = runOf(leg)
      .feed(0.5, () => STANDING)
      .feed(4 * strideTime, walking);
    const [, ...turns] = run.sequence();
    expect(turns.slice(0, 2)).toEqual(['swing', 'stance'].includes(turns[0]!) ? turns.slice(0, 2) : []);
    expect(new Set(turns)).toEqual(new Set(['stance', 'swing']));
    expect(turns.filter((name) => name === 'swing')).toHaveLength(4);
    expect(Math.max(...run.outputs.map((out) => out[OUTPUT.fault]!))).toBe(0);
    // the last swing against the published stride, a quarter of swing after toe-off, where the blend is over
    const first = Math.round(
      (0.5 + 3 * strideTime + (stance + 0.25 * (1 - stance)) * strideTime) / leg.compiled.period,
    );
    let [worst, square, n] = [0, 0, 0];
    for (let k = first; k < run.outputs.length; k++) {
      const own = walking(k * leg.compiled.period - 0.5).knee! * DEG;
      const off = run.outputs[k]![OUTPUT.kneeCommand]! - own;
      worst = Math.max(worst, Math.abs(off));
      square += off * off;
      n++;
    }
    expect(n).toBeGreaterThan(250);
    expect(Math.sqrt(square / n) / DEG).toBeLessThan(4);
    expect(worst / DEG).toBeLessThan(9);
  });

  test('stance torque is the fitted spring and damper at the phase, and pushes off', () => {
    const run = runOf(leg);
    const Kg = leg.joints.ankle.gearStiffness;
    const seen: number[] = [];
    run
      .feed(0.5, () => STANDING)
      .feed(3 * strideTime, walking, (inputs) => {
        seen[run.outputs.length] = inputs[INPUT.ankle]!;
      });
    const tick = (share: number): number =>
      Math.round((0.5 + (2 + share) * strideTime) / leg.compiled.period);
    expect(run.outputs[tick(0.45)]![OUTPUT.ankleTorque]!).toBeLessThan(-60);
    // by hand from the schedule as the joint shall be, at the phase that was put out, gains made stiffer for the gears
    const layers = leg.schedules['level-ankle']!;
    const speeds = leg.compiled.bySpeed!.schedules[1]!.map(({ speed }) => speed);
    for (const n of [0.15, 0.2, 0.25].map(tick)) {
      // between the schedules of the two neighbouring speeds, in a straight line in K, K·θ_eq and B
      const speed = run.outputs[n]![OUTPUT.speed]!;
      const low = speed < speeds[1]! ? 0 : 1;
      const w = (speed - speeds[low]!) / (speeds[low + 1]! - speeds[low]!);
      const points = layers[low]!.map((slower, k) => {
        const faster = layers[low + 1]![k]!;
        const mixed = (of: (point: typeof slower) => number) => (1 - w) * of(slower) + w * of(faster);
        const stiffness = mixed((point) => point.stiffness);
        const offset = mixed((point) => point.stiffness * point.equilibrium);
        return {
          at: slower.at,
          stiffness,
          equilibrium: offset / stiffness,
          damping: mixed(({ damping }) => damping),
        };
      });
      const place = run.outputs[n]![OUTPUT.phase]! / stance;
      const k = points.findLastIndex(({ at }) => at <= place);
      const [a, b] = [points[k]!, points[k + 1]!];
      const u = (place - a.at) / (b.at - a.at);
      const [at0, at1] = [a, b].map(({ stiffness: K, equilibrium, damping }) => {
        const wider = Kg / (Kg - K);
        // the speed as it was some 3 ms ago, which is the age of a filter at 60 Hz
        const rate = (seen[n - 1]! - seen[n - 5]!) / (4 * leg.compiled.period);
        return K * wider * (equilibrium - seen[n]!) - damping * wider * wider * rate;
      });
      expect(Math.abs(run.outputs[n]![OUTPUT.ankleTorque]! - (at0! * (1 - u) + at1! * u))).toBeLessThan(0.5);
    }
  });

  test('the first step, by either leg', () => {
    const own = runOf(leg)
      .feed(0.5, () => STANDING)
      .feed(0.2, (t) => ({ load: 0, thigh: 80 * t, thighRate: 80 }));
    expect(own.sequence()).toEqual(['standing', 'swing']);
    const other = runOf(leg)
      .feed(0.5, () => STANDING)
      .feed(0.5, (t) => ({ load: 1, thigh: -24 * t, thighRate: -24 }))
      .feed(0.2, (t) => ({ load: 0, thigh: -12 + 80 * t, thighRate: 80 }));
    expect(other.sequence()).toEqual(['standing', 'stance', 'swing']);
  });

  test('a shift of weight is no step, a leg lifted for longer hangs free', () => {
    const run = runOf(leg).feed(0.5, () => STANDING);
    run.feed(0.1, () => ({ load: 0 })).feed(0.3, () => STANDING);
    expect(run.sequence()).toEqual(['standing']);
    run.feed(0.5, () => ({ load: 0, thigh: 20 }));
    expect(run.last()).toBe('free');
  });

  test('who stands with the thigh back, and sways, stands; who goes on over the foot is in stance', () => {
    const run = runOf(leg)
      .feed(0.5, () => STANDING)
      .feed(2, (t) => ({ load: 0.6, thigh: -7 + 2 * Math.sin(4 * t), thighRate: 8 * Math.cos(4 * t) }));
    expect(new Set(run.states.slice(-1500))).toEqual(new Set(['standing']));
    run.feed(0.2, (t) => ({ load: 1, thigh: -7 - 60 * t, thighRate: -60 }));
    expect(run.last()).toBe('stance');
  });

  test('CTL-FSM: unloaded with the thigh forward, stance is left after 0.3 s and not before', () => {
    const run = runOf(leg)
      .feed(0.5, () => STANDING)
      .feed(0.2, (t) => ({ load: 1, thigh: -60 * t, thighRate: -60 }))
      .feed(0.2, () => ({ load: 1, thigh: 12 }));
    expect(run.last()).toBe('stance');
    run.feed(0.29, () => ({ load: 0, thigh: 12 }));
    expect(run.last()).toBe('stance');
    run.feed(0.02, () => ({ load: 0, thigh: 12 }));
    expect(run.last()).toBe('free');
  });

  test('a stumble: 60 % of body weight 50 ms into swing is borne at once, 20 % waits for the least swing', () => {
    const toeOff = stance * strideTime;
    const stumble = swinging(leg).feed(0.03, (t) => walking(toeOff + 0.02 + t));
    expect(stumble.last()).toBe('swing');
    stumble.feed(0.004, (t) => ({ ...walking(toeOff + 0.05 + t), load: 0.6 }));
    expect(stumble.last()).toBe('stance');
    const touch = swinging(leg).feed(0.03, (t) => walking(toeOff + 0.02 + t));
    touch.feed(0.06, (t) => ({ ...walking(toeOff + 0.05 + t), load: 0.2 }));
    expect(touch.last()).toBe('swing');
    touch.feed(0.06, (t) => ({ ...walking(toeOff + 0.11 + t), load: 0.2 }));
    expect(touch.last()).toBe('stance');
  });

  test('up a stair, into a chair and out of it', () => {
    const up = runOf(leg)
      .feed(0.5, () => STANDING)
      .feed(0.6, (t) => ({ load: 0, thigh: Math.min(50, 20 + 60 * t), knee: Math.min(60, 110 * t) }))
      .feed(1.1, (t) => ({ load: 1, thigh: 50 - 45 * t, knee: Math.max(0, 60 - 58 * t) }))
      .feed(0.4, () => STANDING);
    expect(up.sequence()).toEqual(['standing', 'free', 'extending', 'standing']);
    // the knee is led to extend at its pace, so torque extends it
    expect(up.outputs[Math.round(1.6 / leg.compiled.period)]![OUTPUT.kneeTorque]!).toBeLessThan(0);
    const chair = runOf(leg)
      .feed(0.5, () => STANDING)
      .feed(1, (t) => ({ load: 0.5, thigh: 85 * t, knee: 90 * t }))
      .feed(1, () => ({ load: 0.1, thigh: 85, knee: 90 }))
      .feed(1.2, (t) => ({ load: 0.5, thigh: 85 - 70 * t, knee: Math.max(0, 90 - 75 * t) }))
      .feed(0.4, () => STANDING);
    expect(chair.sequence()).toEqual(['standing', 'lowering', 'sitting', 'rising', 'standing']);
  });
});

test('down a stair the knee yields, is swung on, and stands again', () => {
  const down = runOf(leg)
    .feed(0.5, () => STANDING)
    .feed(0.6, (t) => ({ load: 1, thigh: 30 * t, knee: 110 * t }))
    .feed(0.5, (t) => ({ load: 0, thigh: 18 + 10 * t, knee: Math.max(5, 66 - 150 * t) }))
    .feed(0.3, () => ({ load: 0.6, thigh: 8, knee: 3 }))
    .feed(0.6, () => STANDING);
  expect(down.sequence()).toEqual(['standing', 'lowering', 'free', 'stance', 'standing']);
  // yielding under load is braked: a damper against flexion, which extends
  expect(down.outputs[Math.round(0.9 / leg.compiled.period)]![OUTPUT.kneeTorque]!).toBeLessThan(0);
});

test('who walks and stops in double support stands, and sets out again', () => {
  const stops = runOf(leg)
    .feed(0.5, () => STANDING)
    .feed(1.1 * strideTime, walking);
  expect(stops.last()).toBe('stance');
  stops
    .feed(0.3, (t) => ({ load: 0.7, thigh: 20 - 60 * t, knee: 8 }))
    .feed(0.8, () => ({ load: 0.5, thigh: 2, knee: 3 }));
  expect(stops.last()).toBe('standing');
  stops.feed(0.2, (t) => ({ load: 0, thigh: 80 * t, thighRate: 80 }));
  expect(stops.last()).toBe('swing');
});

describe('hold and finish', () => {
  const toeOff = stance * strideTime;
  const held = (of: ControlledLeg, share: number) => {
    const run = swinging(of);
    const carried = of.compiled.maps[Object.keys(of.controller.phases).indexOf('level-swing')]!;
    const from = walking(toeOff + 0.02).thigh!;
    const to = (carried.map.referenceOn + share * (carried.map.peak - carried.map.referenceOn)) / DEG;
    const rate = 120;
    const rise = (to - from) / rate;
    run.feed(rise, (t) => ({ load: 0, thigh: from + rate * t, thighRate: rate }));
    run.feed(0.1, () => ({ load: 0, thigh: to }));
    const before = run.outputs.at(-1)![OUTPUT.phase]!;
    run.feed(3, () => ({ load: 0, thigh: to }));
    return run.outputs.at(-1)![OUTPUT.phase]! - before;
  };

  test.each([0.15, 0.3, 0.45, 0.6, 0.75])(
    'the phase stays for 3 s with the thigh at %f of its way',
    (share) => {
      expect(Math.abs(held(leg, share))).toBeLessThanOrEqual(1e-3);
    },
  );

  test('at the peak the finish moves it, and not where it is off', () => {
    expect(held(leg, 1)).toBeGreaterThan(0.02);
    const { controller } = leg;
    const phases = {
      ...controller.phases,
      'level-swing': { ...controller.phases['level-swing']!, finish: false },
    };
    const off = legOf({
      ...input,
      controller: { ...input.controller!, controller: { ...controller, phases } },
    });
    expect(Math.abs(held(off, 1))).toBeLessThanOrEqual(1e-3);
  });
});

describe('faults', () => {
  const second = new Set(['kneeSecond', 'ankleSecond']);
  /** What makes each watch act: the reading from the first bad sample on. */
  const spoilt: { readonly [name: string]: (inputs: Float64Array, tick: number) => void } =
    Object.fromEntries(
      leg.controller.watches.map((watch) => {
        const i = INPUT[watch.sensor];
        let stuck = Number.NaN;
        const spoil = (inputs: Float64Array, tick: number): void => {
          if (tick === 0) stuck = inputs[i]!;
          if (watch.detect === 'missing') inputs[i] = Number.NaN;
          else if (watch.detect === 'stuck') inputs[i] = stuck;
          else if (watch.detect === 'outside')
            inputs[i] =
              (watch.high ?? watch.low!) *
              (watch.sensor === 'load' ? 1.01 * BODY : watch.high === undefined ? 0.99 : 1.01);
          // two encoders: so far apart that what the gears wind up under the torque of a swing does not hide it
          else inputs[i]! += (second.has(watch.sensor) ? 3 : 1.2) * watch.limit!;
        };
        return [watch.name, spoil];
      }),
    );

  const standing = () => runOf(leg).feed(0.5, () => STANDING);

  // what wanders is told after strides, in thigh-wanders.test.ts
  for (const watch of leg.controller.watches.filter(({ detect }) => detect !== 'wanders')) {
    test(`${watch.name}: ${watch.reaction}, in standing and in swing, no later than declared, never by a number that is none`, () => {
      for (const [start, hold] of [
        [standing, () => STANDING],
        [() => swinging(leg), (t: number) => walking(stance * strideTime + 0.02 + t)],
      ] as const) {
        const run = start();
        const before = run.outputs.length;
        const home = run.last();
        run.feed(0.3, hold, spoilt[watch.name]);
        if (watch.time >= 0.3)
          run.feed(
            watch.time,
            () => STANDING,
            (inputs) => spoilt[watch.name]!(inputs, 1),
          );
        const after = run.outputs.slice(before);
        for (const out of after) expect([...out].every(Number.isFinite)).toBe(true);
        const names = leg.compiled.watches;
        if (watch.reaction === 'warn') {
          // shown for as long as it is so: two encoders while the torque leaves nothing to wind up
          const shown = after.findLast((out) => out[OUTPUT.warning] !== 0);
          expect(names[shown![OUTPUT.warning]! - 1]).toBe(watch.name);
          expect(after.at(-1)![OUTPUT.fault]).toBe(0);
          continue;
        }
        const at = after.findIndex((out) => out[OUTPUT.fault] !== 0);
        expect(names[after[at]![OUTPUT.fault]! - 1]).toBe(watch.name);
        // a load beyond all bounds is borne before it is called wrong
        const from = at === 0 ? home : leg.compiled.states[after[at - 1]![OUTPUT.state]!]!;
        const safe = watch.to ?? leg.controller.states.find(({ name }) => name === from)!.safe;
        expect(leg.compiled.states[after[at]![OUTPUT.state]!]).toBe(safe);
        const took = (at + 1) * leg.compiled.period;
        expect(took).toBeLessThanOrEqual(watch.within!);
        expect(took).toBeLessThanOrEqual(timeToSafe(leg.controller, watch, leg.timing));
        // and stays, whatever comes back, until the wearer asks in standing
        run.feed(0.2, () => STANDING);
        expect(['safe-stance', 'safe-swing', 'safe-blind']).toContain(run.last());
        run.feed(1.5, () => ({ ...STANDING, release: 1 }));
        expect(run.last()).toBe('standing');
        expect(run.outputs.at(-1)![OUTPUT.fault]).toBe(0);
      }
    });
  }

  test('an encoder that jumps does not make the damper kick', () => {
    const run = standing().feed(0.01, () => STANDING, spoilt['knee-jumps']);
    expect(run.outputs.at(-1)![OUTPUT.kneeShorted]).toBe(1);
    expect(run.outputs.at(-1)![OUTPUT.kneeTorque]).toBe(0);
  });
});

describe('whatever is read', () => {
  const reading = fc.oneof(
    { weight: 6, arbitrary: fc.double({ min: -2, max: 2, noNaN: true }) },
    { weight: 1, arbitrary: fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY) },
    { weight: 1, arbitrary: fc.double({ min: -1e308, max: 1e308 }) },
    { weight: 1, arbitrary: fc.double({ min: -2000, max: 2000, noNaN: true }) },
  );
  const stream = fc.array(fc.array(reading, { minLength: SENSORS.length, maxLength: SENSORS.length }), {
    minLength: 1,
    maxLength: 60,
  });
  /** Each row for some ticks, so that watches and transitions that wait come to act. */
  const scrambled = (rows: readonly (readonly number[])[], ticks: number) => {
    const run = runOf(leg);
    for (const row of rows)
      run.feed(
        ticks * leg.compiled.period,
        () => ({}),
        (inputs) => {
          row.forEach((value, i) => {
            if (i !== INPUT.load || !Number.isFinite(value)) inputs[i] = value;
            else inputs[i] = value * BODY;
          });
        },
      );
    return run;
  };

  test('no output is NaN and no torque beyond its limit', () => {
    fc.assert(
      fc.property(stream, fc.integer({ min: 1, max: 40 }), (rows, ticks) => {
        for (const out of scrambled(rows, ticks).outputs) {
          for (const value of out) if (!Number.isFinite(value)) return false;
          if (Math.abs(out[OUTPUT.kneeTorque]!) > leg.controller.limits.knee.torque) return false;
          if (Math.abs(out[OUTPUT.ankleTorque]!) > leg.controller.limits.ankle.torque) return false;
        }
        return true;
      }),
      { numRuns: 60 },
    );
  });

  test('then quiet standing, and the wearer’s release after a fault, lead to standing', () => {
    fc.assert(
      fc.property(stream, fc.integer({ min: 1, max: 40 }), (rows, ticks) => {
        const run = scrambled(rows, ticks);
        run.feed(1, () => STANDING).feed(2.5, () => ({ ...STANDING, release: 1 }));
        return run.last() === 'standing' && run.outputs.at(-1)![OUTPUT.fault] === 0;
      }),
      { numRuns: 25 },
    );
  });

  test('a run that is stopped, kept as numbers and gone on with ends the same', () => {
    const whole = runOf(leg).feed(2 * strideTime, walking);
    const first = runOf(leg).feed(strideTime, walking);
    const kept = controllerState(leg.compiled);
    kept.numbers.set(JSON.parse(JSON.stringify([...first.state.numbers])));
    kept.counts.set(JSON.parse(JSON.stringify([...first.state.counts])));
    kept.swing.set(JSON.parse(JSON.stringify([...first.state.swing])));
    kept.speed!.walk.set([...first.state.speed!.walk]);
    kept.speed!.own.set(JSON.parse(JSON.stringify([...first.state.speed!.own])));
    const rest = runOf(leg, kept);
    const ticks = first.outputs.length;
    rest.feed(whole.outputs.length * leg.compiled.period - ticks * leg.compiled.period, (t) =>
      walking(ticks * leg.compiled.period + t),
    );
    expect(rest.outputs.at(-1)![OUTPUT.kneeTorque]).toBeCloseTo(whole.outputs.at(-1)![OUTPUT.kneeTorque]!, 3);
    expect(rest.last()).toBe(whole.last());
  });
});
