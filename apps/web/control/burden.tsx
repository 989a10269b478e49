import {
  burdenByRatio,
  CONSTANT_ERROR,
  type DesignResult,
  type DrivenJoint,
  type RatioBurden,
  type StrideDemand,
  type StudyInput,
} from '@striderule/engine';
import { useMemo } from 'react';
import { Section } from '../sections/section.tsx';
import { TableActs } from '../sections/table-acts.tsx';
import type { Cell } from '../show/csv.ts';
import { fixed, significant, written } from '../show/number.ts';
import { FieldFigure } from './field-figure.tsx';
import { BURDEN_RATIOS, burdenFields } from './rendered-model.ts';

interface BurdenProps {
  readonly input: StudyInput;
  readonly result: DesignResult;
  readonly joint: DrivenJoint;
  readonly demand: StrideDemand;
}

const HEAD = [
  'ratio',
  'all',
  'other gains mend',
  'none mend',
  `constant ±${fixed(100 * CONSTANT_ERROR, 0)} %`,
  'ΔK, N·m/rad',
  'ΔB, N·m·s/rad',
  'at the current limit, %',
];

const rowOf = ({ ratio, burden: b, withConstantError }: RatioBurden): Cell[] => [
  `${written(ratio)} : 1`,
  ...[b.mismatch, b.mendable, b.lasting, withConstantError].map((share) => fixed(share, 3)),
  ...[significant(b.stiffnessShift), significant(b.dampingShift), fixed(100 * b.limited, 0)],
];

/** What a drive adds of itself to the torque that is asked, and how much of that tuning can mend, against the ratio. */
export function Burden({ input, result, joint, demand }: BurdenProps) {
  const task = demand.task.id;
  const { few, many } = useMemo(
    () => ({
      few: burdenByRatio(input, result, joint, task),
      many: burdenByRatio(input, result, joint, task, BURDEN_RATIOS),
    }),
    [input, result, joint, task],
  );
  const ratio = input.leg.joints[joint]?.transmission.ratio ?? Number.NaN;
  const fields = useMemo(() => burdenFields(many, joint, ratio), [many, joint, ratio]);
  const own = many.find((each) => each.ratio === ratio)?.burden;
  if (own === undefined)
    return (
      <Section title={`Tuning burden of the ${joint}`}>
        <p className="empty">
          Not predicted: {demand.task.title} has no curve with moments of the {joint}.
        </p>
      </Section>
    );
  const words = `${demand.task.title}: share of the asked torque that is missing in stance, over the ratio. At ${written(ratio)} to one ${fixed(own.mismatch, 3)}, of which other gains mend ${fixed(own.mendable, 3)} and none mend ${fixed(own.lasting, 3)}.`;
  return (
    <Section title={`Tuning burden of the ${joint}`}>
      <p className="note">
        Software that takes its drive for ideal asks for a human joint’s torque in {demand.task.title}; rotor,
        friction, mesh and the current limit take theirs. Same motor and gears at every ratio.
      </p>
      <div className="cols">
        <FieldFigure
          title={`Tuning burden of the ${joint}, ${demand.task.title}`}
          words={words}
          fields={fields}
          band={250}
          fileName={`burden-${task}-${joint}`}
          step={5}
        />
        <div>
          <p className="strong">
            At {written(ratio)} : 1, {fixed(own.mismatch, 2)} of the torque is missing:{' '}
            {fixed(own.mendable, 2)} other gains mend, {fixed(own.lasting, 2)} none do.
          </p>
          <p className="note">
            all² = mendable² + lasting². ΔK and ΔB is what one spring and one damper for the whole stance
            would have to add; cut into phases more can be mended. A ΔB that outweighs the damper asks for one
            that gives energy, which passivity forbids. The bands at 0.10 and 0.30 are our proposal.
          </p>
          <TableActs
            what="burden"
            fileName={`burden-${task}-${joint}-ratios.csv`}
            rows={() => [HEAD, ...few.map(rowOf)]}
          />
        </div>
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="scroll" tabIndex={0} aria-label="Tuning burden by ratio">
        <table>
          <thead>
            <tr>
              {HEAD.map((head) => (
                <th scope="col" key={head}>
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {few.map((each) => {
              const [name, ...cells] = rowOf(each);
              return (
                <tr key={String(name)} data-on={each.ratio === ratio ? true : undefined}>
                  <th scope="row">{name}</th>
                  {cells.map((cell, k) => (
                    <td key={HEAD[k + 1]}>{cell}</td>
                  ))}
                </tr>
              );
            })}
          </tbody>
        </table>
      </section>
    </Section>
  );
}
