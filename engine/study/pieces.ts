import type { Requirement } from '../evidence/requirement.ts';
import type { StudyInput } from './study-input.ts';
import { type DrawnBlock, openTolerance, type Tolerance } from './tolerance.ts';
import { type MappedTrial, openFaultMap } from './walk-faults.ts';
import type { WalkChoice } from './walk-plan.ts';
import { openPowerCut, type PowerCut } from './walk-power-cut.ts';
import { openWalkPrice, type PricedLever, type WalkPrice } from './walk-price.ts';
import { type CandidateWalk, type ShortlistCandidate, walkCandidate } from './walk-shortlist.ts';

// Long work in pieces. Each function is given what all pieces have in common, and gives what works out one of them: the same numbers to the
// last bit, whichever pieces were worked out before, so that threads may share them. What goes in and comes out is plain data.

type Open = { readonly openBecause: string };

/** Every fault at one place of the stride, or why there is none at this speed. */
export type FaultPiece =
  | {
      readonly speed: number;
      readonly place: number;
      readonly trials: readonly MappedTrial[];
      /** Share of the stride, of the one that is walked. */
      readonly stance: number;
    }
  | { readonly speed: number; readonly place: number; readonly noneBecause: string };

/** The fault map, place by place; places of one speed one after another take the least time. */
export function faultPieces({
  input,
  thigh,
  step,
}: {
  readonly input: StudyInput;
  readonly thigh: 'prescribed' | 'led';
  readonly step: number;
}): (at: { readonly speed: number; readonly place: number }) => FaultPiece {
  let open: { readonly speed: number; readonly map: ReturnType<typeof openFaultMap> } | undefined;
  return ({ speed, place }) => {
    if (open?.speed !== speed) open = { speed, map: openFaultMap(input, { speed, thigh }, step) };
    const { map } = open;
    if ('openBecause' in map) return { speed, place, noneBecause: map.openBecause };
    if (map.fell !== undefined)
      return { speed, place, noneBecause: `the leg falls without any fault: ${map.fell}` };
    return { speed, place, trials: map.at(place), stance: map.stance };
  };
}

/** All power lost at one place, or why no walk can lose it. */
export type CutPiece = { readonly cut: PowerCut; readonly stance: number } | Open;

/** Power cuts, place by place. */
export function cutPieces({
  input,
  choice,
  step,
}: {
  readonly input: StudyInput;
  readonly choice: WalkChoice;
  readonly step: number;
}): (place: number) => CutPiece {
  const open = openPowerCut(input, choice, step);
  return (place) => ('openBecause' in open ? open : { cut: open.at(place), stance: open.stance });
}

/** The price of one lever beside the leg as planned, or why the leg has none. */
export type PricePiece = { readonly planned: WalkPrice; readonly priced: PricedLever } | Open;

/** Prices, lever by lever of `walkLevers`. */
export function pricePieces({
  input,
  choice,
  step,
  strides,
}: {
  readonly input: StudyInput;
  readonly choice: Pick<WalkChoice, 'speed' | 'ground'>;
  readonly step: number;
  readonly strides: number;
}): (lever: number) => PricePiece {
  const run = openWalkPrice(input, choice, { step, strides });
  return (lever) => ('openBecause' in run ? run : { planned: run.planned, priced: run.at(lever) });
}

/** Draws to be made after the first `from`, or blocks of all draws to be told as a whole. */
export type TolerancePieceAsk =
  | { readonly from: number; readonly count: number }
  | { readonly of: readonly DrawnBlock[] };

export type TolerancePiece = { readonly block: DrawnBlock } | { readonly tolerance: Tolerance };

/** Legs and people, a block of draws at a time; of the study's requirements those that are `asked`. */
export function tolerancePieces({
  input,
  asked,
  seed,
}: {
  readonly input: StudyInput;
  readonly asked: readonly Requirement['id'][];
  readonly seed: number;
}): (piece: TolerancePieceAsk) => TolerancePiece {
  const requirements = input.requirements.filter(({ id }) => asked.includes(id));
  const run = openTolerance({ ...input, requirements }, { seed });
  return (piece) =>
    'of' in piece ? { tolerance: run.resultOf(piece.of) } : { block: run.block(piece.from, piece.count) };
}

/** Candidates of a shortlist, one at a time. */
export function candidatePieces({
  studies,
  choice,
  length,
}: {
  readonly studies: readonly StudyInput[];
  readonly choice: Pick<WalkChoice, 'speed' | 'ground'>;
  readonly length: { readonly step: number; readonly strides: number };
}): (one: {
  /** Place of its study among the studies. */
  readonly study: number;
  readonly candidate: Pick<ShortlistCandidate, 'knee' | 'ankle'>;
}) => CandidateWalk {
  return ({ study, candidate }) => walkCandidate(studies[study], candidate, choice, length);
}
