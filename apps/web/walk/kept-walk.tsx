import type { StudyInput } from '@striderule/engine';
import type { Legs } from './use-legs.ts';
import { type ComingWalk, useNotedWalk } from './use-noted-walk.ts';
import { wholeName } from './walk-figures.ts';
import { type KeptWalk, keepWalk, removeKeptWalk, type Walked } from './walk-store.ts';

interface KeptWalkActsProps {
  /** The study as it stands on the page. */
  readonly study: StudyInput;
  readonly legs: Legs;
  readonly kept: KeptWalk | undefined;
  /** That which is shown, and of which leg file. */
  readonly walked: Walked;
  readonly file: string | undefined;
  /** The kept walk is the one that is shown. */
  readonly same: boolean;
  /** Its leg is another now. */
  readonly stale: boolean;
  /** Why its curves are not on the rule; left out: they are. */
  readonly apart: string | undefined;
}

/** Keeps the walk that is shown as a ghost behind others, or lets it go; one that was kept before a reload comes back. */
export function KeptWalkActs({ study, legs, kept, walked, file, same, stale, apart }: KeptWalkActsProps) {
  const coming = useNotedWalk(study, legs, kept);
  const keep = (words: string) => (
    <button type="button" className="act" onClick={() => keepWalk({ walked, name: wholeName(walked), file })}>
      {words}
    </button>
  );
  const remove = (
    <button type="button" className="act" onClick={() => removeKeptWalk(study)}>
      Remove the kept walk
    </button>
  );
  if (coming !== undefined)
    return (
      <p className="walk-kept">
        <Coming {...coming} /> {keep('Keep the one shown instead')} {remove}
      </p>
    );
  if (kept === undefined) return <p className="walk-kept">{keep('Keep this walk to compare with')}</p>;
  return (
    <p className="walk-kept">
      <span role="status">
        Kept: {kept.name}.{' '}
        {stale ? (
          <b>Stale: {kept.walked.ask.input.leg.name}, or its study, has changed since it was walked. </b>
        ) : null}
        {same ? 'It is the walk that is shown. ' : (apart ?? '')}
        {kept.noted ? null : 'This browser does not store it: it is gone when the page is loaded anew.'}
      </span>{' '}
      {!same && keep('Keep this one instead')} {remove}
    </p>
  );
}

/** Where a walk is that was kept before the page was loaded anew. */
function Coming({ noted, state, walking: { done, of, refused, again }, toAnew }: ComingWalk) {
  const why =
    refused === undefined || refused.kind === 'cancelled'
      ? undefined
      : refused.kind === 'open'
        ? refused.because
        : refused.faults.map(({ what }) => what).join('; ');
  return (
    <>
      <span role="status">
        Kept before this page was loaded: {noted.name}. {state === 'reading' && 'Its leg is being read.'}
        {state === 'lost' && 'Its leg could not be read: the server does not answer.'}
        {state === 'gone' && <b>The study no longer has its leg file or its scenario.</b>}
        {state === 'changed' && (
          <b>Its leg, or its study, has changed since: it cannot be walked again as it was.</b>
        )}
        {why === undefined && state === 'same' && 'It is walked again'}
        {why === undefined && state === 'anew' && 'It is walked with the leg as it is now'}
        {why === undefined ? null : <b>It could not be walked again: {why}</b>}
      </span>
      {done === undefined ? null : `: stride ${done}${of === undefined ? '' : ` of ${of}`}.`}{' '}
      {state === 'changed' && (
        <button type="button" className="act" onClick={toAnew}>
          Walk it with the leg as it is now
        </button>
      )}
      {why === undefined ? null : (
        <button type="button" className="act" onClick={again}>
          Try again
        </button>
      )}
    </>
  );
}
