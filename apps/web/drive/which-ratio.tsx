import {
  type DesignResult,
  type DrivenJoint,
  largestRatio,
  RATIOS,
  ratioScan,
  type StudyInput,
  type Tightest,
} from '@striderule/engine';
import { useEffect, useMemo, useRef } from 'react';
import type { LiveRatio } from '../design/live-ratio.ts';
import { writeText } from '../hairline.ts';
import { fixed, significant } from '../show/number.ts';

interface WhichRatioProps {
  /** The study as saved: what its tasks and requirements allow does not hang on the ratio it has. */
  readonly input: StudyInput;
  readonly design: DesignResult;
  readonly joint: DrivenJoint;
  readonly live: LiveRatio;
  readonly onTake: (ratio: number) => void;
}

/** A tenth up: the slide's own step, on the side that carries. */
const taken = (ratio: number): number => Math.ceil(10 * ratio - 1e-9) / 10;
/** A tenth down, on the same side from above. */
const kept = (ratio: number): number => Math.floor(10 * ratio + 1e-9) / 10;

/** What is asked for and not there: `3.2 % of the torque that Fast walking asks is lacking`. */
const lacking = ({ limit, margin, at }: Tightest): string =>
  limit === 'back-drive'
    ? `harder to move by hand than ${at} allows`
    : `${fixed(100 * (1 - margin), margin > 0.9 ? 1 : 0)} % of the ${limit === 'gears' ? 'gear strength' : limit} that ${at} asks is lacking`;

/** The answer to the page's question, in a sentence; and whether the ratio under the hand is one of those. */
export function WhichRatio({ input, design, joint, live, onTake }: WhichRatioProps) {
  const scan = useMemo(() => {
    const { smallest } = ratioScan(input, design, joint, { ratios: [] });
    // below the smallest that carries there is nothing to say
    const ratios = RATIOS.filter((ratio) => !(ratio < (smallest?.ratio ?? 0)));
    return ratioScan(input, design, joint, { ratios });
  }, [input, design, joint]);
  const largest = useMemo(() => largestRatio(input, design, joint, scan), [input, design, joint, scan]);
  const now = useRef<HTMLParagraphElement>(null);
  useEffect(
    () =>
      live.follow(({ ratio }) => {
        if (now.current === null) return;
        const [here] = ratioScan(input, design, joint, { ratios: [ratio] }).candidates;
        const tightest = here?.tightest;
        const saved = ratio === input.leg.joints[joint]?.transmission.ratio ? ', as saved' : '';
        writeText(
          now.current,
          tightest === undefined
            ? `At ${fixed(ratio, 1)} : 1${saved}: not known, no task asks anything of the ${joint}.`
            : here?.carries
              ? `At ${fixed(ratio, 1)} : 1${saved}: carried; tightest is ${tightest.limit} in ${tightest.at}, limit ÷ need ${significant(tightest.margin)}.`
              : `At ${fixed(ratio, 1)} : 1${saved}: not carried; ${lacking(tightest)}.`,
        );
      }),
    [live, input, design, joint],
  );
  const { smallest } = scan;
  return (
    <div className="answer">
      {smallest !== undefined && (
        <p>
          {Number.isFinite(smallest.ratio) ? (
            <>
              From {fixed(taken(smallest.ratio), 1)} : 1
              {largest === undefined || largest.ratio < taken(smallest.ratio)
                ? ''
                : ` to ${fixed(kept(largest.ratio), 1)} : 1`}{' '}
              every task is carried. Take the smallest: it is the easiest to move by hand. Below it{' '}
              {smallest.tightest.limit} fails in {smallest.tightest.at}
              {largest?.beyond === undefined
                ? ''
                : `, above it ${largest.beyond.limit} in ${largest.beyond.at}`}
              .{' '}
              <button type="button" className="act" onClick={() => onTake(taken(smallest.ratio))}>
                Slide to {fixed(taken(smallest.ratio), 1)}
              </button>
            </>
          ) : (
            `No ratio carries every task with this motor: ${smallest.tightest.limit} fails in ${smallest.tightest.at}${Number.isFinite(smallest.torqueFrom) ? `, even from ${fixed(taken(smallest.torqueFrom), 1)} : 1 on, where torque would do` : ''}. Another motor, voltage or task is the question.`
          )}
        </p>
      )}
      <p className="now" ref={now} />
      <p className="note">
        {scan.heatOpen !== undefined
          ? `Heat is open: ${scan.heatOpen}.`
          : scan.forEver === undefined
            ? 'Heat is judged apart: at none of the usual ratios could each task be done for ever within the winding’s limit; over the day, see the winding below.'
            : `Heat is judged apart: from ${fixed(scan.forEver.ratio, 0)} : 1 each task could be done for ever within the winding’s limit; over the day, see the winding below.`}
      </p>
    </div>
  );
}
