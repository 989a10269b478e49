import { execFileSync } from 'node:child_process';
import path from 'node:path';
import { expect, test } from 'vitest';
import { ankleFirstLook } from './ankle-first-look.ts';

const number = (text: string, after: RegExp): number => Number(after.exec(text)?.[1]);

test('the worked example of docs/demand.md: 125 N·m at the ankle, 6.1 N·m at the motor before drag and inertia', async () => {
  const text = await ankleFirstLook();
  expect(text).toContain('DEMO DATA');
  // Hand calculation of the chapter: 82 kg × 1.53 N·m/kg = 125.5 N·m. The task walks at 1.22 m/s and the published 1.53 is for
  // 1.2 m/s; the treadmill regression 0.584 + 1.148·v − 0.299·v² moves between the two by under 1 %.
  const moment = number(text, /peaks at ([\d.]+) N·m \(plantarflexor/);
  expect(Math.abs(moment / (82 * 1.53) - 1)).toBeLessThan(0.01);
  // Still joint behind 22:1 with 0.94 of the mesh: 125.5/(22·0.94) = 6.07 N·m. At push-off drag (0.05 N·m) and the gears'
  // own friction (0.1/(22·0.94) = 0.005 N·m) add, and the rotor's N·J·θ̈ = 22·2.348e-4·θ̈ moves it by 5.2e-3 N·m for each rad/s².
  const motor = number(text, /motor torque {3}peaks at ([\d.]+)/);
  expect(Math.abs(motor - (82 * 1.53) / (22 * 0.94))).toBeLessThan(0.5);
});

test('it runs as its first lines say', () => {
  const program = path.join(import.meta.dirname, 'ankle-first-look.ts');
  const text = execFileSync(process.execPath, ['--import', 'tsx', program], {
    cwd: path.dirname(import.meta.dirname),
    encoding: 'utf8',
  });
  expect(text).toMatch(/^motor torque/m);
});
