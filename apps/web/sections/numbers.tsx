import type { DesignResult, JointName } from '@striderule/engine';
import { fixed } from '../show/number.ts';
import { NUMBER_HEADS, numberRows } from './number-rows.ts';
import { Prose } from './prose.tsx';
import { Section } from './section.tsx';
import { TableActs } from './table-acts.tsx';

interface NumbersProps {
  readonly result: DesignResult;
  readonly joints: readonly JointName[];
  readonly chosen: string;
}

/** Numbers of every task at the chosen joints. */
export function Numbers({ result, joints, chosen }: NumbersProps) {
  const rows = numberRows(result, joints);
  const csv = () => [
    ['task', 'joint', ...NUMBER_HEADS.map(([head, unit]) => `${head}, ${unit}`), 'remark'],
    ...rows.map(({ task, joint, cells, remark }) => [
      task,
      joint,
      ...cells.map(({ value }) => value),
      remark ?? '',
    ]),
  ];
  const standing = Object.values(result.demands).filter((demand) => demand.kind === 'standing');
  return (
    <Section
      title="Numbers by task"
      acts={<TableActs what="numbers" fileName="numbers-by-task.csv" rows={csv} />}
    >
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="scroll" tabIndex={0} aria-label="Table of numbers by task">
        <table>
          <thead>
            <tr>
              <th scope="col">Task</th>
              <th scope="col" className="word">
                Joint
              </th>
              {NUMBER_HEADS.map(([head, unit]) => (
                <th scope="col" key={`${head} ${unit}`}>
                  {head} <span className="quiet">{unit}</span>
                </th>
              ))}
              <th scope="col" className="word">
                <span className="sr">Remark</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ key, task, taskId, joint, cells, remark }) => (
              <tr key={key} data-on={taskId === chosen || undefined}>
                <th scope="row">{task}</th>
                <td className="word">{joint}</td>
                {cells.map(({ text }, k) => (
                  <td key={NUMBER_HEADS[k]?.join(' ')}>{text}</td>
                ))}
                <td className="word quiet">{remark}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {standing.map((demand) => (
        <p key={demand.task.id} className="note">
          <b>{demand.task.title}</b> asks for stiffness and time, not for speed: at the ankle at least{' '}
          {fixed(demand.ankleStiffness, 0)} N·m/rad, {fixed(Math.abs(demand.ankleMoment), 1)} N·m held for{' '}
          {fixed(demand.duration / 60, 0)} min. <Prose text={demand.notes.join(' ')} />
        </p>
      ))}
    </Section>
  );
}
