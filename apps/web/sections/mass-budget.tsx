import type { StrideDemand } from '@striderule/engine';
import { fixed } from '../show/number.ts';
import { Section } from './section.tsx';
import { TableActs } from './table-acts.tsx';

/** What the device's own mass changes: the two moments told apart, and what 100 g more would cost. */
export function MassBudget({ demand }: { readonly demand: StrideDemand }) {
  const rows = () => [
    ['100 g at', 'hip moment, N·m', 'knee moment, N·m', 'hip work, J per stride', 'knee work, J per stride'],
    ...demand.massBudget.map((c) => [c.where, c.hipMoment, c.kneeMoment, c.hipWork, c.kneeWork]),
  ];
  return (
    <Section
      title="What the leg’s own mass changes"
      acts={
        demand.massBudget.length > 0 ? (
          <TableActs what="mass costs" fileName={`${demand.task.id}-mass.csv`} rows={rows} />
        ) : null
      }
    >
      {demand.massBudget.length === 0 ? (
        <p className="empty">
          Not known for this task: it needs a thigh angle and moments, and the source has not published both.
          Choose a level walk or the stairs, or record strides of your own.
        </p>
      ) : (
        <>
          <p className="note">
            In stance the moment is the human one. In swing published moments carry a biological shank and
            foot; this leg has its own, so the full line leaves the dashed one. Adding 100 g at a segment’s
            centre of mass, at unchanged motion, costs in swing:
          </p>
          <table className="mass">
            <thead>
              <tr>
                <th scope="col">100 g at the</th>
                <th scope="col">
                  hip moment <span className="quiet">N·m</span>
                </th>
                <th scope="col">
                  knee moment <span className="quiet">N·m</span>
                </th>
                <th scope="col">
                  hip work <span className="quiet">J/stride</span>
                </th>
                <th scope="col">
                  knee work <span className="quiet">J/stride</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {demand.massBudget.map((cost) => (
                <tr key={cost.where}>
                  <th scope="row">{cost.where}</th>
                  <td>{fixed(cost.hipMoment, 2)}</td>
                  <td>{fixed(cost.kneeMoment, 2)}</td>
                  <td>{fixed(cost.hipWork, 2)}</td>
                  <td>{fixed(cost.kneeWork, 2)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      )}
    </Section>
  );
}
