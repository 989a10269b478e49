import { type LedgerRow, type RequirementState, shownUnit } from '@striderule/engine';
import { Fragment, type KeyboardEvent, useEffect, useId, useRef, useState } from 'react';
import type { Drafting } from '../design/use-draft.ts';
import type { Known } from '../design/use-ledger.ts';
import { NumberText } from '../sections/number-text.tsx';
import { Prose } from '../sections/prose.tsx';
import { Section } from '../sections/section.tsx';
import { TableActs } from '../sections/table-acts.tsx';
import { fixed, significant, written } from '../show/number.ts';
import { EditRequirement } from './edit-requirement.tsx';
import { lineKey } from './line-key.ts';
import { MarginBar } from './margin-bar.tsx';
import { NotWorkedOut } from './not-worked-out.tsx';
import {
  boundText,
  intervalText,
  ledgerCsv,
  marginText,
  scopeText,
  stateWord,
  valueText,
} from './row-text.ts';

const STATES: readonly RequirementState[] = ['met', 'not met', 'open', 'stale'];

/** What is asked, what is predicted, what is left: one line each, every line one step from its inputs. */
export function Ledger({
  rows,
  known,
  open,
  drafting,
}: {
  readonly rows: readonly LedgerRow[];
  readonly known: Known;
  /** Requirement whose line is opened at once. */
  readonly open: string | undefined;
  readonly drafting: Drafting;
}) {
  const [only, setOnly] = useState<RequirementState | 'all'>('all');
  const shown = rows.filter(({ state }) => only === 'all' || state === only);
  const [last, setLast] = useState<string>();
  // one of the lines can be reached by Tab, the arrows lead on from it
  const stop = (shown.find(({ requirement }) => requirement.id === last) ?? shown[0])?.requirement.id;
  const table = useRef<HTMLTableElement>(null);
  const onKeyDown = (event: KeyboardEvent) => {
    const names = [...(table.current?.querySelectorAll<HTMLElement>('.opens') ?? [])];
    const at = names.indexOf(event.target as HTMLElement);
    if (at < 0 || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
    const to = lineKey(event.key, at, names.length);
    if (to === undefined) return;
    event.preventDefault();
    names[to]?.focus();
  };
  return (
    <Section
      title="Requirement ledger"
      acts={
        rows.length > 0 ? (
          <TableActs what="ledger" fileName="ledger.csv" rows={() => ledgerCsv(rows)} />
        ) : null
      }
    >
      {rows.length === 0 ? (
        <p className="empty">
          This study asks for nothing yet. Write a requirement into <code>requirements.yaml</code> (a metric,
          a bound, and why) and it stands here; <code>striderule evidence ledger</code> prints the same lines.
        </p>
      ) : (
        <>
          <fieldset className="pick">
            <legend>Show</legend>
            <div className="words">
              {(['all', ...STATES] as const).map((state) => {
                const count =
                  state === 'all' ? rows.length : rows.filter((row) => row.state === state).length;
                return (
                  <label key={state}>
                    <input
                      type="radio"
                      name="state"
                      checked={only === state}
                      onChange={() => setOnly(state)}
                    />
                    <span>
                      {state} <span className="quiet count">{count}</span>
                    </span>
                  </label>
                );
              })}
            </div>
          </fieldset>
          <NotWorkedOut walked />
          <table
            ref={table}
            className="ledger"
            data-whole={known === 'whole' || undefined}
            onKeyDown={onKeyDown}
          >
            <caption className="sr">
              Requirements, line by line. Arrow up and down lead from line to line, Enter opens one.
            </caption>
            <thead>
              <tr>
                <th scope="col">Requirement</th>
                <th scope="col">asked</th>
                <th scope="col">predicted</th>
                <th scope="col" className="later unmade">
                  measured
                </th>
                <th scope="col" className="later unmade">
                  shown
                </th>
                <th scope="col" className="later">
                  margin
                </th>
                <th scope="col" className="barred">
                  <span>room</span> <span>limit</span> <span>lacking</span>
                </th>
                <th scope="col" className="word">
                  state
                </th>
              </tr>
            </thead>
            {shown.map((row) => (
              <Line
                key={row.requirement.id}
                row={row}
                known={known}
                first={row.requirement.id === open}
                stop={row.requirement.id === stop}
                onStop={setLast}
                drafting={drafting}
              />
            ))}
          </table>
          {shown.length === 0 && <p className="empty">No requirement is {only}.</p>}
          <p className="note">
            Bars are logarithmic in value ÷ limit (temperatures in kelvin), the limit at one place in every
            row; box: 5th to 95th percentile of the prediction, solid beyond the limit. <b>met</b>: the whole
            interval is inside. <b>open</b>: the value is inside and the interval is not, or nothing is
            predicted yet. What walks judge has no interval: a line between two marks joins what the thigh
            prescribed and the thigh led come to, and it is <b>met</b> where both are inside, <b>open</b>{' '}
            where one is; <b>stale</b>: of a walk before the last change. Measured comes with the bench, shown
            with the trials: both are empty so far.
          </p>
          <p className="caution">
            A model’s word, not a measurement. Where torque, strength, speed, heat or gains can hurt somebody:
            tethered bench first, emergency stop, overhead harness, and nobody on the leg before the ethics
            board, a licensed prosthetist and the standards and local codes that apply have had their say.
          </p>
        </>
      )}
    </Section>
  );
}

function Line({
  row,
  known,
  first,
  stop,
  onStop,
  drafting,
}: {
  readonly row: LedgerRow;
  readonly known: Known;
  readonly first: boolean;
  /** Whether Tab leads here. */
  readonly stop: boolean;
  /** Has the focus. */
  readonly onStop: (id: string) => void;
  readonly drafting: Drafting;
}) {
  const [open, setOpen] = useState(first);
  const line = useRef<HTMLTableSectionElement>(null);
  useEffect(() => {
    if (!first) return;
    setOpen(true);
    line.current?.scrollIntoView({ block: 'center' });
    line.current?.querySelector('button')?.focus({ preventScroll: true });
  }, [first]);
  const [details, where] = [useId(), useId()];
  const change = drafting.draft.requirements.find(({ id }) => id === row.requirement.id);
  const { unit } = shownUnit(row.unit);
  return (
    <tbody ref={line} data-state={row.state} data-requirement={row.requirement.id}>
      <tr>
        <th scope="row">
          <div className="line">
            <button
              type="button"
              className="opens"
              aria-expanded={open}
              aria-controls={details}
              aria-describedby={where}
              tabIndex={stop ? 0 : -1}
              onFocus={() => onStop(row.requirement.id)}
              onClick={() => setOpen(!open)}
            >
              {row.title}
            </button>{' '}
            <span className="quiet" id={where}>
              {[scopeText(row), unit].filter((part) => part !== '' && part !== '×').join(', ')}
            </span>
          </div>
        </th>
        <td>
          {boundText(row)}
          {change === undefined ? null : <span className="quiet was"> saved {change.saved.text}</span>}
        </td>
        <td className="strong">
          <NumberText text={valueText(row, row.predicted)} />
        </td>
        <td className="later unmade quiet">{valueText(row, row.measured)}</td>
        <td className="later unmade quiet">{valueText(row, row.shown)}</td>
        <td className="later">
          <NumberText text={marginText(row)} />
        </td>
        <td className="barred">
          <MarginBar row={row} />
        </td>
        <td className={row.state === 'met' ? 'word' : 'word strong'}>{stateWord(row, known)}</td>
      </tr>
      <tr id={details} hidden={!open}>
        <td colSpan={8} className="inside">
          {open ? (
            <>
              <EditRequirement
                input={drafting.draft.input}
                words={drafting.metrics[row.requirement.metric]!}
                requirement={row.requirement}
                onAsk={(asked) => drafting.setAsked(row.requirement.id, asked)}
              />
              <Inside row={row} />
            </>
          ) : null}
        </td>
      </tr>
    </tbody>
  );
}

function Inside({ row }: { readonly row: LedgerRow }) {
  const { of, unit } = shownUnit(row.unit);
  const facts: (readonly [string, string])[] = [
    [
      'Predicted',
      row.predicted === null
        ? `not yet: ${row.openBecause ?? ''}`
        : `${fixedOrSignificant(of(row.predicted))} ${unit}`,
    ],
    [row.walk === undefined ? 'Interval' : 'Bracket', intervalText(row)],
    ['Margin', row.margin === null ? 'not known' : `${marginText(row)} ${unit}`],
    ['Worst at', row.at ?? (row.walk === undefined ? 'the same for every task' : 'not walked')],
    ...(row.walk?.changed === undefined
      ? []
      : [['Stale', `walked before; since then ${row.walk.changed}`] as const]),
    ['Formula', row.formula],
    ['Chapter', `docs/${row.chapter}`],
  ];
  return (
    <div className="reason">
      <div>
        <dl>
          {facts.map(([name, text]) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{text}</dd>
            </div>
          ))}
        </dl>
        {row.cautions.length > 0 && (
          <ul className="notes">
            {row.cautions.map((caution) => (
              <li key={caution}>
                <Prose text={caution} />
              </li>
            ))}
          </ul>
        )}
      </div>
      {row.inputs.length > 0 && (
        <table>
          <caption>Made from</caption>
          <tbody>
            {row.inputs.map(({ path, value, unit: si }) => {
              const shown = shownUnit(si);
              return (
                <tr key={path}>
                  <th scope="row">
                    <PathText path={path} />
                  </th>
                  <td>{typeof value === 'string' ? value : written(shown.of(value))}</td>
                  <td className="word quiet">{shown.unit === '×' ? '' : shown.unit}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      )}
    </div>
  );
}

/** A path of the leg file, that breaks after a point rather than inside a word. */
const PathText = ({ path }: { readonly path: string }) =>
  path.split('.').map((part, k) => (
    <Fragment
      key={path
        .split('.')
        .slice(0, k + 1)
        .join('.')}
    >
      {k === 0 ? '' : '.'}
      {k === 0 ? null : <wbr />}
      {part}
    </Fragment>
  ));

const fixedOrSignificant = (value: number): string =>
  Number.isInteger(value) ? fixed(value, 0) : significant(value, 4);
