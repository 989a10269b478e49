import {
  type DrivenJoint,
  equilibriumOf,
  POOR_FIT,
  type StanceOverPhase,
  type StanceSchedule,
  type StrideDemand,
  type StudyInput,
} from '@striderule/engine';
import { useMemo } from 'react';
import type { Hairline } from '../hairline.ts';
import { Rule } from '../rule/rule.tsx';
import { Section } from '../sections/section.tsx';
import { TableActs } from '../sections/table-acts.tsx';
import type { Cell } from '../show/csv.ts';
import { fixed, significant } from '../show/number.ts';
import { degrees } from '../show/unit.ts';
import { scheduleModel } from './schedule-model.ts';

type Open = { readonly openBecause: string };

interface SchedulesProps {
  readonly input: StudyInput;
  readonly joint: DrivenJoint;
  readonly demand: StrideDemand;
  readonly hairline: Hairline;
  readonly subphases: StanceSchedule | Open;
  readonly overPhase: StanceOverPhase | Open;
}

const HEAD = [
  'sub-phase',
  'K, N·m/rad',
  'K/m, N·m/kg/rad',
  'B, N·m·s/rad',
  'equilibrium, °',
  'residual, N·m RMS',
  'at worst, % of peak',
  'condition',
  '± K per N·m of noise',
  'at a bound',
];

const rowsOf = ({ subphases }: StanceSchedule, mass: number): Cell[][] =>
  subphases.map(({ name, impedance, rms, share, condition, perNoise, active }) => [
    name,
    significant(impedance.stiffness),
    fixed(impedance.stiffness / mass, 2),
    fixed(impedance.damping, 2),
    fixed(degrees(equilibriumOf(impedance)), 1),
    significant(rms),
    fixed(100 * share, 1),
    significant(condition, 2),
    significant(perNoise.stiffness, 2),
    active.map(({ bound, end }) => `${bound} ${end}`).join(', '),
  ]);

/** One sentence of how the schedule serves a task and what it gives. */
function served(schedule: StanceSchedule | StanceOverPhase, task: string, how: string): string | undefined {
  const of = schedule.tasks.find((each) => each.task === task);
  if (of === undefined) return undefined;
  const { given, taken, injected } = of.energy;
  return `${how}: ${of.share <= POOR_FIT ? 'followed' : 'not followed'}, residual ${fixed(100 * of.share, 1)} % of the largest torque; scheduling gives ${fixed(given, 1)} J and takes ${fixed(-taken, 1)} J over stance, ${fixed(injected, 1)} J in all.`;
}

/** Stance as springs and dampers: the schedules on the rule, how well strides tell them, and what they give. */
export function Schedules({ input, joint, demand, hairline, subphases, overPhase }: SchedulesProps) {
  const model = useMemo(
    () => scheduleModel(joint, demand, subphases, overPhase),
    [joint, demand, subphases, overPhase],
  );
  const task = demand.task.id;
  const { mass } = input.wearer;
  if ('openBecause' in subphases)
    return (
      <Section title={`Stance schedule of the ${joint}`}>
        <p className="empty">Refused: {subphases.openBecause}.</p>
      </Section>
    );
  const left = subphases.leftOut.map(({ title, because }) => `${title}, ${because}`).join('; ');
  const sentences = [
    served(subphases, task, 'By sub-phase'),
    'openBecause' in overPhase
      ? `Over phase: refused, ${overPhase.openBecause}.`
      : served(overPhase, task, 'Over phase'),
  ];
  const over =
    'openBecause' in overPhase
      ? ''
      : ` Over phase the condition is ${significant(overPhase.condition, 2)}, ${overPhase.active.length} of ${3 * overPhase.schedule.stiffness.length} coefficients at a bound.`;
  const rows = rowsOf(subphases, mass);
  return (
    <Section title={`Stance schedule of the ${joint}`}>
      <p className="note">
        τ = K·(θ
        <sub>eq</sub> − θ) − B·θ̇. One schedule for {subphases.tasks.length} level-walking{' '}
        {subphases.tasks.length === 1 ? 'task' : 'tasks'}, within bounds; full: constant by sub-phase, dashed:
        continuous over phase. In swing there is none.
      </p>
      <div className="cols">
        <Rule model={model} hairline={hairline} fileName={`schedule-${task}-${joint}`} />
        <div className="schedule-said">
          {sentences.map((text) => text !== undefined && <p key={text}>{text}</p>)}
          <p className="note">
            A fixed spring and damper gives nothing: what rises on the last scale is power from the battery,
            and a push-off lives on it. The joint is only as passive as that account.
          </p>
          {subphases.warnings.map((text) => (
            <p className="note" key={text}>
              {text}
            </p>
          ))}
          {left !== '' && <p className="note">Left out: {left}.</p>}
        </div>
      </div>
      <div className="cap">
        <h3>How well the strides tell it</h3>
        <TableActs what="schedule" fileName={`schedule-${joint}.csv`} rows={() => [HEAD, ...rows]} />
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="scroll" tabIndex={0} aria-label="Schedule by sub-phase">
        <table>
          <thead>
            <tr>
              {HEAD.map((head, k) => (
                <th scope="col" key={head} className={k === HEAD.length - 1 ? 'word' : undefined}>
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(([name, ...cells]) => (
              <tr key={String(name)}>
                <th scope="row">{name}</th>
                {cells.map((cell, k) => (
                  <td key={HEAD[k + 1]} className={k === cells.length - 1 ? 'word' : undefined}>
                    {cell}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p className="note">
        The condition is the largest ÷ the least singular value of the fit; beyond 10 000 it is refused (our
        line). A fitted stiffness is the slope of torque over angle with muscles at work; what a push meets is
        another number.{over}
      </p>
    </Section>
  );
}
