import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { evaluateDesign, jointBandwidth, legTouchdown } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, copyOfDemo, striderule } from './test-command.ts';

describe('drive bandwidth', () => {
  test('one line first, then each number with amplitude, bus and load, touchdown by ratio, cautions', async () => {
    const { code, stdout } = await striderule(['drive', 'bandwidth']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^To and fro on a 44\.4 V bus: knee ±[\d.]+ N·m to [\d.]+ Hz, ±5\.73° to /);
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'output locked',
      'rotor locked',
      'shank and foot',
      'peak phase',
      'bus lets pass',
      'without rotors',
      '100:1, same motors',
      'upper bound',
      'End stop, unpowered',
      'No formula gives a level in dB(A)',
      'Not known: cogging: add `motor.cogging`',
      'ethics board',
    ])
      expect(stdout.replace(/\s+/g, ' ')).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null|Held by/);
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule(['drive', 'bandwidth', '--joint', 'knee', '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    const design = evaluateDesign(input);
    const told = JSON.parse(stdout);
    expect(told.joints).toHaveLength(1);
    expect(told.joints[0].bandwidth).toEqual(asJson(jointBandwidth(input, design, 'knee')));
    expect(told.touchdown).toEqual(asJson(legTouchdown(input, design)));
    expect(told.byRatio.map(({ ratio }: { ratio: number }) => ratio)).toEqual([9, 22, 50, 100]);
    // the leg's own ratio is one of them
    expect(told.byRatio[1].touchdown).toEqual(told.touchdown);
  });

  test('a rendered spring, and that its three options belong together', async () => {
    const { stdout } = await striderule([
      ...['drive', 'bandwidth', '--joint', 'knee'],
      ...['--stiffness', '200N*m/rad', '--damping', '9N*m*s/rad', '--period', '1ms'],
    ]);
    expect(stdout).toContain('Held by 200 N·m/rad and 9.00 N·m·s/rad each 1.00 ms');
    expect(stdout).toContain('not passive at any stiffness');
    const alone = await striderule(['drive', 'bandwidth', '--stiffness', '200N*m/rad']);
    expect(alone.code).toBe(2);
    expect(alone.stderr).toContain('--stiffness, --damping and --period belong together.');
    const unit = await striderule(['drive', 'bandwidth', '--stiffness', '200']);
    expect(unit.code).toBe(2);
    expect(unit.stderr).toMatch(/^--stiffness: /);
  });

  test('teeth and cogging of the leg file become tones; what else is missing is named', async () => {
    const study = copyOfDemo();
    const file = path.join(study, 'legs/tern.yaml');
    const text = readFileSync(file, 'utf8');
    writeFileSync(
      file,
      text
        .replace(
          'ratio: 22\n',
          'ratio: 22\n      stages:\n' +
            '        - { kind: planetary, ratio: 4.4, teeth: { sun: 20, planet: 24, ring: 68 } }\n' +
            '        - { kind: planetary, ratio: 5, teeth: { sun: 18, planet: 27, ring: 72 } }\n',
        )
        .replace(
          'catalogue: SR-F92-14\n',
          'catalogue: SR-F92-14\n      cogging: { amplitude: 0.02 N*m, order: 84 }\n',
        )
        .replace('endStop: { stiffness: 3000 N*m/rad, damping: 2 N*m*s/rad }\n    motor', 'motor')
        .replace('      switchingFrequency: 20 kHz\n', '')
        .replace('  heelStiffness: 4e5 N/m^1.5\n', ''),
    );
    const { code, stdout } = await striderule(['drive', 'bandwidth', '--joint', 'knee', '--study', study]);
    expect(code).toBe(0);
    const row = /^run-2p5\s+([\d.]+)\s+(\d+)\s+(\d+)\s+(\d+)\s+(\d+)\s+(\d+)$/m.exec(stdout)!;
    const [speed, electrical, ripple, cogging, first, second] = row.slice(1).map(Number) as [
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    const turns = speed / (2 * Math.PI);
    // printed to three figures of the shaft's speed
    for (const [got, want] of [
      [electrical, 20 * turns],
      [ripple, 120 * turns],
      [cogging, 84 * turns],
      [first, (turns / 4.4) * 68],
      [second, (turns / 22) * 72],
    ] as const)
      expect(Math.abs(got / want - 1)).toBeLessThan(5e-3);
    for (const told of [
      'End stop: not known, the leg file has no `endStop` for the knee',
      'Current loop: not known, the leg file’s `electronics` of the knee have no `switchingFrequency`',
      'Touchdown: not known, the leg file’s `foot` has no `heelStiffness`',
      'Not known: carrier: add `electronics.switchingFrequency`.',
    ])
      expect(stdout.replace(/\s+/g, ' ')).toContain(told);
  });

  test('a leg that drives no joint still touches the ground', async () => {
    const { code, stdout } = await striderule(['drive', 'bandwidth', '--leg', 'passive']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^This leg drives no joint: it has no bandwidth\./);
    expect(stdout).toContain('Touchdown: heel at 0.5 m/s');
    expect(stdout).not.toContain('same motors');
  });
});
