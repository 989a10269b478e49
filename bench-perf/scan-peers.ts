import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { FullScan } from '../engine/drive/full-scan.ts';
import type { LinearScan } from '../engine/drive/linear-scan.ts';
import type { ScanCandidates } from '../engine/drive/scan-candidates.ts';
import { ROW, type ScanSamples } from '../engine/drive/scan-samples.ts';

const HERE = import.meta.dirname;

/** Columns in the order in which the other two languages read and write them. */
const CANDIDATE = [
  'ratio',
  'driving',
  'driven',
  'inertia',
  'viscous',
  'coulomb',
  'torqueConstant',
  'saturation',
  'resistance',
  'fluxLinkage',
  'inductance',
  'polePairs',
  'voltageShare',
  'busVoltage',
  'busResistance',
] as const;
export const LINEAR = ['peakTorque', 'rmsTorque', 'peakVoltage', 'copper', 'drawn', 'returned'] as const;
export const FULL = [
  'peakTorque',
  'rmsTorque',
  'peakCurrent',
  'speedMargin',
  'busVoltage',
  'copper',
  'drawn',
  'returned',
] as const;

/** Writes the input of both. */
export function writeScanInput(file: string, s: ScanSamples, c: ScanCandidates): void {
  const numbers = [
    [s.start.length - 1, s.rows.length / ROW, c.count],
    s.start,
    s.rows,
    ...CANDIDATE.map((name) => c[name].subarray(0, c.count)),
  ];
  writeFileSync(file, Float64Array.from(numbers.flatMap((list) => Array.from(list))));
}

/** What a peer computed, and how long a run took, s. */
export interface PeerScan {
  readonly linear: LinearScan;
  readonly linearSeconds: number;
  readonly full?: FullScan;
  readonly fullSeconds?: number;
}

/** A peer that can be run on an input file, or why there is none here. */
export type Peer = ((input: string, repeats: number) => PeerScan) | { readonly missing: string };

function run(command: string, args: readonly string[]): string {
  const { status, stdout, stderr, error } = spawnSync(command, args, {
    encoding: 'utf8',
    env: { ...process.env, OPENBLAS_NUM_THREADS: '1', OMP_NUM_THREADS: '1' },
  });
  if (status !== 0) throw new Error(`${command} ${args.join(' ')}: ${error?.message ?? stderr}`);
  return stdout;
}

const here = (command: string, args: readonly string[]): boolean =>
  spawnSync(command, args, { stdio: 'ignore' }).status === 0;

/** Columns of a result file, from column `first` on. */
function columns<Name extends string>(
  file: string,
  names: readonly Name[],
  first: number,
  all: number,
): { readonly [name in Name]: Float64Array } {
  const bytes = readFileSync(file);
  const values = new Float64Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
  const size = values.length / all;
  return Object.fromEntries(
    names.map((name, k) => [name, values.subarray((first + k) * size, (first + k + 1) * size)]),
  ) as { [name in Name]: Float64Array };
}

/** scan.c, compiled into `folder` with strict arithmetic: no fused, no reordered operations. */
export function peerInC(folder: string): Peer {
  if (!here('cc', ['--version'])) return { missing: 'no C compiler `cc` here' };
  const program = path.join(folder, 'scan');
  run('cc', ['-O3', '-ffp-contract=off', '-o', program, path.join(HERE, 'scan.c'), '-lm']);
  return (input, repeats) => {
    const output = path.join(folder, 'c.out');
    const [linearSeconds, fullSeconds] = run(program, [input, output, String(repeats)])
      .split(' ')
      .map(Number);
    return {
      linear: columns(output, LINEAR, 0, LINEAR.length + FULL.length),
      linearSeconds: linearSeconds!,
      full: columns(output, FULL, LINEAR.length, LINEAR.length + FULL.length),
      fullSeconds: fullSeconds!,
    };
  };
}

/** scan.py, with the NumPy that is here. */
export function peerInNumPy(folder: string): Peer {
  if (!here('python3', ['-c', 'import numpy'])) return { missing: 'no python3 with numpy here' };
  return (input, repeats) => {
    const output = path.join(folder, 'numpy.out');
    const [seconds] = run('python3', [path.join(HERE, 'scan.py'), input, output, String(repeats)]).split(' ');
    return { linear: columns(output, LINEAR, 0, LINEAR.length), linearSeconds: Number(seconds) };
  };
}

/**
 * Largest difference of two results over all entries, relative to the larger of the column's own value and, where two powers are
 * nearly all of their sum, that sum; a number against none is without bound.
 */
export function worstDifference<Name extends string>(
  ours: { readonly [name in Name]: Float64Array },
  theirs: { readonly [name in Name]: Float64Array },
  names: readonly Name[],
): number {
  let worst = 0;
  const flow = (k: number): number =>
    ((ours as { drawn?: Float64Array }).drawn?.[k] ?? 0) +
    ((ours as { returned?: Float64Array }).returned?.[k] ?? 0);
  for (const name of names) {
    const power = name === 'drawn' || name === 'returned';
    for (let k = 0; k < ours[name].length; k++) {
      const [a, b] = [ours[name][k]!, theirs[name][k]!];
      if (Object.is(a, b)) continue;
      const difference = Math.abs(a - b) / (power ? flow(k) : Math.abs(a));
      worst = Number.isNaN(difference) ? Number.POSITIVE_INFINITY : Math.max(worst, difference);
    }
  }
  return worst;
}
