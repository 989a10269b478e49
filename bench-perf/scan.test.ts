// The kernels in three languages on one small set: not timed, only compared.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { openStudy } from '@striderule/store';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type FullScan, fullScan, fullScanRoom } from '../engine/drive/full-scan.ts';
import { type LinearScan, linearScan, linearScanRoom } from '../engine/drive/linear-scan.ts';
import { FULL, LINEAR, peerInC, peerInNumPy, worstDifference, writeScanInput } from './scan-peers.ts';
import { scanWorkload } from './scan-workload.ts';

const COUNT = 101; // odd, so that the last candidate is its own partner
const folder = mkdtempSync(path.join(tmpdir(), 'striderule-scan-'));
const file = path.join(folder, 'in');
let linear: LinearScan;
let full: FullScan;

beforeAll(async () => {
  const { input } = await openStudy(path.join(import.meta.dirname, '../examples/tern'));
  const { samples, candidates } = scanWorkload(input, COUNT);
  const tasks = samples.start.length - 1;
  linear = linearScanRoom(COUNT, tasks);
  full = fullScanRoom(COUNT, tasks);
  linearScan(samples, candidates, linear);
  fullScan(samples, candidates, full);
  writeScanInput(file, samples, candidates);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('JavaScript and C agree, linear and full', ({ skip }) => {
  const c = peerInC(folder);
  if (typeof c !== 'function') return skip(c.missing);
  const theirs = c(file, 1);
  expect(worstDifference(linear, theirs.linear, LINEAR)).toBeLessThan(1e-12);
  expect(worstDifference(full, theirs.full!, FULL)).toBeLessThan(1e-12);
});

test('JavaScript and NumPy agree on the linear model', ({ skip }) => {
  const numpy = peerInNumPy(folder);
  if (typeof numpy !== 'function') return skip(numpy.missing);
  expect(worstDifference(linear, numpy(file, 1).linear, LINEAR)).toBeLessThan(1e-12);
});

test('a difference would be seen, and a gap on one side only', () => {
  const other = { ...linear, copper: linear.copper.map((x, k) => (k === 7 ? x * (1 + 1e-9) : x)) };
  expect(worstDifference(linear, other, LINEAR)).toBeGreaterThan(1e-10);
  other.copper[7] = Number.NaN;
  expect(worstDifference(linear, other, LINEAR)).toBe(Number.POSITIVE_INFINITY);
});
