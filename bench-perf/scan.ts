import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { StudyInput } from '@striderule/engine';
import { fullScan, fullScanRoom } from '../engine/drive/full-scan.ts';
import { linearScan, linearScanRoom } from '../engine/drive/linear-scan.ts';
import { gramOf, gramScan } from '../engine/drive/scan-gram.ts';
import { peakPoints, peakTorqueScan, peakVoltageScan } from '../engine/drive/scan-peaks.ts';
import { ROW } from '../engine/drive/scan-samples.ts';
import {
  FULL,
  LINEAR,
  type PeerScan,
  peerInC,
  peerInNumPy,
  worstDifference,
  writeScanInput,
} from './scan-peers.ts';
import { scanWorkload } from './scan-workload.ts';

const CANDIDATES = 1000;
const ROUNDS = 9;
/** Runs a round, of which the fastest counts: in every language alike. */
const REPEATS = 5;

const median = (x: readonly number[]): number => x.toSorted((a, b) => a - b)[Math.floor(x.length / 2)]!;

/** Processor seconds: other work on the machine takes turns with this, and its turns are not counted. */
function least(work: () => void): number {
  let best = Number.POSITIVE_INFINITY;
  for (let k = 0; k < REPEATS; k++) {
    const start = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(start);
    best = Math.min(best, (user + system) / 1e6);
  }
  return best;
}

/**
 * Candidates a second of processor time of the scan's kernels, beside the same loops in C and the linear one in NumPy, in turn in the same run,
 * with the same results. Must reach: full model 18,000/s, linear 100,000/s and 1.2 times NumPy, C no more than twice as fast.
 */
export function scanTime(input: StudyInput): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'striderule-scan-'));
  try {
    const { samples, candidates } = scanWorkload(input, CANDIDATES);
    const tasks = samples.start.length - 1;
    const linear = linearScanRoom(CANDIDATES, tasks);
    const full = fullScanRoom(CANDIDATES, tasks);
    const file = path.join(folder, 'in');
    writeScanInput(file, samples, candidates);
    const peers = { c: peerInC(folder), numpy: peerInNumPy(folder) };

    const gram = gramOf(samples);
    const points = {
      torque: peakPoints(samples, candidates, 'torque'),
      voltage: peakPoints(samples, candidates, 'voltage'),
    };
    const squares = {
      torqueSquare: new Float64Array(CANDIDATES * tasks),
      netPower: new Float64Array(CANDIDATES * tasks),
    };
    const peaks = new Float64Array(CANDIDATES);
    const algebra = (): void => {
      gramScan(gram, candidates, squares);
      peakTorqueScan(points.torque, candidates, peaks);
      peakVoltageScan(points.voltage, candidates, peaks);
    };

    const seconds: Record<'linear' | 'full' | 'algebra' | 'cLinear' | 'cFull' | 'numpy', number[]> = {
      linear: [],
      full: [],
      algebra: [],
      cLinear: [],
      cFull: [],
      numpy: [],
    };
    let c: PeerScan | undefined;
    let numpy: PeerScan | undefined;
    // the first round is thrown away: code is still being compiled
    for (let round = -1; round < ROUNDS; round++) {
      const keep = (name: keyof typeof seconds, value: number): void => {
        if (round >= 0) seconds[name].push(value);
      };
      keep(
        'linear',
        least(() => linearScan(samples, candidates, linear)),
      );
      if (typeof peers.c === 'function') {
        c = peers.c(file, REPEATS);
        keep('cLinear', c.linearSeconds);
        keep('cFull', c.fullSeconds!);
      }
      keep(
        'full',
        least(() => fullScan(samples, candidates, full)),
      );
      if (typeof peers.numpy === 'function') {
        numpy = peers.numpy(file, REPEATS);
        keep('numpy', numpy.linearSeconds);
      }
      keep('algebra', least(algebra));
    }
    for (const [name, difference] of [
      ['C, linear', c && worstDifference(linear, c.linear, LINEAR)],
      ['C, full', c?.full && worstDifference(full, c.full, FULL)],
      ['NumPy', numpy && worstDifference(linear, numpy.linear, LINEAR)],
    ] as const)
      if (difference !== undefined && !(difference < 1e-12))
        throw new Error(`${name} differs by ${difference}`);

    const rate = (name: keyof typeof seconds): string => {
      const times = seconds[name];
      const thousands = (s: number): string => (CANDIDATES / s / 1000).toFixed(CANDIDATES / s > 1e6 ? 0 : 1);
      return `${thousands(median(times))} k/s (${thousands(Math.max(...times))} … ${thousands(Math.min(...times))})`;
    };
    // of each round, so that a machine that slows down slows both
    const ratio = (slow: keyof typeof seconds, quick: keyof typeof seconds): string =>
      median(seconds[slow].map((s, k) => s / seconds[quick][k]!)).toFixed(2);
    const missing = (peer: typeof peers.c): string =>
      typeof peer === 'function' ? '' : `not measured, ${peer.missing}`;
    return [
      `Ratio scan, ${CANDIDATES} candidates on ${samples.rows.length / ROW} samples of ${tasks} strides, processor time of one core, ${ROUNDS} rounds`,
      `  full model       ${rate('full')}   (must reach 18 k/s)`,
      `  in C             ${missing(peers.c) || `${rate('cFull')}   C ÷ JavaScript ${ratio('full', 'cFull')}`}`,
      `  linear model     ${rate('linear')}   (must reach 100 k/s)`,
      `  in C             ${missing(peers.c) || `${rate('cLinear')}   C ÷ JavaScript ${ratio('linear', 'cLinear')} (at most 2)`}`,
      `  in NumPy         ${missing(peers.numpy) || `${rate('numpy')}   JavaScript ÷ NumPy ${ratio('numpy', 'linear')} (must reach 1.2)`}`,
      `  linear, algebra  ${rate('algebra')}   ${points.torque.length / 5} samples can be the peak torque, ${points.voltage.length / 5} the peak voltage`,
      `  algebra ÷ direct ${ratio('linear', 'algebra')}   mean squares, net power and peaks; drawn and returned apart only directly`,
    ].join('\n');
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
