import type { DrivenJoint, LedgerRow, StudyInput, Tolerance } from '@striderule/engine';
import type { WorkDesign } from '@striderule/wire';
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { LongAsk } from '../design/long-work.ts';
import { useLong } from '../design/use-long.ts';
import { Instrument } from '../draw/instrument.tsx';
import type { Metrics } from '../read-study.ts';
import { NumberText } from '../sections/number-text.tsx';
import { Section } from '../sections/section.tsx';
import { fixed } from '../show/number.ts';
import { drawTolerance, type ToleranceLine, toleranceHeight } from './draw-tolerance.ts';
import { rowsMoved } from './rows-moved.ts';

interface TolerancesProps {
  readonly metrics: Metrics;
  readonly joint: DrivenJoint;
  /** The design as it stands on the page. */
  readonly input: StudyInput;
  readonly design: WorkDesign;
  readonly rows: readonly LedgerRow[];
}

const DRAWS = 200;
const MORE_DRAWS = 2000;
/** The same legs and people each time, so that two ratios differ by the ratio. */
const SEED = 1;

/** Legs and people drawn by the server: begun when the place is seen, anew for another design, stopped when told to. */
function useDraws(design: WorkDesign, asked: readonly string[]) {
  const host = useRef<HTMLDivElement>(null);
  const [seen, setSeen] = useState(false);
  const [draws, setDraws] = useState(DRAWS);
  useEffect(() => {
    const element = host.current;
    if (element === null) return;
    const observer = new IntersectionObserver((entries) => setSeen(entries.at(-1)?.isIntersecting ?? false));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const ask = useMemo(
    (): LongAsk<'tolerance'> | undefined =>
      asked.length === 0 ? undefined : { design, ask: { kind: 'tolerance', asked, draws, seed: SEED } },
    [design, asked, draws],
  );
  const work = useLong(ask);
  const { going, took, refused, start } = work;
  const begun = going !== undefined || took !== undefined || refused !== undefined;
  useEffect(() => {
    if (seen && !begun) start();
  }, [seen, begun, start]);
  // what was drawn of this design before stays while more are drawn
  const of = JSON.stringify([design, asked]);
  const [tolerance] = work.parts;
  const [last, setLast] = useState<{ readonly of: string; readonly tolerance: Tolerance }>();
  useEffect(() => {
    if (tolerance !== undefined) setLast({ of, tolerance });
  }, [of, tolerance]);
  return {
    ...{ host, draws, work, begun },
    tolerance: tolerance ?? (last?.of === of ? last.tolerance : undefined),
    more: () => setDraws(MORE_DRAWS),
  };
}

/** How likely each line that the ratio moves is met, what dominates its spread, and the bench test to do next. */
export function Tolerances({ joint, metrics, input, design, rows }: TolerancesProps) {
  const lines = useMemo(
    () =>
      rowsMoved(rows, joint, metrics).map(
        ({ title, requirement: { id, task } }): ToleranceLine => ({ id, title, task }),
      ),
    [rows, joint, metrics],
  );
  const key = lines.map(({ id }) => id).join(' ');
  const asked = useMemo(() => (key === '' ? [] : key.split(' ')), [key]);
  const { host, draws, work, begun, tolerance, more } = useDraws(design, asked);
  const { going, refused } = work;
  const ratio = fixed(input.leg.joints[joint]?.transmission.ratio, 1);
  const draw = useCallback(
    (width: number) => drawTolerance(width, lines, tolerance, ratio),
    [lines, tolerance, ratio],
  );
  const heightFor = useCallback((width: number) => toleranceHeight(width, lines.length), [lines]);
  if (lines.length === 0) return null;
  return (
    <Section title={`Tolerances of the ${joint}: how likely, and what to measure next`}>
      <div ref={host}>
        <p className="drawing-legs facts">
          <span role="status">
            {!begun
              ? 'Legs are drawn when this is seen.'
              : going !== undefined
                ? 'Drawing legs and people …'
                : refused === undefined
                  ? `${draws} legs and people drawn.`
                  : refused.kind === 'cancelled'
                    ? `Stopped after ${work.reached?.done ?? 0} of ${draws}.`
                    : refused.kind === 'lost'
                      ? 'The server does not answer, or was started anew. Once it is back, draw again.'
                      : refused.kind === 'open'
                        ? `Not drawn: ${refused.because}.`
                        : refused.faults.map(({ what, mend }) => `Refused. ${what}. ${mend}.`).join(' ')}
          </span>{' '}
          {going !== undefined ? (
            <>
              <progress aria-label="Legs drawn" value={going.done} max={draws} />{' '}
              <span className="quiet">
                <span className="count">
                  <NumberText text={String(going.done)} />
                </span>{' '}
                of {draws}
              </span>{' '}
              <button type="button" className="act" onClick={work.cancel}>
                Stop drawing
              </button>
            </>
          ) : null}
          {refused !== undefined && (
            <button type="button" className="act" onClick={work.start}>
              Draw again
            </button>
          )}
          {begun && going === undefined && refused === undefined && draws === DRAWS && (
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
