import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { swingAt, swingFollow, swingSteadiness, swingWhatIf } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, copyOfDemo, striderule } from './test-command.ts';

describe('control swing', () => {
  test('one line first, then the tasks, hold and pace, what if, what is not judged, cautions', async () => {
    const { code, stdout } = await striderule(['control', 'swing']);
    expect(code).toBe(0);
    expect(stdout).toMatch(
      /^Swing by latched thigh map with play: knee command within [\d.]+° RMS of the stride/,
    );
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'held, the phase stays; pace does not matter.',
      'stair-down: From toe-off to its peak the thigh moves 8.5°',
      'run-2p5: its stride has no thigh angle.',
      'DANGER: a thigh that comes a fifth short',
      'a foot held up over an edge moves',
      '4 level-walking tasks, linear in speed',
      'ethics board',
    ])
      expect(stdout.replace(/\s+/g, ' ')).toContain(told);
    expect(stdout).toMatch(/^stair-up .* waits /m);
    expect(stdout).toMatch(/^walk-natural .* finishes /m);
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule(['control', 'swing', '--task', 'walk-natural', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    const { tasks } = JSON.parse(stdout);
    expect(tasks).toHaveLength(1);
    expect(tasks[0].follow).toEqual(asJson(swingFollow(input, 'walk-natural')));
    expect(tasks[0].steadiness).toEqual(asJson(swingSteadiness(input, 'walk-natural')));
    expect(tasks[0].whatIf).toEqual(asJson(swingWhatIf(input, 'walk-natural')));
  });

  test('another phase to compare with, and --csv', async () => {
    const { stdout } = await striderule([
      ...['control', 'swing', '--task', 'walk-natural', '--phase', 'oscillator'],
    ]);
    expect(stdout).toMatch(/^Swing by adaptive oscillator: .*held,\s+the\s+phase moves by \d/);
    expect(stdout).toContain('walks on while the wearer stands');
    expect(stdout).not.toContain('What if');
    const table = await striderule(['control', 'swing', '--csv']);
    const [head, ...rows] = table.stdout.trim().split('\n');
    expect(head).toContain('knee_rms_rad');
    expect(rows.map((row) => row.split(',')[0])).toContain('walk-fast');
    const columns = head!.split(',').length;
    for (const row of rows) expect(row.split(',')).toHaveLength(columns);
  });

  test('--finish off waits where it would have finished', async () => {
    const { stdout } = await striderule(['control', 'swing', '--task', 'walk-natural', '--finish', 'off']);
    expect(stdout).toMatch(/^walk-natural .* waits /m);
  });

  test('words it does not know, and a leg file without a controller', async () => {
    const phase = await striderule(['control', 'swing', '--phase', 'latched']);
    expect(phase.code).toBe(2);
    expect(phase.stderr).toContain('--phase "latched"');
    const study = copyOfDemo();
    const file = path.join(study, 'legs/tern.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replace(/^controllerHardware:.*\n/m, ''));
    const { code, stdout } = await striderule(['control', 'swing', '--study', study]);
    expect(code).toBe(0);
    expect(stdout.replace(/\s+/g, ' ')).toMatch(/^No swing can be judged: .*add `controllerHardware`/);
  });

  test('--speed gives the fit at a speed that no task has; an incline that nobody walked is refused', async () => {
    const { code, stdout } = await striderule(['control', 'swing', '--speed', '1.1m/s', '--csv']);
    expect(code).toBe(0);
    const rows = stdout.trim().split(/\r?\n/);
    expect(rows[0]).toBe('place,thigh_rad,knee_rad,ankle_rad');
    const { input } = await openStudy(DEMO_STUDY);
    const at = swingAt(input, { speed: 1.1, incline: 0 });
    if ('openBecause' in at) throw new Error(at.openBecause);
    // at contact a series is the sum of its cosines
    const atContact = [at.thigh, at.knee, at.ankle].map((of) =>
      of.reduce((sum, x, k) => (k === 1 || (k > 1 && k % 2 === 0) ? sum + x : sum), 0),
    );
    rows[1]!
      .split(',')
      .slice(1)
      .forEach((cell, k) => {
        expect(Number(cell)).toBeCloseTo(atContact[k]!, 9);
      });
    const steep = await striderule(['control', 'swing', '--speed', '1.1m/s', '--incline=-3deg']);
    expect(steep.code).toBe(1);
    expect(steep.stderr.replace(/\s+/g, ' ')).toContain(
      'an incline of -3.0° was not fitted: the strides that were fitted were walked on the level. Ask within that, or import strides',
    );
    const alone = await striderule(['control', 'swing', '--incline', '3deg']);
    expect(alone.stderr).toContain('an incline alone is no walk. Add `--speed`');
  });
});
