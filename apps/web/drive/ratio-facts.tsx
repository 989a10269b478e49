import {
  type DesignResult,
  type DrivenJoint,
  type RatioScan,
  ratioScan,
  type StudyInput,
  scheduleRatio,
} from '@striderule/engine';
import { useMemo } from 'react';
import { fixed, significant } from '../show/number.ts';

interface RatioFactsProps {
  /** The study as saved: what its tasks and requirements allow does not hang on the ratio it has. */
  readonly input: StudyInput;
  readonly design: DesignResult;
  readonly joint: DrivenJoint;
  readonly onTake: (ratio: number) => void;
}

/** A tenth up: the slide's own step, on the side that carries. */
const taken = (ratio: number): number => Math.ceil(10 * ratio - 1e-9) / 10;

/** What can be said of the ratio without trying one: the smallest that carries every task, and what the day's strides alone say. */
export function RatioFacts({ input, design, joint, onTake }: RatioFactsProps) {
  const scan = useMemo(() => ratioScan(input, design, joint), [input, design, joint]);
  const fact = useMemo(() => scheduleRatio(input, design, joint), [input, design, joint]);
  const smallest = scan.smallest;
  return (
    <div className="facts">
      {smallest !== undefined && (
        <p className="strong">
          {Number.isFinite(smallest.ratio) ? (
            <>
              Smallest ratio that carries every task: {fixed(taken(smallest.ratio), 1)} : 1; tightest there{' '}
              {smallest.tightest.limit}, {smallest.tightest.at}.{' '}
              <button type="button" className="act" onClick={() => onTake(taken(smallest.ratio))}>
                Slide to {fixed(taken(smallest.ratio), 1)}
              </button>
            </>
          ) : (
            `No ratio carries every task with this motor: ${smallest.tightest.limit}, ${smallest.tightest.at}.`
          )}
        </p>
      )}
      <p className="note">
        {forEver(scan)} {fact === undefined ? '' : strides(fact.optimum, fact.admissible)} Torque, speed,
        gears and back-driving are in the smallest ratio; the other lines are not. Gears are taken as they are
        at every ratio.
      </p>
    </div>
  );
}

function forEver({ forEver: at, heatOpen }: RatioScan): string {
  if (heatOpen !== undefined) return `Heat is open: ${heatOpen}.`;
  return at === undefined
    ? 'At none of the usual ratios could each task be done for ever within the winding’s limit; over the day see the winding below.'
    : `From ${fixed(at.ratio, 0)} : 1 each task could be done for ever within the winding’s limit.`;
}

function strides(
  optimum: number,
  admissible: { readonly least: number; readonly largest: number } | null | undefined,
): string {
  const within =
    admissible === undefined
      ? ''
      : admissible === null
        ? ' and at no ratio within what the motor may hold for ever'
        : ` and within what the motor may hold for ever from ${significant(admissible.least)} to ${significant(admissible.largest)} : 1`;
  return `Over the day, friction left out, rms motor torque is least at ${significant(optimum)} : 1${within}.`;
}
