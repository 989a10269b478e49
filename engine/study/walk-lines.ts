import type { Requirement } from '../evidence/requirement.ts';
import { marginTo } from '../evidence/verdict.ts';
import { isWalked, type WalkedReport, walkMetrics } from './walk-metrics.ts';
import { walksOf } from './walks-asked.ts';

/** What a requirement says of one walk. SI numbers in `unit`. */
export interface WalkLine {
  readonly requirement: Requirement;
  readonly title: string;
  readonly unit: string;
  /** null: this walk does not tell it, and `openBecause` says why. */
  readonly value: number | null;
  readonly state: 'met' | 'not met' | 'open';
  readonly openBecause?: string;
}

/**
 * The requirements that are asked of such a walk, judged by this walk alone: those that one walk tells and that name its speed, its way of leading
 * the thigh and what it runs, or leave them open. A leg without drives runs nothing: what is asked of either is asked of it. First what is not met,
 * by how far it is beyond its bound as a share of the bound, the worst first; then what is open; then what is met. Of a walk that fell all is open
 * but how many strides it had.
 *
 * The ledger judges the same line by the worst of all walks that it names: it can be not met there and met here.
 */
export function walkLines(requirements: readonly Requirement[], walked: WalkedReport): WalkLine[] {
  const { speed, thigh, control, fell } = walked.report;
  const asked = requirements.filter(
    (requirement) =>
      isWalked(requirement.metric) &&
      walksOf(requirement).some(
        (walk) =>
          walk.by === 'walk' &&
          Math.abs(walk.speed - speed) < SAME_SPEED &&
          walk.thigh === thigh &&
          (control === 'none' || walk.control === control),
      ),
  );
  const lines = asked.map((requirement): WalkLine => {
    const metric = walkMetrics[requirement.metric]!;
    const told =
      metric.by !== 'walk'
        ? { openBecause: 'one walk does not tell it' }
        : fell !== undefined && requirement.metric !== 'walkedStrides'
          ? { openBecause: `after ${fell.time.toFixed(1)} s ${fell.why}` }
          : metric.of(walked, requirement.joint ?? 'knee');
    const head = { requirement, title: metric.title, unit: metric.unit };
    if (typeof told !== 'number') return { ...head, value: null, state: 'open', ...told };
    if (Number.isNaN(told)) return { ...head, value: null, state: 'open', openBecause: 'there is no number' };
    return { ...head, value: told, state: marginTo(requirement.bound, told) < 0 ? 'not met' : 'met' };
  });
  const beyond = ({ requirement: { bound }, value }: WalkLine): number =>
    -marginTo(bound, value ?? Number.NaN) / Math.abs(bound.value);
  const of = (state: WalkLine['state']) => lines.filter((line) => line.state === state);
  return [...of('not met').sort((a, b) => beyond(b) - beyond(a)), ...of('open'), ...of('met')];
}

/** m/s: two speeds nearer than this are one. */
const SAME_SPEED = 1e-9;
