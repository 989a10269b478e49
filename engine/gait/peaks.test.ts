import { publishedPeaks } from '@striderule/reference';
import { expect, test } from 'vitest';
import { peaksDemand } from './peaks.ts';

test('peaks scale with body mass, keep their speed, and say what they cannot', () => {
  const peaks = publishedPeaks();
  const of = (id: string) =>
    peaksDemand(
      { kind: 'peaks', duty: {}, ...peaks[id] },
      { code: 'T', mass: 80, height: 1.75, side: 'left' },
    );
  // Yoshioka and others (2007): knee 0.51–1.97 N·m/kg, here at 80 kg
  expect(of('rise-from-chair').joints.knee?.moment?.low).toBeCloseTo(40.8, 9);
  expect(of('rise-from-chair').joints.knee?.moment?.high).toBeCloseTo(157.6, 9);
  expect(of('rise-from-chair').joints.knee?.speed).toBeUndefined();
  expect(of('rise-from-chair').notes[0]).toBe('Peaks only, no curve: no heat, no energy.');
  expect(of('rise-from-chair').notes[1]).toContain('BioMedical Engineering OnLine');
  // running at 2.5 m/s: 632 °/s of knee extension
  expect(of('run').joints.knee?.speed?.high).toBeCloseTo((632 * Math.PI) / 180, 3);
  expect(of('run').joints.knee?.moment).toBeUndefined();
});
