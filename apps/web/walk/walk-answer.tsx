import { shownUnit, type WalkLine } from '@striderule/engine';
import { boundText, valueText } from '../ledger/row-text.ts';
import { NumberText } from '../sections/number-text.tsx';
import { fixed, significant } from '../show/number.ts';
import type { Walking } from './use-walk.ts';
import { insteadVerdict, walkAnswer } from './walk-figures.ts';
import { STRIDES } from './walk-length.ts';
import type { Walked } from './walk-store.ts';

interface WalkToldProps {
  readonly walking: Walking;
  /** What the study asks of the walk that was walked. */
  readonly lines: readonly WalkLine[];
  /** To the picture that it was picked from. */
  readonly back: { readonly go: () => void; readonly words: string } | undefined;
}

/** The answer to the page's question in a sentence, or how the walk goes that is to give it. */
export function WalkTold({ walking, lines, back }: WalkToldProps) {
  const { done, of = STRIDES, walked, refused } = walking;
  return (
    <div className="walk-told">
      {done !== undefined && (
        <p>
          <progress value={done} max={of} aria-label="Strides walked" /> Walking: stride{' '}
          <span className="count">
            <NumberText text={String(done)} />
          </span>{' '}
          of {of}
          {walked === undefined ? '' : '; below stands the walk before it'}.{' '}
          <button type="button" className="act" onClick={walking.cancel}>
            Cancel
          </button>
        </p>
      )}
      {refused !== undefined && (
        <div role="alert">
          {refused.kind === 'cancelled' && <p>Cancelled.</p>}
          {refused.kind === 'open' && <p>Not walked: {refused.because}.</p>}
          {refused.kind === 'faults' &&
            refused.faults.map(({ what, mend }) => (
              <p key={what}>
                Refused. {what}. {mend}.
              </p>
            ))}
          {walked !== undefined && <p>What stands below is the walk before it.</p>}
          <button type="button" className="act" onClick={walking.again}>
            Walk again
          </button>
        </div>
      )}
      {done === undefined && refused === undefined && walked !== undefined && (
        <p className="strong" role="status">
          {walked.ask.instead === undefined
            ? walkAnswer(walked.ask.input.leg.name, walked.report, lines)
            : insteadVerdict(walked)}{' '}
          {back !== undefined && (
            <button type="button" className="act" onClick={back.go}>
              {back.words}
            </button>
          )}
        </p>
      )}
    </div>
  );
}

interface WalkWhyProps {
  readonly walked: Walked;
  readonly lines: readonly WalkLine[];
  readonly demo: boolean;
  /** How many lines of the ledger walks judge, and where they stand in words, as beside the page's name in the rail. */
  readonly asked: number;
  readonly rail: string;
  readonly toRow: (id: string) => void;
}

/** Lines that are told at once; the others stand one click away, so that the answer is never longer than a few lines. Our choice. */
const TOLD = 3;

/** What the answer rests on: the lines by their titles, each a way to the evidence, and why the rail counts others. */
export function WalkWhy({ walked, lines, demo, asked, rail, toRow }: WalkWhyProps) {
  const { report, took, stored, ask } = walked;
  const of = (state: WalkLine['state']) => lines.filter((line) => line.state === state);
  const kinds = (['not met', 'open', 'met'] as const).filter((state) => of(state).length > 0);
  const [missed, outside] = [of('not met'), report.checks.filter(({ holds }) => !holds)];
  return (
    <>
      {missed.length > 0 && (
        <p>
          Not met, the worst first: <Lines lines={missed.slice(0, TOLD)} toRow={toRow} />
          {missed.length > TOLD ? `; and ${missed.length - TOLD} more.` : '.'}
        </p>
      )}
      {outside.length > 0 && (
        <p>
          Beyond its line from outside:{' '}
          {outside
            .map(
              ({ what, value, low, high }) =>
                `${what} ${fixed(value, 2)} (${fixed(low, 2)} to ${fixed(high, 2)})`,
            )
            .join('; ')}
          .
        </p>
      )}
      {lines.length > 0 && (
        <details className="under">
          <summary>
            What the study asks of such a walk:{' '}
            {kinds.map((state) => `${of(state).length} ${state}`).join(', ')}
          </summary>
          {kinds.map((state) => (
            <p key={state}>
              {state === 'not met' ? 'Not met' : state === 'open' ? 'Open' : 'Met'}:{' '}
              <Lines lines={of(state)} toRow={toRow} />.
            </p>
          ))}
        </details>
      )}
      <p className="quiet">
        {ask.instead !== undefined && asked > 0 && 'The study’s lines are asked of walks on the level. '}
        {lines.length > 0 && 'Judged by this walk alone. '}
        The energy misses at most {significant(100 * report.audit.share, 2)} % of the work moved.{' '}
        {stored ? 'As walked before, in ' : 'Walked in '}
        {fixed(took, 1)} s{demo ? '; demo data' : ''}.{/* last, since its words change while numbers come */}
        {asked > 0 &&
          ` Beside Walk in the rail stand all ${asked} lines, of the study’s own leg, each by the worst of the speeds, thighs and controllers that it names, power cuts and faults among them: ${rail}.`}
      </p>
    </>
  );
}

/** Lines one after another, each with what was walked and what is asked. */
function Lines({
  lines,
  toRow,
}: {
  readonly lines: readonly WalkLine[];
  readonly toRow: (id: string) => void;
}) {
  return lines.map((line, k) => {
    const { id, joint } = line.requirement;
    const { unit } = shownUnit(line.unit);
    const told =
      line.value === null
        ? (line.openBecause ?? '')
        : `${valueText(line, line.value)}, asked ${boundText(line)}${unit === '×' ? '' : unit.startsWith('°') ? unit : ` ${unit}`}`;
    return (
      <span key={id}>
        {k > 0 && '; '}
        <a
          href={`#page=evidence&row=${id}`}
          onClick={(event) => {
            if (event.ctrlKey || event.metaKey || event.shiftKey) return;
            event.preventDefault();
            toRow(id);
          }}
        >
          {line.title}
          {joint === undefined ? '' : `, ${joint}`}
        </a>{' '}
        ({told})
      </span>
    );
  });
}
