import type { DrivenJoint, LedgerRow, StudyInput, Tolerance } from '@striderule/engine';
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { workBeside } from '../design/beside.ts';
import type { ToleranceAnswer } from '../design/study-worker.ts';
import { Instrument } from '../draw/instrument.tsx';
import type { Metrics } from '../read-study.ts';
import { Section } from '../sections/section.tsx';
import { fixed } from '../show/number.ts';
import { drawTolerance, toleranceHeight } from './draw-tolerance.ts';
import { rowsMoved } from './rows-moved.ts';

interface TolerancesProps {
  readonly metrics: Metrics;
  readonly joint: DrivenJoint;
  /** The design as it stands on the page. */
  readonly input: StudyInput;
  readonly rows: readonly LedgerRow[];
}

const DRAWS = 200;
const MORE_DRAWS = 2000;
/** The same legs and people each time, so that two ratios differ by the ratio. */
const SEED = 1;

interface Run {
  /** What was drawn: another design begins anew. */
  readonly of: StudyInput;
  readonly done: number;
  readonly draws: number;
  readonly tolerance?: Tolerance;
  readonly stopped?: 'here' | 'lost';
}

/** Legs and people drawn beside the page: begun when the place is seen, anew for another design, stopped when told to. */
function useDraws(input: StudyInput) {
  const host = useRef<HTMLDivElement>(null);
  const [seen, setSeen] = useState(false);
  const [draws, setDraws] = useState(DRAWS);
  const [run, setRun] = useState<Run>();
  const end = useRef<() => void>(undefined);
  useEffect(() => {
    const element = host.current;
    if (element === null) return;
    const observer = new IntersectionObserver((entries) => setSeen(entries.at(-1)?.isIntersecting ?? false));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const has = run?.of === input && run.draws >= draws;
  useEffect(() => {
    if (!seen || has) return;
    // what was drawn of this design before stays while more are drawn
    setRun((was) => ({
      ...(was !== undefined &&
        was.of === input &&
        was.tolerance !== undefined && { tolerance: was.tolerance }),
      of: input,
      done: 0,
      draws,
    }));
  }, [seen, has, input, draws]);
  const wanted = run?.of === input && run.stopped === undefined ? run.draws : undefined;
  useEffect(() => {
    if (wanted === undefined) return;
    const worker = workBeside<ToleranceAnswer>(
      input,
      ({ done, tolerance }) =>
        setRun((was) => was && { ...was, done, ...(tolerance !== undefined && { tolerance }) }),
      () => setRun((was) => was && { ...was, stopped: 'lost' }),
    );
    worker.ask({ kind: 'tolerance', draws: wanted, seed: SEED });
    end.current = worker.end;
    return worker.end;
  }, [input, wanted]);
  return {
    host,
    run: run?.of === input ? run : undefined,
    more: () => setDraws(MORE_DRAWS),
    stop: () => {
      end.current?.();
      setRun((was) => was && { ...was, stopped: 'here' });
    },
    again: () => setRun(undefined),
  };
}

/** How likely each line that the ratio moves is met, what dominates its spread, and the bench test to do next. */
export function Tolerances({ joint, metrics, input, rows }: TolerancesProps) {
  const ids = useMemo(
    () => rowsMoved(rows, joint, metrics).map(({ requirement }) => requirement.id),
    [rows, joint, metrics],
  );
  const key = ids.join(' ');
  const asked = useMemo(
    (): StudyInput => ({
      ...input,
      requirements: input.requirements.filter(({ id }) => key.split(' ').includes(id)),
    }),
    [input, key],
  );
  const { host, run, more, stop, again } = useDraws(asked);
  const lines = ids.length;
  const tolerance = run?.tolerance;
  const ratio = fixed(input.leg.joints[joint]?.transmission.ratio, 1);
  const draw = useCallback(
    (width: number) => drawTolerance(width, key.split(' '), tolerance, ratio),
    [key, tolerance, ratio],
  );
  const heightFor = useCallback((width: number) => toleranceHeight(width, lines), [lines]);
  if (lines === 0) return null;
  const running = run !== undefined && run.stopped === undefined && run.done < run.draws;
  return (
    <Section title={`Tolerances of the ${joint}: how likely, and what to measure next`}>
      <div ref={host}>
        <p className="drawing-legs facts">
          <span role="status">
            {run?.stopped === 'lost'
              ? 'This browser runs nothing beside the page: striderule drive tolerance prints it.'
              : run?.stopped === 'here'
                ? `Stopped after ${run.done} of ${run.draws}.`
                : run === undefined
                  ? 'Legs are drawn when this is seen.'
                  : running
                    ? 'Drawing legs and people …'
                    : `${run.draws} legs and people drawn.`}
          </span>{' '}
          {running ? (
            <>
              <progress aria-label="Legs drawn" value={run.done} max={run.draws} />{' '}
              <span className="quiet">
                {run.done} of {run.draws}
              </span>{' '}
              <button type="button" className="act" onClick={stop}>
                Stop drawing
              </button>
            </>
          ) : null}
          {!running && run?.stopped === 'here' && (
            <button type="button" className="act" onClick={again}>
              Draw again
            </button>
          )}
          {!running && run?.stopped === undefined && run?.draws === DRAWS && (
            <button type="button" className="act" onClick={more}>
              Draw {MORE_DRAWS}
            </button>
          )}
        </p>
        <Instrument
          title={`${joint}: how likely each requirement that its ratio moves is met`}
          what="the tolerances"
          fileName={`tolerance-${joint}`}
          heightFor={heightFor}
          draw={draw}
        />
      </div>
      <p className="note facts">
        Line: share of the draws that meet the bound, box: its 95 % interval (Wilson), by the number of draws.
        Inputs are drawn as the leg file spreads them, those without a spread as is typical of their kind
        (common practice: measure them); people around the mean person of the published strides, so that a
        median may lie on the better side of the ledger. What goes together, such as the two directions of one
        mesh, is drawn apart. Seed {SEED} at every ratio.{' '}
        {input.demo ? 'Of demo data: they say how the method works, not how a leg will do.' : ''}
      </p>
    </Section>
  );
}
