import type { DrivenJoint, JointHeat } from '@striderule/engine';
import { useEffect, useState } from 'react';
import type { LiveRatio } from '../design/live-ratio.ts';
import { fixed } from '../show/number.ts';
import { celsius, heatOf } from './draw-heat.ts';

/** Hottest winding within each block of the schedule, K. */
function hottestIn({ course, order }: JointHeat): number[] {
  const most = order.map(() => Number.NEGATIVE_INFINITY);
  course.winding.forEach((kelvin, i) => {
    const block = course.block[i] ?? -1;
    if (block >= 0 && !(kelvin <= (most[block] ?? 0))) most[block] = kelvin;
  });
  return most;
}

/** The day of one joint, task by task, as it is drawn. */
export function HeatTable({ joint, live }: { readonly joint: DrivenJoint; readonly live: LiveRatio }) {
  const [heat, setHeat] = useState(() => heatOf(live.at(), joint));
  useEffect(() => live.follow((moving) => setHeat(heatOf(moving, joint))), [live, joint]);
  if ('openBecause' in heat) return <p className="empty">{heat.openBecause}</p>;
  const most = hottestIn(heat);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className="scroll" tabIndex={0} aria-label="The day as a table">
      <table>
        <caption>The {joint} over the day, in the order that is drawn</caption>
        <thead>
          <tr>
            <th scope="col">Task</th>
            <th scope="col">
              time <span className="quiet">h</span>
            </th>
            <th scope="col">
              copper loss, cold <span className="quiet">W</span>
            </th>
            <th scope="col">
              friction <span className="quiet">W</span>
            </th>
            <th scope="col">
              hottest winding in it <span className="quiet">°C</span>
            </th>
            <th scope="col">
              winding, were it done for ever <span className="quiet">°C</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {heat.order.map((id, k) => {
            const task = heat.tasks.find((each) => each.id === id);
            // a block after a melt was never reached
            const reached = Number.isFinite(most[k] ?? Number.NaN);
            return (
              <tr key={id}>
                <th scope="row">{task?.title}</th>
                <td>{fixed((task?.duration ?? Number.NaN) / 3600, 2)}</td>
                <td>{fixed(task?.load.copper, 1)}</td>
                <td>{fixed(task?.load.friction, 1)}</td>
                <td>{reached ? fixed(celsius(most[k] ?? Number.NaN), 0) : 'not reached'}</td>
                <td>{fixed(celsius(task?.steady.winding ?? Number.NaN), 0)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}
