import type { DesignResult, JointName, StrideDemand, StudyInput } from '@striderule/engine';
import { useEffect, useRef } from 'react';
import type { Hairline } from '../hairline.ts';
import { Plane } from '../plane/plane.tsx';
import { How } from '../sections/how.tsx';
import { MassBudget } from '../sections/mass-budget.tsx';
import { drivenOf } from '../sections/number-rows.ts';
import { Numbers } from '../sections/numbers.tsx';
import { Section } from '../sections/section.tsx';
import { Sources } from '../sections/sources.tsx';

interface DemandBelowProps {
  readonly input: StudyInput;
  readonly result: DesignResult;
  /** The task that is read. */
  readonly demand: StrideDemand;
  readonly joints: readonly JointName[];
  readonly hairline: Hairline;
  /** How often the planes were asked for, before these parts stood too: each time they are led into view. */
  readonly planesAsked: number;
}

/** Demand below its first screen: numbers, planes, sources, masses, formulas. */
export function DemandBelow({ input, result, demand, joints, hairline, planesAsked }: DemandBelowProps) {
  const chosen = demand.task.id;
  const driven = drivenOf(joints);
  const planesRef = useRef<HTMLElement>(null);
  const planes = driven.length === 0 ? drivenOf(['knee', 'ankle']) : driven;
  useEffect(() => {
    if (planesAsked > 0) planesRef.current?.scrollIntoView();
  }, [planesAsked]);
  return (
    <>
      <Numbers result={result} joints={joints} chosen={chosen} />
      <Section title="Torque against speed, and tasks with peaks only" ref={planesRef}>
        <div className="planes">
          {planes.map((each) => (
            <Plane
              key={each}
              input={input}
              result={result}
              joint={each}
              chosen={chosen}
              chosenTitle={demand.task.title}
            />
          ))}
        </div>
        <p className="note">
          The line is what motor and gears deliver while driving and withstand while braking: steadily, cold,
          each joint alone on the bus, which sags as far as the leg file says how much. The rotor’s own
          acceleration is not in it, and is in the margins of the table above. Bold: {demand.task.title}.
          Thin: every other task with a curve. Boxes: published ranges; dotted where no speed was published.
        </p>
      </Section>
      <div className="pair">
        <Sources input={input} demand={demand} />
        <MassBudget demand={demand} />
      </div>
      {driven.length > 0 && (
        <Section title="How it was computed, at the hairline">
          <p className="note">
            In the engine’s signs: flexion and dorsiflexion positive, a moment along the angle it increases.
            Screens turn moments, motor torque and current once, so that extensor and plantarflexor are
            positive.
          </p>
          {driven.map((each) => (
            <How key={each} input={input} demand={demand} joint={each} hairline={hairline} />
          ))}
        </Section>
      )}
    </>
  );
}
