import { faultText } from '@striderule/engine';
import type {
  FilePreview,
  LineChange,
  RatioRequest,
  RequirementEdit,
  RequirementsRequest,
  SaveDone,
} from '@striderule/wire';
import { useCallback, useEffect, useId, useRef, useState } from 'react';
import { written } from '../show/number.ts';
import { type Posted, post } from './post.ts';
import type { Draft, RequirementChange } from './use-draft.ts';

interface SavePanelProps {
  readonly draft: Draft;
  readonly onClose: (said: string) => void;
}

/** What goes into one file: where it is asked for, and with what. */
interface Part {
  readonly address: string;
  readonly request: RatioRequest | RequirementsRequest;
}

const lost = (): string =>
  `The server does not answer, so nothing was written. What you changed stays on this page, and in this tab when it is loaded anew: start the server again on the same port with \`npm start -- --port ${location.port}\`, open the address it prints in this tab, and save then.`;

const editOf = ({ saved, now }: RequirementChange): RequirementEdit => ({
  ...(now.value !== saved.value && { bound: now.text }),
  ...(now.joint !== saved.joint && now.joint !== undefined && { joint: now.joint }),
  ...(now.task !== saved.task && { task: now.task ?? null }),
  ...(now.because !== saved.because && { because: now.because }),
});

const partsOf = ({ ratios, requirements }: Draft): readonly Part[] => [
  ...(ratios.length === 0
    ? []
    : [
        {
          address: '/api/ratios',
          request: { ratios: Object.fromEntries(ratios.map(({ joint, now }) => [joint, now])) },
        },
      ]),
  ...(requirements.length === 0
    ? []
    : [
        {
          address: '/api/requirements',
          request: { requirements: Object.fromEntries(requirements.map((each) => [each.id, editOf(each)])) },
        },
      ]),
];

const both = (words: readonly string[]): string => words.join(' and ');

/** A server that is gone is said once. */
const firstLost = (got: Posted<unknown>, k: number, all: readonly Posted<unknown>[]): boolean =>
  got.kind !== 'lost' || all.findIndex(({ kind }) => kind === 'lost') === k;

/** Shows which lines of which files saving would change, and writes them when told to. */
export function SavePanel({ draft, onClose }: SavePanelProps) {
  const [previews, setPreviews] = useState<readonly Posted<FilePreview>[]>();
  const [failed, setFailed] = useState<Posted<SaveDone>>();
  const [busy, setBusy] = useState(false);
  const title = useRef<HTMLHeadingElement>(null);
  const name = useId();
  const asked = useRef(0);
  const look = useCallback(() => {
    const mine = ++asked.current;
    // what was shown before is no longer what is on disk: it cannot be written
    setPreviews(undefined);
    setFailed(undefined);
    Promise.all(
      partsOf(draft).map(({ address, request }) => post<FilePreview>(`${address}/preview`, request)),
    ).then((got) => {
      if (mine === asked.current) setPreviews(got);
    });
  }, [draft]);
  useEffect(look, [look]);
  useEffect(() => title.current?.focus(), []);
  const shown = previews?.flatMap((each) => (each.kind === 'done' ? [each.answer] : [])) ?? [];
  const sound = previews !== undefined && shown.length === previews.length;
  const files = both(shown.map(({ file }) => file));
  const save = async () => {
    setBusy(true);
    const saved: string[] = [];
    for (const [k, { address, request }] of partsOf(draft).entries()) {
      const got = await post<SaveDone>(address, { ...request, sha256: shown[k]?.sha256 });
      if (got.kind !== 'done') {
        setBusy(false);
        setFailed(got);
        return;
      }
      saved.push(got.answer.file);
    }
    setBusy(false);
    onClose(`Saved ${both(saved)}.`);
  };
  const words = [
    ...draft.ratios.map(({ joint, saved, now }) => `${joint} ratio ${written(saved)} → ${written(now)}`),
    ...draft.requirements.map(({ id }) => `requirement ${id}`),
  ];
  return (
    <section className="save" aria-labelledby={name}>
      <h2 id={name} ref={title} tabIndex={-1}>
        Save {words.join(', ')}
        {sound ? ` into ${files}` : ''}?
      </h2>
      {previews === undefined && <p>Reading the files …</p>}
      {shown.map((preview) => (
        <Lines key={preview.file} preview={preview} named={shown.length > 1} />
      ))}
      {sound ? (
        <p className="note">
          Every other byte stays as it is, comments too. Results that were made with what stood there before
          show as stale.
        </p>
      ) : null}
      <div role="alert">
        {previews?.filter(firstLost).map((got, k) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: one for each file, in order
          <Trouble key={k} got={got} />
        ))}
        <Trouble got={failed} />
      </div>
      <p className="acts">
        {sound && failed === undefined ? (
          <button type="button" className="act strong" disabled={busy} onClick={save}>
            {busy ? 'Writing …' : `Write ${files}`}
          </button>
        ) : (
          <button type="button" className="act" onClick={look}>
            Look at the {(previews?.length ?? 1) > 1 ? 'files' : 'file'} again
          </button>
        )}
        <button type="button" className="act" onClick={() => onClose('')}>
          Not now
        </button>
      </p>
    </section>
  );
}

function Lines({
  preview: { file, changes },
  named,
}: {
  readonly preview: FilePreview;
  readonly named: boolean;
}) {
  return (
    <>
      {named ? <p className="strong">{file}</p> : null}
      {changes.length === 0 ? (
        <p>The file says this already: there is nothing to write.</p>
      ) : (
        <pre className="diff">
          {changes.map((change) => (
            <Changed key={`${change.line} ${change.before}`} change={change} />
          ))}
        </pre>
      )}
    </>
  );
}

function Changed({ change: { line, before, after } }: { readonly change: LineChange }) {
  return (
    <span>
      {before !== undefined && <del>{`line ${line}  − ${before}\n`}</del>}
      {after !== undefined && <ins>{`line ${line}  + ${after}\n`}</ins>}
    </span>
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
          ? 'Nothing of that file was written over. The page reads what is on disk by itself; what you changed stays.'
          : 'Nothing was written; what you changed stays on this page.'}
      </p>
    </>
  );
}
