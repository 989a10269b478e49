// What a controller file can hold that the machine it describes must not be: said at its line, with how to mend it.
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { faultText } from '@striderule/engine';
import { expect, test } from 'vitest';
import { checkStudy, openStudy } from './open-study.ts';
import { copyOfDemo, faultsOf, only, spoilt } from './test-spoilt.ts';

const FILE = 'controllers/tern.yaml';

/** Faults of names and fields: the study cannot be opened. */
const READ: [string, string, string, string][] = [
  [
    'a state that is not there',
    'from: free, to: sitting',
    'from: free, to: siting',
    'There is no state `siting`. Did you mean `sitting`?',
  ],
  [
    'a task that is not there',
    'level-swing: { tasks: [walk-slow, walk-natural',
    'level-swing: { tasks: [walk-slow, walk-natral',
    'phases.level-swing.tasks.1: There is no task `walk-natral`. Did you mean `walk-natural`?',
  ],
  [
    'several tasks and nothing that they go by',
    'level-swing: { tasks: [walk-slow, walk-natural, walk-fast], by: speed,',
    'level-swing: { tasks: [walk-slow, walk-natural, walk-fast],',
    '`tasks:` and `by: speed` go together. Add the other, or name one `task:`',
  ],
  [
    'a stance that would end where it begins',
    'loaded: 8 %, unloaded: 4 %',
    'loaded: 4 %, unloaded: 4 %',
    'speed.unloaded: a stance would end at the load at which it begins, and noise would end it at once',
  ],
  [
    'a slope whose range leaves the level out',
    'range: { from: -7 deg, to: 7 deg }',
    'range: { from: 1 deg, to: 7 deg }',
    'slope.range: level ground is not in this range, and no reading of it would be taken up. Write a `from:` below 0 and a `to:` above it',
  ],
  [
    'a level as wide as the range',
    'level: 1 deg',
    'level: 4 deg',
    'slope.level: a slope counts for what it is from twice this angle on, and `range` ends before',
  ],
  [
    'readings that never count',
    'share: 100 %, change',
    'share: 0 %, change',
    'slope.share: no reading would ever count. Write a share above 0',
  ],
  ['a hold of nothing', 'hold: 3', 'hold: 0', 'slope.hold'],
  [
    'a spring without its rest',
    'damping: 6 N*m*s/rad, equilibrium: 0 deg }\n    ankle: { does: spring, stiffness: 400',
    'damping: 6 N*m*s/rad }\n    ankle: { does: spring, stiffness: 400',
    'states.standing.knee: `spring` says no equilibrium. Add `equilibrium:`.',
  ],
  [
    'a damper with a stiffness',
    'knee: { does: damp, damping: 40',
    'knee: { does: damp, stiffness: 3 N*m/rad, damping: 40',
    'states.lowering.knee.stiffness: `damp` has no use for `stiffness`. Delete it.',
  ],
  [
    'a threshold of another kind',
    'when: { load: { above: 40 % } }',
    'when: { load: { above: 40 N } }',
    '`40 N` is a force, but this field is a pure number.',
  ],
  [
    'a fault that says no time to the safe state',
    'overrun: { sensor: elapsed, detect: outside, high: 5 ms, reaction: safe, within: 40 ms }',
    'overrun: { sensor: elapsed, detect: outside, high: 5 ms, reaction: safe }',
    'faults.overrun: how soon the leg is safe is not declared. Add `within:`.',
  ],
  [
    'wandering of another sensor than the thigh',
    'thigh-wanders: { sensor: thigh,',
    'thigh-wanders: { sensor: knee,',
    'faults.thigh-wanders.sensor: `wanders` sets the thigh at contact against its map. Watch it of the sensor `thigh`.',
  ],
  [
    'wandering without a limit',
    'detect: wanders, limit: 3 deg',
    'detect: wanders',
    'faults.thigh-wanders: `wanders` has no limit. Add `limit:`',
  ],
];
for (const [what, from, to, text] of READ) {
  test(what, async () => {
    expect(await only(spoilt(FILE, from, to))).toContain(text);
  });
}

/** Faults of the machine: the study opens, and its check says so. */
const MACHINE: [string, string | RegExp, string, RegExp][] = [
  [
    'a trap: stance that is not left unloaded with the thigh forward',
    'from: [standing, stance, lowering, extending, rising], to: free',
    'from: [standing, lowering, extending, rising], to: free',
    /^controllers\/tern\.yaml:\d+:5 states\.stance: `stance` is meant for load and cannot be left unloaded, thigh at 5°/,
  ],
  [
    'two ways open at once',
    'from: stance, to: lowering, when: { load: { above: 8 % }, knee: { above: 45 deg } }, hold: 50 ms, priority: 2',
    'from: stance, to: lowering, when: { load: { below: 8 % }, knee: { above: 45 deg } }, hold: 50 ms, priority: 3',
    /^controllers\/tern\.yaml:\d+:\d+ transitions\.\d+: from `stance` the ways to `(lowering|free)` and to/,
  ],
  [
    'unstable gains',
    'ankle: { does: spring, stiffness: 400 N*m/rad, damping: 6',
    'ankle: { does: spring, stiffness: 800 N*m/rad, damping: 6',
    /states\.standing\.ankle: 800 N·m\/rad with 6\.00 N·m·s\/rad is unstable at the ankle: .* At this damping at most \d+ N·m\/rad is stable/s,
  ],
  [
    'stiffer than the gears',
    'ankle: { does: spring, stiffness: 400 N*m/rad, damping: 6',
    'ankle: { does: spring, stiffness: 950 N*m/rad, damping: 6',
    /states\.standing\.ankle: 950 N·m\/rad is stiffer than the ankle’s own gears\. Ask for less/,
  ],
  [
    'a phase from a thigh that hardly moves',
    'level-swing: { tasks: [walk-slow, walk-natural, walk-fast], by: speed,',
    'level-swing: { task: stair-down,',
    /phases\.level-swing: From toe-off to its peak the thigh moves 8\.5°, too short a way for a phase, which needs 15°/,
  ],
  [
    'tasks by speed of which the faster stands first',
    'level-swing: { tasks: [walk-slow, walk-natural, walk-fast]',
    'level-swing: { tasks: [walk-natural, walk-slow, walk-fast]',
    /phases\.level-swing: `walk-slow`, 0\.8\d+ m\/s, stands after `walk-natural`, 1\.2\d+ m\/s\. Write the slowest first/,
  ],
  [
    'two tasks of one speed',
    'level-swing: { tasks: [walk-slow, walk-natural, walk-fast]',
    'level-swing: { tasks: [walk-slow, walk-slow, walk-fast]',
    /`walk-slow` and `walk-slow` go at one speed/,
  ],
  [
    'a task without a speed',
    'level-swing: { tasks: [walk-slow, walk-natural, walk-fast]',
    'level-swing: { tasks: [stair-down, walk-natural, walk-fast]',
    /the speed of `stair-down` is not known/,
  ],
  [
    'maps by speed, and nothing said of how it is read',
    'speed: # read off its own stance; loads as shares of body weight\n  { start: 1.4 m/s, change: 0.3 m/s, loaded: 8 %, unloaded: 4 % }\n',
    '',
    /speed: maps or schedules go by speed, and how the speed is read is not said\. Add `speed:`/,
  ],
  [
    'a slope steeper than the reading was tried on',
    'range: { from: -7 deg, to: 7 deg }',
    'range: { from: -12 deg, to: 7 deg }',
    /slope\.from: the leg’s reading of a slope was tried from -10\.0° to 10\.0°, and -12\.0° lies beyond\. Stay within/,
  ],
  [
    'a reaction later than declared',
    'load-stuck: { sensor: load, detect: stuck, time: 150 ms',
    'load-stuck: { sensor: load, detect: stuck, time: 250 ms',
    /faults\.load-stuck\.within: `load-stuck` declares 190 ms to the safe state and needs 262\.0 ms/,
  ],
  [
    'a sensor that nothing watches',
    'load-lost: { sensor: load, detect: missing',
    'load-lost: { sensor: load, detect: stuck',
    /faults: nothing reacts when `load` gives no number/,
  ],
  [
    'a second encoder that is compared and may be gone',
    'knee-second-lost: { sensor: kneeSecond, detect: missing',
    'knee-second-lost: { sensor: kneeSecond, detect: stuck',
    /faults: nothing reacts when `kneeSecond` gives no number/,
  ],
  [
    'two encoders that nothing compares',
    /^ {2}ankle-encoders-apart: .*\n/m,
    '',
    /faults: the ankle has two encoders and nothing compares them: .* Add a fault with `sensor: ankleSecond`/s,
  ],
  [
    'a comparison within the play of the gears',
    'ankle-encoders-apart: { sensor: ankleSecond, detect: disagrees, limit: 1 deg',
    'ankle-encoders-apart: { sensor: ankleSecond, detect: disagrees, limit: 0.15 deg',
    /faults\.ankle-encoders-apart\.limit: .* acts beyond 0\.15°, and backlash and encoder steps of the ankle alone make 0\.17°/,
  ],
  [
    'a limit of wandering that nothing reaches',
    'detect: wanders, limit: 3 deg',
    'detect: wanders, limit: 31 deg',
    /faults\.thigh-wanders\.limit: `thigh-wanders` would act beyond 31°: .* Take a limit above 0° and no more than 30°/,
  ],
  [
    'a bus that is too high and goes on being fed',
    'high: 57 V, reaction: safe, to: safe-blind',
    'high: 57 V, reaction: safe',
    /faults\.bus-high: `bus-high` leads to `safe-stance`, which brakes by software and so returns still more/,
  ],
  [
    'a limit of what is returned that begins where the fault has acted',
    'fadeBus: 52 V, bus: 57 V',
    'fadeBus: 58 V, bus: 60 V',
    /limits\.knee\.returned: what the knee returns is limited from 58\.0 V on, and `bus-high` has acted at 57\.0 V/,
  ],
  [
    'a limit that takes all braking before the leg is safe',
    'fadeBus: 52 V, bus: 57 V',
    'fadeBus: 52 V, bus: 56 V',
    /limits\.knee\.returned: at 56\.0 V the knee may not brake any more, and `bus-high` makes it safe only above 57\.0 V/,
  ],
  [
    'a value outside float32',
    'fadeSpeed: 600 deg/s, speed: 690 deg/s, warm: 100 degC, hot: 120 degC',
    'fadeSpeed: 600 deg/s, speed: 690 deg/s, warm: 100 degC, hot: 1e39 K',
    /limits\.knee: 1e\+39 is no number that float32 holds/,
  ],
];
for (const [what, from, to, text] of MACHINE) {
  test(what, async () => {
    const folder = spoilt(FILE, from, to);
    const found = (await checkStudy(folder)).map(faultText);
    expect(found).toHaveLength(1);
    expect(found[0]).toMatch(text);
    expect((await openStudy(folder)).input.controller?.id).toBe('tern');
  });
}

test('a leg with one encoder has no second to compare', async () => {
  const folder = spoilt(
    'legs/tern.yaml',
    /encoder: \{ side: both, bits: 14 \}/,
    'encoder: { side: motor, bits: 14 }',
  );
  expect((await checkStudy(folder)).map(faultText)).toEqual([
    expect.stringMatching(
      /^controllers\/tern\.yaml:\d+:\d+ faults\.knee-encoder-wrong: the knee of this leg has one encoder, on its motor: .* Write `side: both`/,
    ),
  ]);
});

test('a schedule that jumps', async () => {
  const point = (at: string, stiffness: number) =>
    `{ at: ${at}, stiffness: ${stiffness} N*m/rad, equilibrium: 2 deg, damping: 3 N*m*s/rad }`;
  const folder = spoilt(
    FILE,
    /level-knee: \{ fit: .*/,
    `level-knee: { points: [${[point('0', 100), point('50 %', 100), point('50 %', 200), point('1', 50)].join(', ')}] }`,
  );
  const [fault, ...others] = (await checkStudy(folder)).map(faultText);
  expect(others).toEqual([]);
  expect(fault).toMatch(
    /schedules\.level-knee\.points\.2: `level-knee` jumps at 0\.5: two points stand at one place/,
  );
});

test('the fingerprint is of what the controller does: not of comments and order, but of every number', async () => {
  const of = async (from: string, to: string) =>
    (await openStudy(from === '' ? copyOfDemo() : spoilt(FILE, from, to))).input.controller!.fingerprint;
  const own = await of('', '');
  expect(own).toMatch(/^[0-9a-f]{64}$/);
  expect(await of('# a stumble does not wait for the least swing', '# ')).toBe(own);
  expect(await of('bears: either\n    safe: safe-stance', 'safe: safe-stance\n    bears: either')).toBe(own);
  expect(await of('stiffness: 400 N*m/rad, damping: 6', 'stiffness: 401 N*m/rad, damping: 6')).not.toBe(own);
});

test('a study without a controller opens, and another controller can be chosen', async () => {
  const folder = copyOfDemo();
  const text = readFileSync(join(folder, FILE), 'utf8');
  writeFileSync(join(folder, 'controllers/other.yaml'), text.replace('version: "0.1"', 'version: "0.2"'));
  const study = join(folder, 'study.yaml');
  expect((await openStudy(folder, { controller: 'other' })).input.controller?.controller.version).toBe('0.2');
  writeFileSync(study, readFileSync(study, 'utf8').replace(/^controller:.*\n/m, ''));
  expect((await openStudy(folder)).input.controller).toBeUndefined();
  expect(await faultsOf(folder)).toEqual([]);
});
