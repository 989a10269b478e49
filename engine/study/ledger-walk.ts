import { Fault } from '../quantity/fault.ts';
import type { StudyInput } from './study-input.ts';
import { faultRows, type MappedTrial, openFaultMap } from './walk-faults.ts';
import { type WalkMetric, walkMetrics } from './walk-metrics.ts';
import { openPowerCut, type PowerCut } from './walk-power-cut.ts';
import { openWalkReport } from './walk-report.ts';
import { LEDGER_WALK, type LedgerWalk } from './walks-asked.ts';

type Open = { readonly openBecause: string };

/** What came of it: every figure that it tells, by metric and, of a joint's, `metric.joint`. */
export interface WalkedFigures {
  readonly figures: { readonly [name: string]: number | Open };
  /** Where the leg fell before its time: when and why; only `walkedStrides` is then a figure. */
  readonly fell?: string;
}

/** Figures, or why it could not be walked. Plain data, to be kept. */
export type LedgerWalked = WalkedFigures | Open;

/** One of them on its way. */
export interface OpenLedgerWalk {
  /** A stride, a cut or a place further; the share that is done, 1 at its end. */
  readonly next: () => number;
  /** Once it is at its end. */
  readonly walked: () => LedgerWalked;
}

/** Places of power cuts and of faults, shares of the stride. Our choice: enough for a line of the ledger, not for a picture. */
const CUTS = Array.from({ length: 20 }, (_, k) => k / 20);
const FAULTS = Array.from({ length: 10 }, (_, k) => k / 10);

/** Walks one of them, a piece at a time. */
export function openLedgerWalk(input: StudyInput, walk: LedgerWalk): OpenLedgerWalk {
  try {
    const begun = begin(input, walk);
    if ('openBecause' in begun) return ended(begun);
    let why: Open | undefined;
    const open = <T>(work: () => T, otherwise: (because: Open) => T): T => {
      if (why !== undefined) return otherwise(why);
      try {
        return work();
      } catch (error) {
        why = refused(error);
        return otherwise(why);
      }
    };
    return {
      next: () => open(begun.next, () => 1),
      walked: () => open<LedgerWalked>(begun.walked, (because) => because),
    };
  } catch (error) {
    return ended(refused(error));
  }
}

const ended = (walked: LedgerWalked): OpenLedgerWalk => ({ next: () => 1, walked: () => walked });

/** What the engine refuses is why there is no figure; anything else is a bug. */
function refused(error: unknown): Open {
  if (error instanceof Fault) return { openBecause: error.faults.map(({ what }) => what).join('; ') };
  throw error;
}

function begin(input: StudyInput, { by, speed, thigh, control }: LedgerWalk): OpenLedgerWalk | Open {
  const choice = { speed, thigh, control };
  switch (by) {
    case 'walk': {
      const walk = openWalkReport(input, choice, LEDGER_WALK);
      if ('openBecause' in walk) return walk;
      let done = 0;
      return {
        next: () => {
          done++;
          return walk.stride() ? done / LEDGER_WALK.strides : 1;
        },
        walked: () => {
          const report = walk.report();
          const { fell } = report;
          const of = { report, stride: walk.record().stride };
          if (fell === undefined) return { figures: figuresOf(by, (m, joint) => m.of(of, joint)) };
          return {
            figures: { walkedStrides: (walkMetrics.walkedStrides as Of<'walk'>).of(of, 'knee') },
            fell: `after ${fell.time.toFixed(1)} s ${fell.why}`,
          };
        },
      };
    }
    case 'power cut': {
      const cut = openPowerCut(input, choice, LEDGER_WALK.step);
      if ('openBecause' in cut) return cut;
      const cuts: PowerCut[] = [];
      return {
        next: () => {
          cuts.push(cut.at(CUTS[cuts.length]!));
          return cuts.length / CUTS.length;
        },
        walked: () => ({ figures: figuresOf(by, (m) => m.of({ cuts, strideTime: cut.strideTime })) }),
      };
    }
    case 'fault map': {
      const map = openFaultMap(input, choice, LEDGER_WALK.step);
      if ('openBecause' in map) return map;
      if (map.fell !== undefined) return { openBecause: `it falls without any fault: ${map.fell}` };
      let done = 0;
      const found: MappedTrial[] = [];
      return {
        next: () => {
          found.push(...map.at(FAULTS[done++]!));
          return done / FAULTS.length;
        },
        walked: () => ({ figures: figuresOf(by, (m) => m.of(faultRows(input.leg, found))) }),
      };
    }
  }
}

type Of<By extends WalkMetric['by']> = Extract<WalkMetric, { readonly by: By }>;

/** Every figure of one kind of walk. */
function figuresOf<By extends WalkMetric['by']>(
  by: By,
  of: (metric: Of<By>, joint: 'knee' | 'ankle') => number | Open,
): WalkedFigures['figures'] {
  return Object.fromEntries(
    Object.entries(walkMetrics).flatMap(([name, metric]) => {
      if (metric.by !== by) return [];
      if (metric.only === 'leg') return [[name, of(metric as Of<By>, 'knee')]];
      return (['knee', 'ankle'] as const).map((joint) => [`${name}.${joint}`, of(metric as Of<By>, joint)]);
    }),
  );
}
