import {
  Fault,
  type FaultData,
  type OpenReport,
  openFaultWalk,
  openPowerCut,
  openScenario,
  openWalkReport,
  type Scenario,
  type StudyInput,
  type WalkChoice,
  type WalkRecord,
  type WalkReport,
} from '@striderule/engine';

// A walk away from the page: twenty strides are some hundred thousand steps of the integration.

/** A study, and how it is to walk. */
export interface WalkAsk {
  readonly input: StudyInput;
  readonly choice: WalkChoice;
  /** s */
  readonly step: number;
  readonly strides: number;
  /** What is walked in the place of the walk of every day. */
  readonly instead?: Instead;
}

/** A scenario of the study; a fault of the map; all power lost. Places are shares of the stride. */
export type Instead =
  | { readonly kind: 'scenario'; readonly scenario: Scenario }
  | { readonly kind: 'fault'; readonly fault: string; readonly place: number }
  | { readonly kind: 'cut'; readonly place: number };

export type WalkAnswer =
  | { readonly kind: 'stride'; readonly done: number; readonly of: number }
  | {
      readonly kind: 'walked';
      readonly report: WalkReport;
      readonly record: WalkRecord;
      /** s that it took. */
      readonly took: number;
    }
  | { readonly kind: 'open'; readonly because: string }
  | { readonly kind: 'faults'; readonly faults: readonly FaultData[] };

interface Opened {
  readonly walk: OpenReport;
  readonly strides: number;
}

function opened({
  input,
  choice,
  step,
  strides,
  instead,
}: WalkAsk): Opened | { readonly openBecause: string } {
  if (instead === undefined) return withStrides(openWalkReport(input, choice, { step, strides }), strides);
  if (instead.kind === 'scenario')
    return withStrides(openScenario(input, instead.scenario, step), instead.scenario.strides);
  if (instead.kind === 'fault') {
    const { fault, place } = instead;
    const walk = openFaultWalk(input, choice, { step, fault, place });
    return 'openBecause' in walk ? walk : { walk, strides: walk.strides };
  }
  const cuts = openPowerCut(input, choice, step);
  if ('openBecause' in cuts) return cuts;
  const walk = cuts.walk(instead.place);
  return { walk, strides: walk.strides };
}

const withStrides = (
  walk: OpenReport | { readonly openBecause: string },
  strides: number,
): Opened | { readonly openBecause: string } => ('openBecause' in walk ? walk : { walk, strides });

/** Walks, and tells after each stride. */
export function answerWalk(ask: WalkAsk, tell: (answer: WalkAnswer) => void): void {
  const begun = performance.now();
  try {
    const open = opened(ask);
    if ('openBecause' in open) {
      tell({ kind: 'open', because: open.openBecause });
      return;
    }
    const { walk, strides } = open;
    for (let k = 0; k < strides; k++) {
      const stands = walk.stride();
      tell({ kind: 'stride', done: k + 1, of: strides });
      if (!stands) break;
    }
    const report = walk.report();
    tell({ kind: 'walked', report, record: walk.record(), took: (performance.now() - begun) / 1000 });
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    tell({ kind: 'faults', faults: error.faults });
  }
}
