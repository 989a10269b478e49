import type { CompiledController } from './compile-controller.ts';
import type { Behaviour, Controller, JointLimits, Watch } from './controller.ts';
import { controllerState, INPUT, OUTPUT, OUTPUTS } from './controller-memory.ts';
import { controllerTick } from './controller-tick.ts';

const DAMPED: Behaviour = { kind: 'spring', stiffness: 0, damping: 20, equilibrium: 0 };
const SPRING: Behaviour = { kind: 'spring', stiffness: 100, damping: 2, equilibrium: 0 };

const limits: JointLimits = {
  torque: 120,
  from: -10,
  to: 10,
  margin: 0.1,
  fadeSpeed: 1000,
  speed: 2000,
  warm: 80,
  hot: 100,
  slew: 1e9,
};

const watch = (over: Pick<Watch, 'name' | 'sensor' | 'detect'> & Partial<Watch>): Watch => ({
  time: 0,
  reaction: 'safe',
  within: 1,
  ...over,
});

/**
 * Two states and one that is safe, at 10 ms: loads as shares of body weight, temperatures in °C. Thresholds are invented, the machine is
 * the least that walks.
 */
export const twoStates: Controller = {
  name: 'two states',
  version: '1',
  filter: 60,
  initial: 'swing',
  phases: {},
  schedules: {},
  states: [
    { name: 'swing', bears: 'no load', knee: SPRING, ankle: SPRING, safe: 'safe' },
    { name: 'stance', bears: 'load', knee: SPRING, ankle: SPRING, safe: 'safe' },
    { name: 'safe', bears: 'either', knee: DAMPED, ankle: SPRING },
  ],
  transitions: [
    {
      from: 'swing',
      to: 'stance',
      when: [{ signal: 'load', above: 0.08 }],
      hold: 0.02,
      after: 0.15,
      priority: 0,
    },
    {
      from: 'stance',
      to: 'swing',
      when: [
        { signal: 'load', below: 0.04 },
        { signal: 'thigh', below: 0.05 },
      ],
      hold: 0.03,
      after: 0.1,
      priority: 0,
    },
  ],
  watches: [
    watch({ name: 'thigh lost', sensor: 'thigh', detect: 'missing', time: 0.05 }),
    watch({ name: 'encoder jumps', sensor: 'knee', detect: 'jump', limit: 0.12 }),
    watch({ name: 'too hot', sensor: 'kneeWinding', detect: 'outside', high: 100 }),
  ],
  limits: { knee: limits, ankle: limits },
  knownLimits: [],
};

/** Feeds rows of some sensors, the others quiet, and gives each tick's outputs. */
export function ticked(
  of: CompiledController,
  rows: readonly { readonly [sensor in keyof typeof INPUT]?: number }[],
  state = controllerState(of),
): readonly Float64Array[] {
  return rows.map((row) => {
    const inputs = new Float64Array(Object.keys(INPUT).length);
    for (const [name, value] of Object.entries(row)) inputs[INPUT[name as keyof typeof INPUT]] = value;
    const outputs = new Float64Array(OUTPUTS);
    controllerTick(of, state, inputs, outputs);
    return outputs;
  });
}

/** Name of the state in each tick. */
export const statesOf = (of: CompiledController, outputs: readonly Float64Array[]): readonly string[] =>
  outputs.map((out) => of.states[out[OUTPUT.state]!]!);
