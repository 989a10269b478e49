import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { wavBytes } from '../../store/test-wav.ts';
import { type Ran, striderule } from './test-command.ts';

const RATE = 48_000;
const folder = mkdtempSync(path.join(tmpdir(), 'striderule-sound-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

type Tone = readonly [amplitude: number, frequency: number];
function write(name: string, tones: readonly Tone[], gain = 1): void {
  const samples = Float64Array.from({ length: 2 * RATE }, (_, i) =>
    tones.reduce((sum, [a, f]) => sum + gain * a * Math.sin((2 * Math.PI * f * i) / RATE), 0),
  );
  writeFileSync(path.join(folder, name), wavBytes([samples], { kind: 'float', bits: 32 }));
}
const SWING: readonly Tone[] = [
  [0.002, 300],
  [0.001, 900],
  [0.0005, 2500],
];
write('cal.wav', [[0.1 * Math.SQRT2, 1000]]);
write('low.wav', [[0.1 * Math.SQRT2, 250]]);
write('swing.wav', SWING);
write('half.wav', SWING, 0.5);
write('near.wav', SWING, 0.9);
write('loud.wav', [[1.2, 300]]);
write('silent.wav', []);

const sound = (...words: string[]): Promise<Ran> => striderule(['drive', 'sound', ...words], folder);
const CALIBRATED = ['--calibrator', 'cal.wav', '--level', '94'];
const data = async (...words: string[]) =>
  JSON.parse((await sound(...words, '--json')).stdout).sound as Record<string, never>;

test('DRV-N5 level of a calibrated recording through the command', async () => {
  const heard = await data('swing.wav', ...CALIBRATED);
  expect(Math.abs(heard.level! - 54.0999)).toBeLessThan(0.005);
  expect(Math.abs(heard.plain! - 58.1913)).toBeLessThan(0.005);
  const { stdout } = await sound('swing.wav', ...CALIBRATED);
  expect(stdout).toMatch(/^swing\.wav: 54\.1 dB\(A\), distance not stated\./);
  for (const told of ['give --distance', 'Automatic gain must be off', 'local codes', 'tethered bench'])
    expect(stdout.replace(/\s+/g, ' ')).toContain(told);
});

test('DRV-N6 background of half the pressure, and half the distance', async () => {
  const heard = await data(
    ...['swing.wav', ...CALIBRATED, '--background', 'half.wav', '--distance', '1m', '--at', '50cm'],
  );
  // half the pressure is 6.0206 dB below: K_1 = −10·log₁₀(1 − ¼)
  const { background, corrected, moved, level } = heard as unknown as {
    background: { above: number; correction: number };
    corrected: number;
    moved: { level: number };
    level: number;
  };
  expect(background.above).toBeCloseTo(20 * Math.log10(2), 4);
  expect(background.correction).toBeCloseTo(-10 * Math.log10(0.75), 4);
  expect(corrected).toBeCloseTo(level + 10 * Math.log10(0.75), 4);
  expect(moved.level - corrected).toBeCloseTo(20 * Math.log10(2), 6);
});

test('a background that is too near is not taken off, and the level is told as a bound', async () => {
  const { code, stdout } = await sound('swing.wav', ...CALIBRATED, '--background', 'near.wav');
  expect(code).toBe(0);
  expect(stdout).toContain('less than 3 dB below: it cannot be taken off');
  expect(stdout).not.toContain('is left');
});

test('two recordings without a calibrator: a difference, and no level anywhere', async () => {
  const { code, stdout } = await sound('half.wav', '--against', 'swing.wav');
  expect(code).toBe(0);
  expect(stdout).toMatch(/^half\.wav is 6\.0 dB\(A\) quieter\. No calibrator, so no level\./);
  expect(stdout).not.toMatch(/L_Aeq/);
  const heard = await data('half.wav', '--against', 'swing.wav');
  expect(heard.level).toBeNull();
  expect(heard.plain).toBeNull();
});

test('a calibrator that is no tone at 1 kHz is pointed out', async () => {
  const { stdout } = await sound('swing.wav', '--calibrator', 'low.wav', '--level', '94');
  // −8.6 dB at 250 Hz by the printed table of the weighting, to its last digit and rounding
  expect(stdout).toMatch(/is −8\.[67] dB away from a tone at 1 kHz/);
});

test.each([
  [['swing.wav'], 2, 'a recording without a calibrator has no level'],
  [['swing.wav', '--calibrator', 'cal.wav'], 2, '--calibrator needs its level. Give both'],
  [['swing.wav', '--level', '94'], 2, '--level is the calibrator’s, and there is none.'],
  [['swing.wav', '--calibrator', 'cal.wav', '--level', 'loud'], 2, '--level "loud" is no number.'],
  [
    ['swing.wav', '--against', 'half.wav', '--background', 'near.wav'],
    2,
    '--background is taken off a level',
  ],
  [['swing.wav', ...CALIBRATED, '--at', '1m'], 2, '--at needs a level and the distance'],
  [['swing.wav', ...CALIBRATED, '--distance', '0m'], 2, '--distance "0m" is not above zero.'],
  [['swing.wav', ...CALIBRATED, '--channel', '0'], 2, '--channel "0" is no channel.'],
  [['loud.wav', ...CALIBRATED], 1, 'loud.wav: the sample at 0.001 s stands at full scale'],
  [['silent.wav', ...CALIBRATED], 1, 'silent.wav: every sample of this recording is the same'],
  [
    ['swing.wav', '--calibrator', 'silent.wav', '--level', '94'],
    1,
    'silent.wav: every sample of the calibrator’s recording',
  ],
  [['none.wav', ...CALIBRATED], 1, 'none.wav: there is no such file.'],
] as const)('%j is refused', async (words, code, text) => {
  const ran = await sound(...words);
  expect(ran.stderr).toContain(text);
  expect(ran.stdout).toBe('');
  expect(ran.code).toBe(code);
});
