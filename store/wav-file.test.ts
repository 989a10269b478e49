import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Fault } from '@striderule/engine';
import { afterAll, expect, test } from 'vitest';
import { chunk, riff, wavBytes } from './test-wav.ts';
import { readWav } from './wav-file.ts';

const folder = mkdtempSync(join(tmpdir(), 'striderule-wav-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const file = (bytes: Buffer): string => {
  const path = join(folder, 'a.wav');
  writeFileSync(path, bytes);
  return path;
};
const wave = Float64Array.from({ length: 500 }, (_, i) => 0.7 * Math.sin(i / 7) - 0.1);

test.each([
  ['pcm', 8, false, 1 / 2 ** 8],
  ['pcm', 16, false, 1 / 2 ** 16],
  ['pcm', 24, true, 1 / 2 ** 24],
  ['pcm', 32, false, 1 / 2 ** 32],
  ['float', 32, false, 2 ** -24],
  ['float', 64, true, 0],
] as const)(
  '%s of %i bits, extensible %s, comes back to half its last place',
  (kind, bits, extensible, half) => {
    const { rate, samples } = readWav(
      file(wavBytes([wave], { kind, bits, extensible, rate: 44_100 })),
      'a.wav',
    );
    expect(rate).toBe(44_100);
    expect(samples.length).toBe(500);
    for (let i = 0; i < 500; i++) expect(Math.abs(samples[i]! - wave[i]!)).toBeLessThanOrEqual(half);
  },
);

test('one of several channels, and only one that is named', () => {
  const path = file(wavBytes([wave, wave.map((x) => -x / 2)]));
  expect(readWav(path, 'a.wav', 2).samples[40]).toBeCloseTo(-wave[40]! / 2, 4);
  expect(() => readWav(path, 'a.wav')).toThrow(
    'a.wav: this file has 2 channels. Name one with --channel, 1 to 2.',
  );
  expect(() => readWav(path, 'a.wav', 3)).toThrow('a.wav: there is no channel 3 of 2. Name one from 1 to 2.');
});

test('a clipped sample is refused with its time, above and below', () => {
  for (const full of [1, -1]) {
    const loud = wave.slice();
    loud[480] = full * 0.9999;
    expect(() => readWav(file(wavBytes([loud], { rate: 48_000 })), 'a.wav')).toThrow(
      'a.wav: the sample at 0.010 s stands at full scale: what is louder was cut off. Record again with less gain, automatic gain off.',
    );
  }
});

test('a sample that is no number is refused', () => {
  const broken = wave.slice();
  broken[0] = Number.NaN;
  expect(() => readWav(file(wavBytes([broken], { kind: 'float', bits: 32 })), 'a.wav')).toThrow(
    'the sample at 0.000 s is no number',
  );
});

const whole = wavBytes([wave]);
test.each([
  ['text', Buffer.from('percent,angle\n0,1\n'), 'this is no WAV file'],
  ['nothing', Buffer.alloc(0), 'this is no WAV file'],
  ['cut short', whole.subarray(0, whole.length - 300), '`data` should hold 1000 bytes, and 700 are there'],
  ['without samples', wavBytes([new Float64Array(0)]), 'there are no samples'],
  ['without a data chunk', riff([chunk('LIST', Buffer.from('note'))]), 'there are no samples'],
  ['samples before format', riff([chunk('data', Buffer.alloc(4))]), 'samples come before their format'],
])('%s', (_, bytes, text) => {
  let fault: unknown;
  try {
    readWav(file(bytes), 'a.wav');
  } catch (error) {
    fault = error;
  }
  expect(fault).toBeInstanceOf(Fault);
  expect((fault as Fault).message).toContain(text);
});

test('a compressed format and half a frame are named', () => {
  const compressed = Buffer.from(whole);
  // the format follows RIFF head and the odd LIST chunk: its number stands 8 bytes after `fmt `
  compressed.writeUInt16LE(0x55, compressed.indexOf('fmt ') + 8);
  expect(() => readWav(file(compressed), 'a.wav')).toThrow('format 85 of 16 bits is not read here');
  const format = whole.subarray(whole.indexOf('fmt ') + 8, whole.indexOf('fmt ') + 24);
  expect(() => readWav(file(riff([chunk('fmt ', format), chunk('data', Buffer.alloc(3))])), 'a.wav')).toThrow(
    'the last frame of samples is not whole',
  );
});

test('no file, and a folder', () => {
  expect(() => readWav(join(folder, 'none.wav'), 'none.wav')).toThrow(
    'none.wav: there is no such file. Correct its name.',
  );
  expect(() => readWav(folder, 'folder')).toThrow('folder: this is not a file. Name a WAV file.');
});
