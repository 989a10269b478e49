import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { timeToSafe } from '../control/check-controller.ts';
import { SENSORS, type Sensor } from '../control/controller.ts';
import { type ControllerState, INPUT, OUTPUT, OUTPUTS } from '../control/controller-memory.ts';
import { controllerTick } from '../control/controller-tick.ts';
import { curveAt } from '../gait/curve.ts';
import { controlledLeg } from './controlled-leg.ts';
import { evaluateDesign } from './design.ts';
import { swingPlan } from './swing-plan.ts';
import { runOf } from './test-controlled-leg.ts';

// A sensor lost at any instant of a stride: what follows is named, comes in time, and no output is ever a number that is none.

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const task = input.tasks.find(({ id }) => id === 'walk-natural');
if (task?.kind !== 'stride') throw new Error('a stride was expected');
const plan = swingPlan(input, task);
const leg = controlledLeg(input, evaluateDesign(input));
if ('openBecause' in plan || 'openBecause' in leg) throw new Error('the demo study walks');
const { stance, strideTime } = plan.stride;
const { compiled, controller, timing } = leg;
const DEG = Math.PI / 180;
const EACH = Math.round(strideTime / compiled.period);

const copy = ({ numbers, counts, swing }: ControllerState): ControllerState => ({
  numbers: numbers.slice(),
  counts: counts.slice(),
  swing: swing.slice(),
});

/** Three strides from contact on: what every sensor read, and what the controller was before each tick. */
const run = runOf(leg).feed(0.5, () => ({ load: 0.5 }));
const [read, before]: [Float64Array[], ControllerState[]] = [[], []];
run.feed(
  3 * strideTime,
  (t) => {
    const place = (t / strideTime) % 1;
    const at = (curve: typeof plan.own.knee) => curveAt(curve, 100 * place);
    const thigh = at(plan.own.thigh);
    return {
      thigh: thigh.value / DEG,
      thighRate: (100 * thigh.slope) / strideTime / DEG,
      knee: at(plan.own.knee).value / DEG,
      ankle: at(plan.own.ankle).value / DEG,
      load: place < stance ? 1 : 0,
    };
  },
  (inputs) => {
    read.push(inputs.slice());
    before.push(copy(run.state));
  },
);

interface Seen {
  /** Ticks until fault or warning first showed, and which; the state it was in and the one it came to. */
  readonly fault?: {
    readonly after: number;
    readonly name: string;
    readonly from: string;
    readonly to: string;
  };
  readonly warned: ReadonlySet<string>;
  readonly finite: boolean;
  readonly within: boolean;
}

/** The sensor spoilt from tick `start` on. */
function spoilt(start: number, ticks: number, spoil: (inputs: Float64Array) => void): Seen {
  const state = copy(before[start]!);
  const out = new Float64Array(OUTPUTS);
  const warned = new Set<string>();
  let fault: Seen['fault'];
  let [finite, within] = [true, true];
  let from = run.states[run.states.length - read.length + start - 1]!;
  for (let k = 0; k < ticks; k++) {
    const inputs = read[start + k]!.slice();
    spoil(inputs);
    controllerTick(compiled, state, inputs, out);
    for (const value of out) finite &&= Number.isFinite(value);
    within &&=
      Math.abs(out[OUTPUT.kneeTorque]!) <= controller.limits.knee.torque &&
      Math.abs(out[OUTPUT.ankleTorque]!) <= controller.limits.ankle.torque;
    const now = compiled.states[out[OUTPUT.state]!]!;
    if (out[OUTPUT.warning] !== 0) warned.add(compiled.watches[out[OUTPUT.warning]! - 1]!);
    if (fault === undefined && out[OUTPUT.fault] !== 0)
      fault = { after: k + 1, name: compiled.watches[out[OUTPUT.fault]! - 1]!, from, to: now };
    from = now;
  }
  return { ...(fault !== undefined && { fault }), warned, finite, within };
}

test('the walk itself has no fault, and its ticks go through stance and swing', () => {
  expect(read).toHaveLength(3 * EACH);
  expect(Math.max(...run.outputs.map((out) => out[OUTPUT.fault]!))).toBe(0);
  expect(new Set(run.states.slice(-EACH))).toEqual(new Set(['stance', 'swing']));
});

test.each(SENSORS)('%s without a number, from any part of the stride on', (sensor) => {
  const watch = controller.watches.find((each) => each.sensor === sensor && each.detect === 'missing')!;
  const ticks = Math.ceil((watch.time + 0.02) / compiled.period);
  for (let start = EACH; start < 2 * EACH; start += ticks > 500 ? 197 : 17) {
    const { fault, warned, finite, within } = spoilt(start, ticks, (inputs) => {
      inputs[INPUT[sensor]] = Number.NaN;
    });
    expect(finite && within, `tick ${start}`).toBe(true);
    if (watch.reaction === 'warn') {
      expect(warned, `tick ${start}`).toContain(watch.name);
      expect(fault).toBeUndefined();
    } else {
      expect(fault?.name, `tick ${start}`).toBe(watch.name);
      expect(fault!.after * compiled.period).toBeLessThanOrEqual(timeToSafe(controller, watch, timing));
      expect(fault!.to).toBe(watch.to ?? controller.states.find(({ name }) => name === fault!.from)!.safe);
    }
  }
});

// a stuck knee is told by the other encoder, a stuck ankle is walked on with and said; the thigh as soon as it should swing
test.each<readonly [Sensor, RegExp, 'fault' | 'warning']>([
  ['thigh', /^thigh-disagrees$/, 'fault'],
  ['thighRate', /^thigh-(stuck|disagrees)$/, 'fault'],
  ['load', /^load-stuck$/, 'fault'],
  ['knee', /^knee-encoder-wrong$/, 'fault'],
  ['kneeSecond', /^knee-encoder-wrong$/, 'fault'],
  ['ankle', /^ankle-encoders-apart$/, 'warning'],
  ['ankleSecond', /^ankle-encoders-apart$/, 'warning'],
])('%s stuck, from any part of the stride on, is found within a stride', (sensor, named, how) => {
  for (let start = EACH; start < 2 * EACH; start += 53) {
    const stuck = read[start]![INPUT[sensor]]!;
    const { fault, warned, finite, within } = spoilt(start, EACH, (inputs) => {
      inputs[INPUT[sensor]] = stuck;
    });
    expect(finite && within, `tick ${start}`).toBe(true);
    if (how === 'fault') expect(fault?.name, `tick ${start}`).toMatch(named);
    else
      expect(
        [...warned].some((name) => named.test(name)),
        `tick ${start}`,
      ).toBe(true);
  }
});
