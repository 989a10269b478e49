import { type ChannelName, type FaultData, faultText, type StudyInput } from '@striderule/engine';
import type { CsvPreview, ProgressEvent, RecordingChecked } from '@striderule/wire';
import { useEffect, useId, useMemo, useRef, useState } from 'react';
import type { Posted } from '../design/post.ts';
import type { Hairline } from '../hairline.ts';
import { Rule } from '../rule/rule.tsx';
import { groundText } from '../show/ground-text.ts';
import { fixed } from '../show/number.ts';
import { type DroppedFile, droppedFile, type Ended } from './ask-import.ts';
import { TextField } from './fields.tsx';
import { keepForm, keptForm } from './kept-form.ts';
import { FirstRows, LayoutFields, Mapping } from './mapping.tsx';
import { carried, proposed } from './propose.ts';
import { CHANNELS, type RecipeForm, recipeText, turned } from './recipe-form.ts';
import { referenceFor, signRule } from './sign-rule.ts';
import { type Checking, useCheck } from './use-check.ts';

interface ImportPanelProps {
  readonly file: File;
  readonly input: StudyInput;
  readonly hairline: Hairline;
  /** Closes the panel; with a task: it was made, and what is said of it. */
  readonly onEnd: (made?: { readonly task: string; readonly said: string }) => void;
}

/** One for each file, whatever page is open meanwhile: it is sent once. */
const dropped = new WeakMap<File, DroppedFile>();

function droppedOnce(file: File): DroppedFile {
  const known = dropped.get(file) ?? droppedFile(file);
  dropped.set(file, known);
  return known;
}

const LOST =
  'The server does not answer, and it is the server that reads files. The file and all you filled in stay here. Start it again on the same port, open the address it prints in this tab, and drop the file once more: what you filled in comes back.';

/** From a dropped file to a task of the study: preview, mapping, checks with the curves on the rule, and what will be written. */
export default function ImportPanel({ file, input, hairline, onEnd }: ImportPanelProps) {
  const source = useMemo(() => droppedOnce(file), [file]);
  const [got, setGot] = useState<Posted<CsvPreview>>();
  const [form, setForm] = useState<RecipeForm>();
  const title = useRef<HTMLHeadingElement>(null);
  const name = useId();
  const asked = useRef(0);
  const look = (was?: RecipeForm) => {
    const mine = ++asked.current;
    source.preview(was?.layout).then((next) => {
      if (mine !== asked.current) return;
      setGot(next);
      if (next.kind !== 'done') return;
      const kept = keptForm(input);
      const same = kept !== undefined && next.answer.names.includes(kept.clockColumn);
      setForm((now) =>
        now !== undefined || same
          ? carried(now ?? (kept as RecipeForm), next.answer)
          : proposed(next.answer, file.name),
      );
    });
  };
  // biome-ignore lint/correctness/useExhaustiveDependencies: another file is looked at anew, and nothing else is
  useEffect(() => look(), [source]);
  useEffect(() => title.current?.focus(), []);
  useEffect(() => {
    if (form !== undefined) keepForm(input, form);
  }, [form, input]);
  const change = (next: RecipeForm) => {
    const relaid = form !== undefined && JSON.stringify(next.layout) !== JSON.stringify(form.layout);
    setForm(next);
    if (relaid) look(next);
  };
  return (
    <section className="import" aria-labelledby={name}>
      <div className="cap">
        <h2 id={name} ref={title} tabIndex={-1}>
          Import {file.name}
        </h2>
        <button type="button" className="act" onClick={() => onEnd()}>
          Not now
        </button>
      </div>
      {got === undefined && <p role="status">Reading the first rows …</p>}
      {got === undefined || got.kind === 'done' ? null : (
        <div role="alert">
          <Trouble got={got} />
          <button type="button" className="act" onClick={() => look()}>
            Try again
          </button>
        </div>
      )}
      {got?.kind === 'done' && form !== undefined ? (
        <Filled
          source={source}
          preview={got.answer}
          form={form}
          onChange={change}
          input={input}
          hairline={hairline}
          onEnd={onEnd}
        />
      ) : null}
    </section>
  );
}

interface FilledProps extends Pick<ImportPanelProps, 'input' | 'hairline' | 'onEnd'> {
  readonly source: DroppedFile;
  readonly preview: CsvPreview;
  readonly form: RecipeForm;
  readonly onChange: (form: RecipeForm) => void;
}

function Filled({ source, preview, form, onChange, input, hairline, onEnd }: FilledProps) {
  const recipe = useMemo(() => recipeText(form), [form]);
  const [checking, again] = useCheck(source, recipe);
  // what was drawn stays while the next is worked out: a page that jumps cannot be read
  const last = useRef<RecordingChecked>(undefined);
  if (checking.kind === 'done') last.current = checking.answer;
  const more = useId();
  return (
    <>
      <LayoutFields form={form} onChange={onChange} />
      <FirstRows preview={preview} />
      <Mapping form={form} preview={preview} onChange={onChange} />
      <div className="field wide">
        <label htmlFor={more}>
          More lines of the recipe, such as <code>leaveOut:</code>, <code>accept:</code>, <code>person:</code>{' '}
          or <code>notice:</code>
        </label>
        <textarea
          id={more}
          rows={2}
          spellCheck={false}
          value={form.more}
          onChange={({ target }) => onChange({ ...form, more: target.value })}
        />
      </div>
      <Found
        checking={checking}
        found={last.current}
        form={form}
        onChange={onChange}
        again={again}
        input={input}
        hairline={hairline}
      />
      <Save
        input={input}
        source={source}
        recipe={recipe}
        form={form}
        onChange={onChange}
        sound={checking.kind === 'done' && checking.answer.faults.length === 0}
        onEnd={onEnd}
      />
    </>
  );
}

const percent = ({ done, total }: ProgressEvent): string =>
  `${fixed(total === 0 ? 100 : (100 * done) / total, 0)} %`;

const flippedIn = (faults: readonly FaultData[]): ChannelName[] =>
  CHANNELS.map(({ name }) => name).filter((name) =>
    faults.some(({ code, place }) => code === 'gait.recording-sign' && place?.path === name),
  );

interface FoundProps extends Pick<FilledProps, 'form' | 'onChange' | 'input' | 'hairline'> {
  readonly checking: Checking;
  readonly found: RecordingChecked | undefined;
  readonly again: () => void;
}

/** What the checks found: in words, and with the curves on the rule, a published stride behind them. */
function Found({ checking, found, form, onChange, again, input, hairline }: FoundProps) {
  const reference = useMemo(() => referenceFor(input.strides), [input]);
  const flipped = useMemo(() => flippedIn(found?.faults ?? []), [found]);
  const model = useMemo(
    () =>
      found === undefined || found.curves.length === 0 ? undefined : signRule(found, reference, flipped),
    [found, reference, flipped],
  );
  const others = found?.faults.filter(({ code }) => code !== 'gait.recording-sign') ?? [];
  const pointed = found?.checks.filter(({ verdict }) => verdict !== 'holds') ?? [];
  const holding = (found?.checks.length ?? 0) - pointed.length;
  return (
    <div className="found">
      <h3>What the checks find</h3>
      <p role="status" className="strong">
        {checking.kind === 'working' &&
          `Checking … ${checking.progress === undefined ? '' : percent(checking.progress)}`}
        {checking.kind === 'done' && found !== undefined
          ? found.faults.length > 0
            ? `${found.faults.length === 1 ? 'One thing' : `${found.faults.length} things`} to mend before it can be imported.`
            : `It can be imported: ${found.strides} ${found.strides === 1 ? 'stride' : 'strides'} of ${fixed(found.strideTime, 3)} s, stance to ${fixed(100 * (found.stance ?? Number.NaN), 1)} %${found.incline === undefined ? '' : `, ${groundText(found.incline)}`}; ${holding} of ${found.checks.length} checks hold.`
          : null}
      </p>
      <div role="alert">
        {checking.kind === 'lost' || checking.kind === 'faults' ? (
          <>
            <Trouble got={checking} />
            <button type="button" className="act" onClick={again}>
              Check again
            </button>
          </>
        ) : null}
      </div>
      {flipped.map((name) => {
        const field = CHANNELS.find((each) => each.name === name)!;
        return (
          <p key={name} className="flipped">
            <b>{field.title} looks flipped</b>: it is the other way up than every published stride.{' '}
            <button type="button" className="act" onClick={() => onChange(turned(form, name))}>
              Turn {field.title.toLowerCase()}
            </button>
          </p>
        );
      })}
      {others.length > 0 && (
        <ul className="notes said">
          {others.map((fault) => (
            <li key={faultText(fault)}>{faultText(fault)}</li>
          ))}
        </ul>
      )}
      {pointed.length > 0 && (
        <ul className="notes">
          {pointed.map(({ verdict, text }) => (
            <li key={text}>
              {verdict}: {text}
            </li>
          ))}
        </ul>
      )}
      {model === undefined ? null : (
        <>
          <Rule model={model} hairline={hairline} fileName="recording" />
          <p className="note">
            Full: the recording, mean of its strides, per kilogram of the person. Thin:{' '}
            {reference === undefined ? 'no published stride in this study' : reference.title}, which another
            person walked: sizes may differ, ways up may not.
          </p>
        </>
      )}
    </div>
  );
}

interface SaveProps extends Pick<FilledProps, 'input' | 'source' | 'form' | 'onChange' | 'onEnd'> {
  readonly recipe: string;
  /** Whether the checks let it through. */
  readonly sound: boolean;
}

/** What will be written where, and writing it. */
function Save({ input, source, recipe, form, onChange, onEnd, sound }: SaveProps) {
  const [progress, setProgress] = useState<ProgressEvent>();
  const [failed, setFailed] = useState<Ended<unknown>>();
  const [stop, setStop] = useState<AbortController>();
  const save = async () => {
    const controller = new AbortController();
    setStop(controller);
    setFailed(undefined);
    const got = await source.save(
      recipe,
      { task: form.task, title: form.title },
      { signal: controller.signal, onProgress: setProgress },
    );
    setStop(undefined);
    setProgress(undefined);
    if (got.kind === 'done') {
      keepForm(input, undefined);
      onEnd({ task: form.task, said: `Saved ${got.answer.task} and ${got.answer.file}.` });
    } else setFailed(got);
  };
  return (
    <div className="found">
      <h3>What is written</h3>
      <div className="fields">
        <TextField
          label="Id of the task"
          value={form.task}
          onChange={(task) => onChange({ ...form, task })}
        />
        <TextField
          label="Its title"
          value={form.title}
          onChange={(text) => onChange({ ...form, title: text })}
        />
      </div>
      <p className="note">
        Two new files, nothing else is touched: <code>tasks/{form.task}.csv</code>, the file byte for byte,
        and <code>tasks/{form.task}.yaml</code>, the task with this recipe in it:
      </p>
      <pre className="diff">{recipe}</pre>
      <div role="alert">
        {failed === undefined || failed.kind === 'done' ? null : failed.kind === 'cancelled' ? (
          <p className="strong">Stopped. Nothing was written.</p>
        ) : (
          <Trouble got={failed} />
        )}
      </div>
      <p className="acts">
        <button type="button" className="act strong" disabled={!sound || stop !== undefined} onClick={save}>
          {stop === undefined
            ? `Write tasks/${form.task}.yaml`
            : `Writing … ${progress === undefined ? '' : percent(progress)}`}
        </button>
        {stop === undefined ? null : (
          <button type="button" className="act" onClick={() => stop.abort()}>
            Stop
          </button>
        )}
        {sound ? null : <span className="quiet">The checks must let it through first.</span>}
      </p>
    </div>
  );
}

function Trouble({ got }: { readonly got: Ended<unknown> }) {
  if (got.kind === 'lost') return <p className="strong">{LOST}</p>;
  if (got.kind !== 'faults') return null;
  return got.faults.map((fault) => (
    <p key={faultText(fault)} className="strong said">
      {faultText(fault)}
    </p>
  ));
}
