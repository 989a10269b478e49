import type { DesignResult, StrideDemand } from '@striderule/engine';
import { useEffect, useRef } from 'react';
import { whileSeen } from '../draw/while-seen.ts';
import { type Hairline, sampleAt, writeText } from '../hairline.ts';
import { QUANTITIES } from '../rule/quantities.ts';
import { JOINTS } from '../rule/rule-model.ts';
import { fixed } from '../show/number.ts';
import { phaseName } from '../show/phase.ts';

interface AtHairlineProps {
  readonly result: DesignResult;
  readonly demand: StrideDemand;
  readonly hairline: Hairline;
}

/** Every number of the rule at the hairline, all joints side by side. Cells are written in place as the hairline moves. */
export function AtHairline({ result, demand, hairline }: AtHairlineProps) {
  const table = useRef<HTMLTableElement>(null);
  useEffect(() => {
    const host = table.current;
    if (host === null) return;
    const cells = QUANTITIES.flatMap((q) =>
      JOINTS.map((joint) => {
        const own = demand.joints[joint];
        const load = joint === 'hip' ? undefined : result.loads[demand.task.id]?.[joint];
        return {
          cell: host.querySelector(`[data-cell="${q.key} ${joint}"]`),
          values: own && q.of(own, load),
          decimals: q.decimals,
        };
      }),
    );
    const where = host.querySelector('[data-cell=where]');
    return whileSeen(host, hairline.follow, (percent) => {
      const sample = sampleAt(percent);
      for (const { cell, values, decimals } of cells)
        if (cell !== null) writeText(cell, fixed(values?.[sample], decimals));
      if (where !== null)
        where.textContent = `${fixed(percent, percent % 1 === 0 ? 0 : 1)} %, ${phaseName(percent, demand.stance)}`;
    });
  }, [result, demand, hairline]);
  return (
    <table ref={table} className="at">
      <caption>
        At the hairline, <span className="where" data-cell="where" />
      </caption>
      <thead>
        <tr>
          <th scope="col">
            <span className="sr">Quantity</span>
          </th>
          {JOINTS.map((joint) => (
            <th scope="col" key={joint}>
              {joint}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {QUANTITIES.map((q) => (
          <tr key={q.key}>
            <th scope="row">
              {q.name} <span className="quiet">{q.unit}</span>
            </th>
            {JOINTS.map((joint) => (
              <td key={joint} data-cell={`${q.key} ${joint}`} />
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
