import type { DesignResult, StrideDemand, StudyInput } from '@striderule/engine';
import { useMemo, useRef } from 'react';
import { ImportStrides } from '../import/import-strides.tsx';
import { LegView } from '../leg/leg-view.tsx';
import { Plane } from '../plane/plane.tsx';
import { Rule } from '../rule/rule.tsx';
import { jointsOf, ruleModel, strideDemands, taskRead } from '../rule/rule-model.ts';
import { AtHairline } from '../sections/at-hairline.tsx';
import { Choices } from '../sections/choices.tsx';
import { How } from '../sections/how.tsx';
import { Later } from '../sections/later.tsx';
import { MassBudget } from '../sections/mass-budget.tsx';
import { NoCurve } from '../sections/no-curve.tsx';
import { drivenOf } from '../sections/number-rows.ts';
import { Numbers } from '../sections/numbers.tsx';
import { Section } from '../sections/section.tsx';
import { Sources } from '../sections/sources.tsx';
import type { Reading } from '../use-place.ts';

const ofName = (name: string): string => `${name}${name.endsWith('s') ? '’' : '’s'}`;

interface DemandProps {
  readonly input: StudyInput;
  readonly result: DesignResult;
  readonly reading: Reading;
  /** A file that is being imported. */
  readonly file: File | undefined;
  readonly onFile: (file: File | undefined) => void;
  /** A task was made of it; what is to be said. */
  readonly onMade: (said: string) => void;
}

/** The question the page answers. */
function question({ wearer, leg }: StudyInput): string {
  const joints = (['knee', 'ankle'] as const)
    .filter((joint) => leg.joints[joint] !== undefined)
    .join(' and ');
  return `What do ${ofName(wearer.code)} strides ask of ${ofName(leg.name)} ${joints}?`;
}

/** What the strides ask of the leg, task by task. */
export function Demand({ input, result, reading, file, onFile, onMade }: DemandProps) {
  const demands = useMemo(() => strideDemands(result), [result]);
  return (
    <main>
      <h1 className="ask">{question(input)}</h1>
      <ImportStrides
        input={input}
        hairline={reading.hairline}
        file={file}
        onFile={onFile}
        onMade={(task, said) => {
          reading.lay([...reading.laid.filter((id) => id !== task), task]);
          onMade(said);
        }}
      />
      {demands.length === 0 ? (
        <NoCurve />
      ) : (
        <Read input={input} result={result} reading={reading} demands={demands} />
      )}
    </main>
  );
}

function Read({
  input,
  result,
  reading,
  demands,
}: Pick<DemandProps, 'input' | 'result' | 'reading'> & { readonly demands: readonly StrideDemand[] }) {
  const { task, joint, laid: asked, hairline } = reading;
  const demand = taskRead(demands, task);
  const chosen = demand.task.id;
  const laid = useMemo(
    () => asked.filter((id) => id !== chosen).flatMap((id) => demands.find((d) => d.task.id === id) ?? []),
    [asked, chosen, demands],
  );
  const model = useMemo(
    () => ruleModel(input, result, demand, joint, laid),
    [input, result, demand, joint, laid],
  );
  const joints = useMemo(() => jointsOf(joint), [joint]);
  const driven = drivenOf(joints);

  const planesRef = useRef<HTMLElement>(null);
  const planes = driven.length === 0 ? drivenOf(['knee', 'ankle']) : driven;
  return (
    <>
      <Choices
        demands={demands}
        others={Object.values(result.demands)
          .filter(({ kind }) => kind !== 'stride')
          .map((d) => d.task.title)}
        chosen={chosen}
        joint={joint}
        laid={laid.map((d) => d.task.id)}
        onTask={reading.toTask}
        onJoint={reading.toJoint}
        onLaid={reading.lay}
        onPlanes={() => planesRef.current?.scrollIntoView()}
      />
      <div className="cols">
        <Rule model={model} hairline={hairline} fileName={`${chosen}-${joint}`} />
        <div className="side">
          <LegView input={input} demand={demand} hairline={hairline} />
          <AtHairline result={result} demand={demand} hairline={hairline} />
        </div>
      </div>
      <Later>
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
            The line is what motor and gears deliver while driving and withstand while braking: steadily,
            cold, each joint alone on the bus, which sags as far as the leg file says how much. The rotor’s
            own acceleration is not in it, and is in the margins of the table above. Bold: {demand.task.title}
            . Thin: every other task with a curve. Boxes: published ranges; dotted where no speed was
            published.
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
      </Later>
    </>
  );
}
