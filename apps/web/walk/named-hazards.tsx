import type { LedgerRow } from '@striderule/engine';
import type { HazardsPayload } from '@striderule/wire';
import type { Known } from '../design/use-ledger.ts';
import { stateWord } from '../ledger/row-text.ts';
import { TableActs } from '../sections/table-acts.tsx';
import { countOf } from './draw-fault-map.ts';
import type { SpeedMap } from './speed-maps.ts';

interface NamedHazardsProps {
  readonly hazards: HazardsPayload['hazards'];
  readonly maps: readonly SpeedMap[];
  readonly ledger: readonly LedgerRow[];
  readonly known: Known;
}

const HEAD = ['hazard', 'measure', 'its faults in the map', 'its requirements'];

/** Hazards of the study that name a fault of the map: how these ended, and where the requirements stand that they name beside them. */
export function NamedHazards({ hazards, maps, ledger, known }: NamedHazardsProps) {
  const rows = maps.flatMap(({ faults }) => faults);
  const ended = (id: string): string => {
    const own = rows.filter((row) => row.id === id);
    const sum = (of: (row: (typeof own)[number]) => number) => own.reduce((total, row) => total + of(row), 0);
    const all = sum(({ trials }) => trials.length);
    if (all === 0) return `${id}: ${own[0]?.openBecause === undefined ? 'not tried' : 'open'}`;
    return `${id}: ${sum((row) => countOf(row, 'survived'))} survived, ${sum((row) => countOf(row, 'fell'))} fell of ${all}`;
  };
  const state = (id: string): string => {
    const row = ledger.find(({ requirement }) => requirement.id === id);
    return `${id}: ${row === undefined ? 'not in the ledger' : stateWord(row, known)}`;
  };
  const lines = hazards
    .map(({ id, hazard, measure, evidence }) => {
      const of = (kind: 'fault' | 'requirement') =>
        evidence.filter((each) => each.kind === kind).map(({ name }) => name);
      return { id, hazard, measure, faults: of('fault').map(ended), asked: of('requirement').map(state) };
    })
    .filter(({ faults }) => faults.length > 0);
  if (lines.length === 0)
    return (
      <p className="empty">
        No hazard of the study names a fault: write <code>fault</code> and its name under <code>shownBy</code>{' '}
        in <code>hazards.yaml</code>, and how it ends in the map stands here.
      </p>
    );
  return (
    <>
      <div className="cap">
        <h3>Hazards that name a fault</h3>
        <TableActs
          what="hazards"
          fileName="hazards-in-the-fault-map.csv"
          rows={() => [
            HEAD,
            ...lines.map(({ id, hazard, measure, faults, asked }) => [
              `${id}: ${hazard}`,
              measure,
              faults.join('; '),
              asked.join('; '),
            ]),
          ]}
        />
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="scroll" tabIndex={0} aria-label="Hazards that name a fault">
        <table className="hazards">
          <thead>
            <tr>
              {HEAD.map((head) => (
                <th scope="col" className="word" key={head}>
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {lines.map(({ id, hazard, measure, faults, asked }) => (
              <tr key={id}>
                <th scope="row">
                  {id} <span className="quiet">{hazard}</span>
                </th>
                <td className="word quiet">{measure}</td>
                <td className="word">{faults.join('; ')}</td>
                <td className="word">{asked.join('; ')}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  );
}
