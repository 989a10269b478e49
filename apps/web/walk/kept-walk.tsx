import { wholeName } from './walk-figures.ts';
import { type KeptWalk, keepWalk, type Walked } from './walk-store.ts';

interface KeptWalkActsProps {
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

/** Keeps the walk that is shown as a ghost behind others, or lets it go. */
export function KeptWalkActs({ kept, walked, file, same, stale, apart }: KeptWalkActsProps) {
  const keep = (words: string) => (
    <button type="button" className="act" onClick={() => keepWalk({ walked, file })}>
      {words}
    </button>
  );
  if (kept === undefined) return <p className="walk-kept">{keep('Keep this walk to compare with')}</p>;
  return (
    <p className="walk-kept">
      <span role="status">
        Kept: {wholeName(kept.walked)}.{' '}
        {stale ? (
          <b>Stale: {kept.walked.ask.input.leg.name}, or its study, has changed since it was walked. </b>
        ) : null}
        {same ? 'It is the walk that is shown. ' : (apart ?? '')}
      </span>{' '}
      {!same && keep('Keep this one instead')}{' '}
      <button type="button" className="act" onClick={() => keepWalk(undefined)}>
        Remove the kept walk
      </button>
    </p>
  );
}
