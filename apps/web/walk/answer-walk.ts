import {
  Fault,
  type FaultData,
  openWalkReport,
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
}

export type WalkAnswer =
  | { readonly kind: 'stride'; readonly done: number }
  | {
      readonly kind: 'walked';
      readonly report: WalkReport;
      readonly record: WalkRecord;
      /** s that it took. */
      readonly took: number;
    }
  | { readonly kind: 'open'; readonly because: string }
  | { readonly kind: 'faults'; readonly faults: readonly FaultData[] };

/** Walks, and tells after each stride. */
export function answerWalk(
  { input, choice, step, strides }: WalkAsk,
  tell: (answer: WalkAnswer) => void,
): void {
  const begun = performance.now();
  try {
    const walk = openWalkReport(input, choice, { step, strides });
    if ('openBecause' in walk) {
      tell({ kind: 'open', because: walk.openBecause });
      return;
    }
    for (let k = 0; k < strides; k++) {
      const stands = walk.stride();
      tell({ kind: 'stride', done: k + 1 });
      if (!stands) break;
    }
    const report = walk.report();
    tell({ kind: 'walked', report, record: walk.record(), took: (performance.now() - begun) / 1000 });
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    tell({ kind: 'faults', faults: error.faults });
  }
}
