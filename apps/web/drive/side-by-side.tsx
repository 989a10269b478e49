import { type DrivenJoint, Fault, type LedgerRow, type StudyInput, shownUnit } from '@striderule/engine';
import type { LegsPayload } from '@striderule/wire';
import { useEffect, useState } from 'react';
import { askLedger } from '../design/ask-ledger.ts';
import { boundText, stateWord, valueText } from '../ledger/row-text.ts';
import type { Metrics } from '../read-study.ts';
import { receivedLeg } from '../received-leg.ts';
import { Section } from '../sections/section.tsx';
import { TableActs } from '../sections/table-acts.tsx';
import { written } from '../show/number.ts';
import { rowsMoved } from './rows-moved.ts';

interface SideBySideProps {
  readonly input: StudyInput;
  readonly metrics: Metrics;
  readonly joint: DrivenJoint;
  /** The lines that are compared. */
  readonly rows: readonly LedgerRow[];
}

/** More columns than this no longer stand side by side. */
const MOST = 4;

interface Column {
  readonly name: string;
  readonly ratio: number;
  readonly motor: string;
  /** By requirement; undefined while they are worked out. */
  readonly rows?: ReadonlyMap<string, LedgerRow>;
}

/** The drives of the study's leg files beside one another, on the lines that the ratio moves. */
export function SideBySide({ input, metrics, joint, rows }: SideBySideProps) {
  const [got, setGot] = useState<LegsPayload | 'lost'>();
  const [asked, setAsked] = useState(false);
  const look = () => {
    setAsked(true);
    setGot(undefined);
    fetch('/api/study/legs', { headers: { accept: 'application/json' } })
      .then((answer) => (answer.ok ? answer.json() : Promise.reject(new Error(String(answer.status)))))
      .then(
        (payload: LegsPayload) => setGot(payload),
        () => setGot('lost'),
      );
  };
  return (
    <Section title={`The ${joint} of the study’s legs side by side`}>
      {asked ? null : (
        <button type="button" className="act" onClick={look}>
          Set the leg files of this study side by side
        </button>
      )}
      {asked && got === undefined ? <p role="status">Reading the leg files …</p> : null}
      {got === 'lost' && (
        <p role="alert">
          The server does not answer.{' '}
          <button type="button" className="act" onClick={look}>
            Ask again
          </button>
        </p>
      )}
      {got !== undefined && got !== 'lost' && <Columns {...{ input, metrics, joint, rows }} payload={got} />}
    </Section>
  );
}

/** The legs that drive the joint, lowest ratio first. */
const drivenLegs = ({ legs }: LegsPayload, joint: DrivenJoint): LegsPayload['legs'] => {
  const ratio = ({ leg }: LegsPayload['legs'][number]) => leg.joints[joint]?.transmission.ratio ?? Number.NaN;
  return legs
    .filter(({ leg }) => leg.joints[joint] !== undefined)
    .toSorted((a, b) => ratio(a) - ratio(b))
    .slice(0, MOST);
};

function Columns({
  payload,
  input,
  metrics,
  joint,
  rows,
}: SideBySideProps & { readonly payload: LegsPayload }) {
  const driven = drivenLegs(payload, joint);
  const left = payload.legs.length - driven.length;
  const [worked, setWorked] = useState<Readonly<Record<string, ReadonlyMap<string, LedgerRow>>>>({});
  const [lost, setLost] = useState(false);
  const own = rowsMoved(rows, joint, metrics);
  const only = own.map(({ requirement }) => requirement.id).join(' ');
  useEffect(() => {
    if (lost) return;
    setWorked({});
    // one after the other: a machine has few processors, and the page is read meanwhile
    let stop = () => {};
    const work = (k: number) => {
      const each = drivenLegs(payload, joint)[k];
      if (each === undefined) return;
      const asker = askLedger({ ...input, leg: receivedLeg(each.leg), spreads: each.spreads });
      stop = asker.end;
      asker.ask({ only: only.split(' '), intervals: true }, (answer) => {
        asker.end();
        if ('lost' in answer) {
          setLost(true);
          return;
        }
        if ('faults' in answer) throw new Fault(answer.faults);
        setWorked((was) => ({
          ...was,
          [each.name]: new Map(answer.rows.map((row) => [row.requirement.id, row])),
        }));
        work(k + 1);
      });
    };
    work(0);
    return () => stop();
  }, [payload, input, joint, only, lost]);
  const columns = driven.map(({ name, leg }): Column => {
    const done = worked[name];
    const { transmission, motor } = leg.joints[joint]!;
    return { name, ratio: transmission.ratio, motor: motor.name, ...(done !== undefined && { rows: done }) };
  });
  const csv = () => [
    [
      'requirement',
      'unit',
      'asked',
      ...columns.flatMap(({ name, ratio }) => [`${name}, ${joint} ${written(ratio)} : 1`, 'state']),
    ],
    ...own.map((row) => {
      const { unit, of } = shownUnit(row.unit);
      return [
        row.title,
        unit,
        boundText(row),
        ...columns.flatMap(({ rows: of4 }) => {
          const there = of4?.get(row.requirement.id);
          return [there?.predicted == null ? null : of(there.predicted), there?.state];
        }),
      ];
    }),
  ];
  return (
    <>
      {lost ? (
        <p role="alert">
          The legs are not worked out: the script that does it could not be read or run.{' '}
          <button type="button" className="act" onClick={() => setLost(false)}>
            Try again
          </button>
        </p>
      ) : null}
      <TableActs what="legs" fileName={`legs-${joint}.csv`} rows={csv} />
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="scroll" tabIndex={0} aria-label="Legs side by side">
        <table className="legs">
          <thead>
            <tr>
              <th scope="col">What the ratio moves</th>
              <th scope="col">asked</th>
              {columns.map(({ name, ratio, motor }) => (
                <th scope="col" key={name}>
                  <b>{name}</b> {joint} {written(ratio)} : 1 <span className="quiet">{motor}</span>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {own.map((row) => {
              const { id, task } = row.requirement;
              const { unit } = shownUnit(row.unit);
              return (
                <tr key={id}>
                  <th scope="row">
                    {row.title}{' '}
                    <span className="quiet">
                      {[task, unit === '×' ? '' : unit]
                        .filter((part) => part !== undefined && part !== '')
                        .join(', ')}
                    </span>
                  </th>
                  <td>{boundText(row)}</td>
                  {columns.map((column) => (
                    <Cell key={column.name} column={column} id={id} />
                  ))}
                </tr>
              );
            })}
          </tbody>
        </table>
      </section>
      <p className="note">
        As their files say, each with its own motor, gears and mass.{' '}
        {left > 0
          ? `${left} of the study’s legs are left out: at most ${MOST} that drive the ${joint} stand here. `
          : ''}
        {payload.faulty.length > 0 && (
          <>
            Not readable as they are: {payload.faulty.join(', ')}; <code>striderule study check</code> says
            why.
          </>
        )}
      </p>
    </>
  );
}

function Cell({ column, id }: { readonly column: Column; readonly id: string }) {
  const row = column.rows?.get(id);
  if (row === undefined) return <td className="quiet">…</td>;
  return (
    <td>
      <b>{valueText(row, row.predicted)}</b>{' '}
      <span className={row.state === 'met' ? 'quiet' : 'strong'}>{stateWord(row, 'whole')}</span>
    </td>
  );
}
