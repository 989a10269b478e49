import type { StudyInput } from './study-input.ts';
import { isWalked, type WalkMetric, walkMetrics } from './walk-metrics.ts';

/** One thing that is walked for the ledger; every requirement that it can judge shares it. */
export interface LedgerWalk {
  readonly by: WalkMetric['by'];
  /** m/s */
  readonly speed: number;
  readonly thigh: 'prescribed' | 'led';
  readonly control: 'clock' | 'study';
}

/** Slow, brisk and fast walking of most adults, m/s. Our choice. */
const SPEEDS = [0.8, 1.1, 1.4] as const;
/** How long and how finely: strides of a walk, s of its step. Our choice, that of `walk run`. */
export const LEDGER_WALK = { strides: 20, step: 2.5e-4 } as const;
/** Name of one thing to walk, and the words for it. */
export const ledgerWalkName = ({ by, speed, thigh, control }: LedgerWalk): string =>
  `${by === 'walk' ? '' : `${by}, `}${speed} m/s, thigh ${thigh}, ${control === 'clock' ? 'paced by a clock' : 'the study’s controller'}`;

/** What one requirement is judged by; nothing where no walk judges its metric. Faults are mapped under the study's controller alone. */
export function walksOf({
  metric,
  speed,
  thigh,
  control = 'clock',
}: StudyInput['requirements'][number]): readonly LedgerWalk[] {
  if (!isWalked(metric)) return [];
  const { by } = walkMetrics[metric]!;
  const speeds = speed === undefined ? SPEEDS : [speed];
  const thighs = thigh === undefined ? (['prescribed', 'led'] as const) : [thigh];
  return speeds.flatMap((at) =>
    thighs.map((how) => ({ by, speed: at, thigh: how, control: by === 'fault map' ? 'study' : control })),
  );
}

/** Everything that these requirements must have walked, each once. */
export function ledgerWalks({ requirements }: Pick<StudyInput, 'requirements'>): readonly LedgerWalk[] {
  return [...new Map(requirements.flatMap(walksOf).map((walk) => [ledgerWalkName(walk), walk])).values()];
}

/**
 * All that this walk reads, by name: as long as each of it is the same, so is what comes of it. Parts of the leg one by one, so that a change can be
 * named. Numbers that its file does not say are left out.
 */
export function ledgerWalkReads(
  { leg, wearer, strides, tasks, controller }: StudyInput,
  walk: LedgerWalk,
): Readonly<Record<string, unknown>> {
  const { name, version: _, joints, ...rest } = leg;
  const known = (of: object): [string, unknown][] =>
    Object.entries(of).filter(([, value]) => value !== undefined && !Number.isNaN(value));
  return {
    walk: { ...walk, ...LEDGER_WALK, figures: Object.keys(walkMetrics), leg: name, wearer: wearer.code },
    wearer,
    strides,
    tasks,
    ...Object.fromEntries(known(rest).map(([part, value]) => [`leg ${part}`, value])),
    ...Object.fromEntries(known(joints).map(([joint, drive]) => [`leg ${joint}`, drive])),
    ...(walk.control === 'study' && { controller: controller?.controller ?? 'none' }),
  };
}
