import { faultText } from '@striderule/engine';
import type { RatioPreview, RatioRequest, SaveDone } from '@striderule/wire';
import { useCallback, useEffect, useId, useRef, useState } from 'react';
import { written } from '../show/number.ts';
import { type Posted, post } from './post.ts';
import type { RatioChange } from './use-changes.ts';

interface SavePanelProps {
  readonly changes: readonly RatioChange[];
  readonly onClose: (said: string) => void;
}

const lost = (): string =>
  `The server does not answer, so nothing was written. The ratio stays on this page, and in this tab when it is loaded anew: start the server again on the same port with \`npm start -- --port ${location.port}\`, open the address it prints in this tab, and save then.`;

/** Shows which lines of which file saving would change, and writes them when told to. */
export function SavePanel({ changes, onClose }: SavePanelProps) {
  const [preview, setPreview] = useState<Posted<RatioPreview>>();
  const [failed, setFailed] = useState<Posted<SaveDone>>();
  const [busy, setBusy] = useState(false);
  const title = useRef<HTMLHeadingElement>(null);
  const name = useId();
  const asked = useRef(0);
  const look = useCallback(() => {
    const mine = ++asked.current;
    const request: RatioRequest = { ratios: ratiosOf(changes) };
    // what was shown before is no longer what is on disk: it cannot be written
    setPreview(undefined);
    setFailed(undefined);
    post<RatioPreview>('/api/ratios/preview', request).then((got) => {
      if (mine === asked.current) setPreview(got);
    });
  }, [changes]);
  useEffect(look, [look]);
  useEffect(() => title.current?.focus(), []);
  const save = async () => {
    if (preview?.kind !== 'done') return;
    setBusy(true);
    const { sha256, file } = preview.answer;
    const got = await post<SaveDone>('/api/ratios', { ratios: ratiosOf(changes), sha256 });
    setBusy(false);
    if (got.kind === 'done') onClose(`Saved ${file}.`);
    else setFailed(got);
  };
  return (
    <section className="save" aria-labelledby={name}>
      <h2 id={name} ref={title} tabIndex={-1}>
        Save{' '}
        {changes
          .map(({ joint, saved, now }) => `${joint} ratio ${written(saved)} → ${written(now)}`)
          .join(', ')}
        {preview?.kind === 'done' ? ` into ${preview.answer.file}` : ''}?
      </h2>
      {preview === undefined && <p>Reading the leg file …</p>}
      {preview?.kind === 'done' && (
        <>
          <Lines preview={preview.answer} />
          <p className="note">
            Every other byte of the file stays as it is, comments too. Results that were made with the old
            ratio show as stale.
          </p>
        </>
      )}
      <div role="alert">
        <Trouble got={preview} />
        <Trouble got={failed} />
      </div>
      <p className="acts">
        {preview?.kind === 'done' && failed === undefined ? (
          <button type="button" className="act strong" disabled={busy} onClick={save}>
            {busy ? 'Writing …' : `Write ${preview.answer.file}`}
          </button>
        ) : (
          <button type="button" className="act" onClick={look}>
            Look at the file again
          </button>
        )}
        <button type="button" className="act" onClick={() => onClose('')}>
          Not now
        </button>
      </p>
    </section>
  );
}

const ratiosOf = (changes: readonly RatioChange[]): RatioRequest['ratios'] =>
  Object.fromEntries(changes.map(({ joint, now }) => [joint, now]));

function Lines({ preview: { changes } }: { readonly preview: RatioPreview }) {
  if (changes.length === 0) return <p>The file says this already: there is nothing to write.</p>;
  return (
    <pre className="diff">
      {changes.map(({ line, before, after }) => (
        <span key={line}>
          <del>{`line ${line}  − ${before}\n`}</del>
          <ins>{`line ${line}  + ${after}\n`}</ins>
        </span>
      ))}
    </pre>
  );
}

function Trouble({ got }: { readonly got: Posted<unknown> | undefined }) {
  if (got === undefined || got.kind === 'done') return null;
  if (got.kind === 'lost') return <p className="strong">{lost()}</p>;
  return (
    <>
      {got.faults.map((fault) => (
        <p key={faultText(fault)} className="strong said">
          {faultText(fault)}
        </p>
      ))}
      <p>
        {got.conflict
          ? 'Nothing of that file was written over. The page reads what is on disk by itself; your ratio stays.'
          : 'Nothing was written; your ratio stays on this page.'}
      </p>
    </>
  );
}
