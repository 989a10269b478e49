import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import {
  type ControlledLeg,
  controlledLeg,
  controllerState,
  controllerTick,
  evaluateDesign,
  OUTPUT,
  OUTPUTS,
  replayLog,
  SLOPE_STATUS,
  SPEED_STATUS,
  type StudyInput,
} from '@striderule/engine';
import { afterAll, describe, expect, test } from 'vitest';
import { READ_COLUMNS, readControllerLog } from './controller-log.ts';
import { buildFingerprint, exportFirmware } from './firmware-export.ts';
import { openStudy } from './open-study.ts';

const { input } = await openStudy(new URL('../examples/tern', import.meta.url).pathname);
const legOf = (study: StudyInput): ControlledLeg => {
  const leg = controlledLeg(study, evaluateDesign(study));
  if ('openBecause' in leg) throw new Error(leg.openBecause);
  return leg;
};
const leg = legOf(input);
const made = mkdtempSync(join(tmpdir(), 'striderule-firmware-'));
afterAll(() => rmSync(made, { recursive: true, force: true }));

const TICKS = 140_000;
const folder = join(made, 'out');
const files = await exportFirmware({
  folder,
  leg,
  ticks: TICKS,
  seed: 8,
  about: ['Study T*/est', 'demo data'],
});

const COMPILER = spawnSync('cc', ['--version']).error === undefined;
/** A skip is no pass in `.ci/run`, which installs a compiler. */
const compiled = test.skipIf(!COMPILER);
const WITHOUT = COMPILER ? '' : ' (skipped: no C compiler `cc`; install gcc)';

const STRICT = ['-std=c99', '-Wall', '-Wextra', '-Werror', '-pedantic', '-Wconversion', '-Wdouble-promotion'];
const compile = (as: string) =>
  spawnSync('cc', [...STRICT, '-O2', '-o', as, 'controller.c', 'harness.c', '-lm'], {
    cwd: folder,
    encoding: 'utf8',
  });
const harness = (as: string, vectors = 'vectors.csv') =>
  spawnSync(join(folder, as), [vectors], { cwd: folder, encoding: 'utf8' });

/** What the harness says: ticks, largest differences, ticks in which modes differ or anything is beyond the tolerance. */
function said(text: string) {
  const found =
    /ticks (\d+) torque (\S+) Nm phase (\S+) modes (\d+) beyond (\d+) first (-?\d+) speed (\S+) slope (\S+)/.exec(
      text,
    ) ?? [];
  const [ticks, torque, phase, modes, beyond, first, speed, slope] = found.slice(1).map(Number);
  return { ticks, torque, phase, modes, beyond, first, speed, slope };
}

describe('the controller in C99', () => {
  compiled(
    `compiles without a warning and equals the engine on more than 100,000 ticks, faults among them${WITHOUT}`,
    () => {
      const built = compile('harness');
      expect(built.stderr).toBe('');
      expect(built.status).toBe(0);
      const ran = harness('harness');
      const { ticks, torque, phase, modes, beyond, speed, slope } = said(ran.stdout);
      expect(ticks).toBe(TICKS);
      expect(modes).toBe(0);
      expect(beyond).toBe(0);
      // the tolerance that is handed over; at 150 N·m it is 2.5e-3
      expect(torque).toBeLessThanOrEqual(1e-3 + 1e-5 * 150);
      expect(phase).toBeLessThanOrEqual(1e-6);
      expect(speed).toBeLessThanOrEqual(1e-5);
      expect(slope).toBeLessThanOrEqual(1e-6);
      expect(ran.status).toBe(0);
      expect(ran.stdout).toContain(
        `controller ${leg.fingerprint.slice(0, 12)} build ${buildFingerprint(leg).slice(0, 12)}`,
      );
    },
  );

  test('the ticks go through every state and nearly every fault, and the torque is not idle', async () => {
    const log = await readControllerLog(join(folder, 'vectors.csv'), 'vectors.csv');
    expect(new Set(log.state).size).toBe(leg.compiled.states.length);
    const leading = leg.controller.watches.filter(({ reaction }) => reaction === 'safe').length;
    expect(new Set(log.fault).size - 1).toBeGreaterThanOrEqual(leading - 4);
    expect(log.torque.filter((x) => Math.abs(x) > 5).length).toBeGreaterThan(TICKS / 2);
    expect(log.readings.some(Number.isNaN)).toBe(true);
    // maps and schedules between several speeds and turned by slopes either way, and the reading refused in every way
    expect(new Set(log.speed).size).toBeGreaterThanOrEqual(5);
    expect(log.slope!.reduce((a, b) => Math.max(a, b))).toBeGreaterThan(0.03);
    expect(log.slope!.reduce((a, b) => Math.min(a, b))).toBeLessThan(-0.03);
    // two encoders that differ: found at the knee as a fault, at either joint as a warning
    const { watches } = leg.compiled;
    const told = (name: string): number => watches.indexOf(name) + 1;
    expect([...log.fault]).toContain(told('knee-encoder-wrong'));
    const state = controllerState(leg.compiled);
    const out = new Float64Array(OUTPUTS);
    const [warned, limited] = [new Set<number>(), [0, 0]];
    const [speedSaid, slopeSaid] = [new Set<number>(), new Set<number>()];
    const n = READ_COLUMNS.length;
    for (let k = 0; k < TICKS; k++) {
      controllerTick(leg.compiled, state, log.readings.subarray(k * n, (k + 1) * n), out);
      warned.add(out[OUTPUT.warning]!);
      for (const j of [0, 1]) if ((out[OUTPUT.kneeLimits + j]! & 16) !== 0) limited[j]!++;
      speedSaid.add(out[OUTPUT.speedStatus]!);
      slopeSaid.add(out[OUTPUT.slopeStatus]!);
    }
    // and a thigh that is more and more off, as a whole walk goes on
    for (const name of ['knee-encoders-apart', 'ankle-encoders-apart', 'thigh-wanders'])
      expect([...warned]).toContain(told(name));
    for (const ticks of limited) expect(ticks).toBeGreaterThan(50);
    const { read } = SPEED_STATUS;
    for (const said of [
      read,
      SPEED_STATUS['speed outside'],
      SPEED_STATUS['no flat foot'],
      SPEED_STATUS['no number'],
    ])
      expect(speedSaid).toContain(said);
    expect(speedSaid).toContain(SPEED_STATUS['below the slowest']);
    expect([...slopeSaid].sort()).toEqual(Object.values(SLOPE_STATUS).sort());
    // and the file is a log: run again, it is the same to the last bit
    expect(replayLog(leg.compiled, log)).toMatchObject({ ticks: TICKS, torque: [0, 0], phase: 0, slope: 0 });
    expect(log.controller).toBe(leg.fingerprint);
    expect(log.build).toBe(buildFingerprint(leg));
  });

  compiled(
    `a harness that could not fail would show nothing: one number changed, a torque and a table${WITHOUT}`,
    () => {
      const lines = readFileSync(join(folder, 'vectors.csv'), 'utf8').split('\n');
      const k = lines.findIndex((line) => line.startsWith('thigh_rad')) + 501;
      const cells = lines[k]!.split(',');
      lines[k] = cells
        .map((cell, i) => (i === READ_COLUMNS.length ? String(Number(cell) + 0.01) : cell))
        .join(',');
      writeFileSync(join(folder, 'wrong.csv'), lines.slice(0, k + 500).join('\n'));
      const ran = harness('harness', 'wrong.csv');
      expect(ran.status).toBe(1);
      expect(said(ran.stdout)).toMatchObject({ beyond: 1, first: 500 });
      const file = join(folder, 'tables.h');
      const sound = readFileSync(file, 'utf8');
      writeFileSync(file, sound.replace(/(joint_damping_Nms_per_rad\[\] = \{\s*)\S+f,/, '$19.0f,'));
      expect(readFileSync(file, 'utf8')).not.toBe(sound);
      expect(compile('spoilt').status).toBe(0);
      writeFileSync(file, sound);
      const spoilt = harness('spoilt');
      expect(spoilt.status).toBe(3);
      expect(spoilt.stderr).toContain('not those that were exported');
    },
  );

  test('cautions stand on top of every file, the fingerprints in tables, log and README', () => {
    expect(files).toEqual([
      'README.md',
      'controller.c',
      'controller.h',
      'harness.c',
      'sizes.h',
      'tables.h',
      'vectors.csv',
    ]);
    expect(readdirSync(folder)).toEqual(expect.arrayContaining([...files]));
    for (const name of files) {
      const top = readFileSync(join(folder, name), 'utf8')
        .slice(0, 700)
        .replace(/\s*\n[ *#>]*/g, ' ');
      expect(top, name).toMatch(/^(\/\* |# |> )CAUTION\./);
      for (const word of ['emergency stop', 'harness', 'ethics board', 'licensed prosthetist', 'local codes'])
        expect(top, name).toContain(word);
    }
    for (const name of ['tables.h', 'vectors.csv', 'README.md']) {
      const text = readFileSync(join(folder, name), 'utf8').slice(0, 100_000);
      expect(text).toContain(leg.fingerprint);
      expect(text).toContain(buildFingerprint(leg));
      expect(text).toMatch(/Study T\*( )?\/est/);
    }
    const readme = readFileSync(join(folder, 'README.md'), 'utf8');
    for (const { name } of leg.controller.watches) expect(readme).toContain(`| ${name} |`);
    for (const line of leg.controller.knownLimits) expect(readme).toContain(line);
  });

  test('the build changes with wearer, leg and number; the controller’s own fingerprint does not', () => {
    const heavier = legOf({ ...input, wearer: { ...input.wearer, mass: input.wearer.mass + 1 } });
    expect(heavier.fingerprint).toBe(leg.fingerprint);
    expect(buildFingerprint(heavier)).not.toBe(buildFingerprint(leg));
    expect(buildFingerprint(legOf(input))).toBe(buildFingerprint(leg));
  });

  test('nothing is overwritten', async () => {
    await expect(exportFirmware({ folder, leg, ticks: 10, seed: 1, about: [] })).rejects.toThrow(
      /already has something in it/,
    );
  });
});

describe('a log', () => {
  const text = (): string =>
    readFileSync(join(folder, 'vectors.csv'), 'utf8').split('\n').slice(0, 40).join('\n');
  const read = async (change: (text: string) => string) => {
    const file = join(made, 'log.csv');
    writeFileSync(file, change(text()));
    return readControllerLog(file, 'log.csv');
  };

  test.each([
    [
      'no period',
      (t: string) => t.replace(/^# period_s.*\n/m, ''),
      /has no `# period_s:`.*# period_s: 0\.001/,
    ],
    ['no states', (t: string) => t.replace(/^# states.*\n/m, ''), /has no `# states:`/],
    ['a column missing', (t: string) => t.replace('load_N', 'load'), /`load_N`/],
    [
      'a torque without a number',
      (t: string) => {
        const lines = t.split('\n');
        const cells = lines.at(-1)!.split(',');
        return [
          ...lines.slice(0, -1),
          cells.map((cell, i) => (i === READ_COLUMNS.length ? '' : cell)).join(','),
        ].join('\n');
      },
      /log\.csv:40/,
    ],
  ])('%s is a fault', async (_, change, told) => {
    await expect(read(change)).rejects.toThrow(told);
  });

  test('without fingerprints it is read, and says none; more columns may follow', async () => {
    const log = await read((t) =>
      t
        .replace(/^# (controller|build): .*\n/gm, '')
        .split('\n')
        .map((line) => (line.startsWith('#') ? line : `${line},${line.startsWith('thigh') ? 'note' : '7'}`))
        .join('\n'),
    );
    expect(log.controller).toBeUndefined();
    expect(log.build).toBeUndefined();
    expect(log.phase.length).toBeGreaterThan(20);
  });
});
