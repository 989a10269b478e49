import type { Long } from '../design/use-long.ts';
import { fixed } from '../show/number.ts';

interface LongActsProps {
  readonly work: Long<'faults'> | Long<'cuts'> | Long<'price'>;
  /** What the button says before and after it was done. */
  readonly start: string;
  readonly what: string;
  readonly demo: boolean;
}

/** How long work is begun, how far it is, how it is stopped, and why it did not come about. One line, whatever it says. */
export function LongActs({ work, start, what, demo }: LongActsProps) {
  const { going, took, refused } = work;
  if (going !== undefined)
    return (
      <p className="acts long-acts">
        <span>
          <progress value={going.done} max={going.total} aria-label={what} /> {what}: {going.done} of{' '}
          {going.total}, {going.label}
        </span>
        <button type="button" className="act" onClick={work.cancel}>
          Cancel
        </button>
      </p>
    );
  return (
    <p className="acts long-acts">
      <button type="button" className="act" onClick={work.start}>
        {took === undefined && refused === undefined ? start : `${start} again`}
      </button>
      <span role="status">
        {took !== undefined && `${fixed(took, 1)} s on the server${demo ? '; demo data' : ''}.`}
        {refused?.kind === 'cancelled' && 'Cancelled; what was found so far stands below.'}
        {refused?.kind === 'lost' &&
          `The server does not answer, or was started anew.${
            work.parts.length === 0 ? '' : ' What was found so far stands below.'
          } Once it is back, start this again.`}
        {refused?.kind === 'open' && `Not worked out: ${refused.because}.`}
        {refused?.kind === 'faults' &&
          refused.faults.map(({ what: of, mend }) => `Refused. ${of}. ${mend}.`).join(' ')}
      </span>
    </p>
  );
}
