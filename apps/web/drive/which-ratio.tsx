import {
  type DesignResult,
  type DrivenJoint,
  largestRatio,
  metAt,
  RATIOS,
  type RequirementWindow,
  ratioScan,
  type StudyInput,
  type Tightest,
} from '@striderule/engine';
import { useEffect, useMemo, useRef } from 'react';
import type { LiveRatio } from '../design/live-ratio.ts';
import { writeText } from '../hairline.ts';
import type { Metrics } from '../read-study.ts';
import { fixed, significant } from '../show/number.ts';
import type { RatioWindows } from './use-ratio-windows.ts';
import { windowsText } from './windows-text.ts';

interface WhichRatioProps {
  /** The study as saved: what its tasks allow does not hang on the ratio it has. */
  readonly input: StudyInput;
  readonly design: DesignResult;
  readonly joint: DrivenJoint;
  readonly metrics: Metrics;
  /** What the study asks, over the ratio. */
  readonly windows: RatioWindows;
  readonly live: LiveRatio;
  readonly onTake: (ratio: number) => void;
}

/** A tenth up: the slide's own step, on the side that carries. */
const taken = (ratio: number): number => Math.ceil(10 * ratio - 1e-9) / 10;
/** A tenth down, on the same side from above. */
const kept = (ratio: number): number => Math.floor(10 * ratio + 1e-9) / 10;
/** Requirements that the answer names. */
const NAMED = 4;

/** The limit as the scan has it: the bus sags in it, other than in the requirements on speed. */
const limitWord = ({ limit }: Tightest): string =>
  limit === 'speed' ? 'speed on the sagging bus' : limit === 'gears' ? 'gear strength' : limit;

/** What is asked for and not there: `3.2 % of the torque that Fast walking asks is lacking`. */
const lacking = (tightest: Tightest): string =>
  tightest.limit === 'back-drive'
    ? `harder to move by hand than ${tightest.at} allows`
    : `${fixed(100 * (1 - tightest.margin), tightest.margin > 0.9 ? 1 : 0)} % of the ${limitWord(tightest)} that ${tightest.at} asks is lacking`;

/** `winding over the schedule (wants 35.1 to 128.8)`: what is not met, and where it would be. */
const namedText = (window: RequirementWindow, metrics: Metrics): string => {
  const { metric, task } = window.requirement;
  const title = metrics[metric]?.title ?? metric;
  // a title stands within a sentence here: small but for RMS and the like
  const small = /^[A-Z][a-z]/.test(title) ? title[0]!.toLowerCase() + title.slice(1) : title;
  return `${small}${task === undefined ? '' : `, ${task}`} (${window.windows.length === 0 ? '' : 'wants '}${windowsText(window)})`;
};

function lackText(lack: readonly RequirementWindow[], metrics: Metrics): string {
  const told = lack.slice(0, NAMED).map((each) => namedText(each, metrics));
  const more = lack.length - told.length;
  return `${told.join(', ')}${more > 0 ? ` and ${more} more, see below` : ''}`;
}

/** The answer to the page's question, in a sentence; what the tasks alone allow; and how the ratio under the hand stands to both. */
export function WhichRatio({ input, design, joint, metrics, windows, live, onTake }: WhichRatioProps) {
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
        const { whole, found, asked } = windows;
        const met = whole
          ? ` ${found.filter((each) => metAt(each, ratio)).length} of ${asked.length} met;`
          : '';
        writeText(
          now.current,
          `At ${fixed(ratio, 1)} : 1${saved}:${met} ${
            tightest === undefined
              ? `not known what is carried, no task asks anything of the ${joint}.`
              : here?.carries
                ? `every task carried; tightest is ${limitWord(tightest)} in ${tightest.at}, limit ÷ need ${significant(tightest.margin)}.`
                : `not carried, ${lacking(tightest)}.`
          }`,
        );
      }),
    [live, input, design, joint, windows],
  );
  const heated = windows.asked.some(({ metric }) => metric === 'windingTemperature');
  return (
    <div className="answer">
      {windows.asked.length > 0 && <Asked {...{ joint, metrics, windows, onTake }} />}
      {scan.smallest !== undefined && <Carried smallest={scan.smallest} largest={largest} />}
      <p className="now" ref={now} />
      {!heated && (
        <p className="note">
          {scan.heatOpen === undefined
            ? 'No requirement asks for the winding’s temperature: heat is in none of these. Write windingTemperature into requirements.yaml.'
            : `Heat is open: ${scan.heatOpen}.`}
        </p>
      )}
    </div>
  );
}

/** Where most of what the study asks is met, and what is not. */
function Asked({
  joint,
  metrics,
  windows: { asked, found, most, whole, lost },
  onTake,
}: Pick<WhichRatioProps, 'joint' | 'metrics' | 'windows' | 'onTake'>) {
  if (lost)
    return (
      <p className="asked-of">
        This browser runs nothing beside the page: <code>striderule drive ratio</code> prints which ratio
        meets most of what the study asks.
      </p>
    );
  if (!whole)
    return (
      <p className="asked-of">
        Every ratio is tried against the {asked.length} requirements that the {joint}’s ratio moves …{' '}
        <progress aria-label="Requirements tried" value={found.length} max={asked.length} />
      </p>
    );
  if (most === undefined)
    return (
      <p className="asked-of">
        No ratio meets any of the {asked.length} requirements that it moves. Another motor, voltage or task is
        the question.
      </p>
    );
  const [from, to] = most.window;
  const range = from === to ? fixed(from, 1) : `${fixed(from, 1)} to ${fixed(to, 1)}`;
  return (
    <p className="asked-of">
      {most.lacking.length === 0
        ? `${range} : 1 meets all ${asked.length} requirements that the ${joint}’s ratio moves. Take the smallest: it is the easiest to move by hand.`
        : `No ratio meets all ${asked.length} requirements that the ${joint}’s ratio moves; ${range} : 1 meets most, ${most.met}. Not met there: ${lackText(most.lacking, metrics)}.`}{' '}
      <button type="button" className="act" onClick={() => onTake(from)}>
        Slide to {fixed(from, 1)}
      </button>
    </p>
  );
}

/** What the tasks alone allow, nothing kept in hand. */
function Carried({
  smallest,
  largest,
}: {
  readonly smallest: NonNullable<ReturnType<typeof ratioScan>['smallest']>;
  readonly largest: ReturnType<typeof largestRatio>;
}) {
  if (!Number.isFinite(smallest.ratio))
    return (
      <p>
        No ratio carries every task with this motor: {limitWord(smallest.tightest)} fails in{' '}
        {smallest.tightest.at}
        {Number.isFinite(smallest.torqueFrom)
          ? `, even from ${fixed(taken(smallest.torqueFrom), 1)} : 1 on, where torque would do`
          : ''}
        . Another motor, voltage or task is the question.
      </p>
    );
  const ends =
    largest === undefined || largest.ratio < taken(smallest.ratio)
      ? ''
      : ` to ${fixed(kept(largest.ratio), 1)} : 1`;
  return (
    <p>
      With nothing kept in hand, from {fixed(taken(smallest.ratio), 1)} : 1{ends} every task is carried. Below
      it {limitWord(smallest.tightest)} fails in {smallest.tightest.at}
      {largest?.beyond === undefined ? '' : `, above it ${limitWord(largest.beyond)} in ${largest.beyond.at}`}
      .
    </p>
  );
}
