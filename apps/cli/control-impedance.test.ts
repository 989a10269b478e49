import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { burdenByRatio, evaluateDesign, jointImpedance } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { describe, expect, test } from 'vitest';
import { DEMO_MARK } from './heading.ts';
import { DEMO_STUDY } from './study-place.ts';
import { asJson, copyOfDemo, striderule } from './test-command.ts';

const STIFF = ['--stiffness', '200N*m/rad', '--damping', '4N*m*s/rad'];

describe('control impedance', () => {
  test('both verdicts first, then asked and rendered, limits, encoder, burden by ratio, cautions', async () => {
    const { code, stdout } = await striderule(['control', 'impedance', ...STIFF]);
    expect(code).toBe(0);
    expect(stdout).toMatch(
      /^Asked for 200 N·m\/rad and 4\.00 N·m·s\/rad: knee stable, not passive, stiffness within a tenth to [\d.]+ Hz; ankle /,
    );
    expect(stdout).toContain(DEMO_MARK);
    for (const told of [
      'angle measured at the motor',
      'asked rendered',
      'a push fades to a third in',
      'Largest stable stiffness',
      'Rotor inertia taken off by measured motion',
      'Encoder at the motor',
      'Tuning burden of the knee in stance',
      '100:1',
      'emergency stop',
      'leave no margin',
      'ethics board',
    ])
      expect(stdout.replace(/\s+/g, ' ')).toContain(told);
    expect(stdout).not.toMatch(/NaN|undefined|null/);
  });

  test('--json equals the engine', async () => {
    const { stdout } = await striderule(['control', 'impedance', '--joint', 'ankle', ...STIFF, '--json']);
    const { input } = await openStudy(DEMO_STUDY);
    const told = JSON.parse(stdout);
    expect(told.joints).toHaveLength(1);
    expect(told.joints[0].impedance).toEqual(
      asJson(jointImpedance(input, 'ankle', { stiffness: 200, damping: 4 })),
    );
    expect(told.joints[0].burden).toEqual(
      asJson(burdenByRatio(input, evaluateDesign(input), 'ankle', told.task)),
    );
  });

  test('--csv: a row each joint and frequency', async () => {
    const { stdout } = await striderule(['control', 'impedance', '--csv']);
    const lines = stdout.trim().split('\n');
    expect(lines[0]).toMatch(/^joint,frequency_Hz,asked_stiffness_Nm_per_rad,/);
    expect(lines).toHaveLength(1 + 2 * 7);
  });

  test('gains that ring are called unstable, and stiffer than the gears is refused', async () => {
    const wild = await striderule([
      ...['control', 'impedance', '--joint', 'ankle'],
      ...['--stiffness', '850N*m/rad', '--damping', '4N*m*s/rad'],
    ]);
    expect(wild.stdout).toMatch(/ankle UNSTABLE, not passive/);
    expect(wild.stdout).toContain('it grows, by');
    const stiff = await striderule(['control', 'impedance', '--joint', 'ankle', '--stiffness', '950N*m/rad']);
    expect(stiff.code).toBe(0);
    expect(stiff.stdout.replace(/\s+/g, ' ')).toContain('no software makes the joint as stiff as 950');
  });

  test('a leg file without controller is open and says what to add; a leg without motors renders nothing', async () => {
    const study = copyOfDemo();
    const file = path.join(study, 'legs/tern.yaml');
    writeFileSync(file, readFileSync(file, 'utf8').replace(/^controllerHardware:.*\n/m, ''));
    const { code, stdout } = await striderule(['control', 'impedance', '--study', study]);
    expect(code).toBe(0);
    expect(stdout.replace(/\s+/g, ' ')).toContain('the leg file has no `controllerHardware`: add it');
    const passive = await striderule(['control', 'impedance', '--leg', 'passive']);
    expect(passive.stdout).toMatch(/^This leg drives no joint: it renders nothing\./);
  });

  test('a quantity without its unit is not understood', async () => {
    const { code, stderr } = await striderule(['control', 'impedance', '--stiffness', '200']);
    expect(code).toBe(2);
    expect(stderr).toMatch(/^--stiffness: /);
  });
});
