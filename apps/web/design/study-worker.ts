import {
  type Demands,
  type DrivenJoint,
  evaluateDesign,
  type LegPackOpen,
  legPackOpen,
  openRatioWindows,
  type RequirementWindow,
  type ShortStates,
  type StudyInput,
  shortStates,
  shortTrade,
  studyDemands,
  type TradeRow,
} from '@striderule/engine';
import { withRatio } from './with-ratio.ts';

// Work that takes longer than a frame, away from the page: unpowered swings to their ends.

type Open = { readonly openBecause: string };

/** Loss of power of one joint in one task, over resistances in its short, and of the bus. */
export interface LossAnswer {
  readonly ratio: number;
  /** The knee's with what each is worth in stance and swing. */
  readonly rows: readonly ShortStates[] | readonly TradeRow[] | Open;
  readonly pack: LegPackOpen | Open;
}

/** At which ratios one requirement is met: an answer for each that was asked, in that order. */
export interface WindowAnswer {
  readonly window: RequirementWindow;
}

export type StudyAsk =
  | { readonly kind: 'study'; readonly input: StudyInput }
  | { readonly kind: 'loss'; readonly joint: DrivenJoint; readonly ratio: number; readonly task: string }
  | { readonly kind: 'windows'; readonly joint: DrivenJoint; readonly ids: readonly string[] };

let input: StudyInput | undefined;
let demands: Demands = {};

addEventListener('message', ({ data }: MessageEvent<StudyAsk>) => {
  if (data.kind === 'study') {
    input = data.input;
    demands = studyDemands(input);
  } else if (input !== undefined) {
    if (data.kind === 'loss') postMessage(lossOf(input, data.joint, data.ratio, data.task));
    else windowsOf(input, data.joint, data.ids);
  }
});

function lossOf(study: StudyInput, joint: DrivenJoint, ratio: number, task: string): LossAnswer {
  const moved = withRatio(study, joint, ratio);
  const demand = demands[task];
  const rows =
    demand?.kind !== 'stride'
      ? { openBecause: `task ${task} has no stride` }
      : joint === 'knee'
        ? shortTrade(moved, demand)
        : shortStates(moved, demand, joint);
  return { ratio, rows, pack: legPackOpen(moved, evaluateDesign(moved, demands)) };
}

function windowsOf(study: StudyInput, joint: DrivenJoint, ids: readonly string[]): void {
  const windowOf = openRatioWindows(study, joint, demands);
  for (const id of ids) {
    const answer: WindowAnswer = { window: windowOf(study.requirements.find((r) => r.id === id)!) };
    postMessage(answer);
  }
}
