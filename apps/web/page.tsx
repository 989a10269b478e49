import { evaluateStudy, type StrideDemand, type StudyInput, type StudyResult } from '@striderule/engine';
import { type ReactNode, useEffect, useMemo, useRef, useState } from 'react';
import { makeHairline } from './hairline.ts';
import { Ledger } from './ledger/ledger.tsx';
import { LegView } from './leg/leg-view.tsx';
import { followAddress, type JointChoice, keepPlace, placeAtStart } from './place.ts';
import { Plane } from './plane/plane.tsx';
import { Rule } from './rule/rule.tsx';
import { jointsOf, ruleModel, strideDemands } from './rule/rule-model.ts';
import { AtHairline } from './sections/at-hairline.tsx';
import { Choices } from './sections/choices.tsx';
import { How } from './sections/how.tsx';
import { MassBudget } from './sections/mass-budget.tsx';
import { drivenOf } from './sections/number-rows.ts';
import { Numbers } from './sections/numbers.tsx';
import { Section } from './sections/section.tsx';
import { Sources } from './sections/sources.tsx';

const ofName = (name: string): string => `${name}${name.endsWith('s') ? '’' : '’s'}`;

/** The question the page answers. */
function question({ wearer, leg }: StudyInput): string {
  const joints = (['knee', 'ankle'] as const)
    .filter((joint) => leg.joints[joint] !== undefined)
    .join(' and ');
  return `What do ${ofName(wearer.code)} strides ask of ${ofName(leg.name)} ${joints}?`;
}

/** The page of a study that could be computed. */
export function Page({ input }: { readonly input: StudyInput }) {
  const result = useMemo(() => evaluateStudy(input), [input]);
  const demands = useMemo(() => strideDemands(result), [result]);
  const ledger = <Ledger rows={result.ledger} />;
  return (
    <main>
      <h1 className="ask">{question(input)}</h1>
      {demands.length === 0 ? (
        <>
          {' '}
          <p className="empty">
            No task of this study has a curve, so there is no rule to read. Add one to <code>tasks/</code>, or
            import strides of your own:{' '}
            <code>striderule demand import strides.csv --recipe recipe.yaml --id own-walk</code>.
          </p>
          {ledger}
        </>
      ) : (
        <Demand input={input} result={result} demands={demands} ledger={ledger} />
      )}
    </main>
  );
}

interface DemandProps {
  readonly input: StudyInput;
  readonly result: StudyResult;
  readonly demands: readonly StrideDemand[];
  /** Stands right under the rule. */
  readonly ledger: ReactNode;
}

function Demand({ input, result, demands, ledger }: DemandProps) {
  const [start] = useState(placeAtStart);
  const [hairline] = useState(() => makeHairline(start.percent));
  const [task, setTask] = useState(start.task);
  const [joint, setJoint] = useState<JointChoice>(start.joint);
  const [asked, setLaid] = useState(start.laid);

  const demand =
    demands.find((d) => d.task.id === task) ??
    demands.find((d) => d.task.id === 'walk-natural') ??
    demands[0]!;
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

  useEffect(
    () =>
      hairline.follow((percent) =>
        keepPlace({ task: chosen, joint, percent, laid: laid.map((d) => d.task.id) }),
      ),
    [hairline, chosen, joint, laid],
  );
  useEffect(
    () =>
      followAddress((place) => {
        if (place.task !== undefined) setTask(place.task);
        setJoint(place.joint);
        setLaid(place.laid);
        hairline.moveTo(place.percent);
      }),
    [hairline],
  );

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
        onTask={setTask}
        onJoint={setJoint}
        onLaid={setLaid}
        onPlanes={() => planesRef.current?.scrollIntoView()}
      />
      <div className="cols">
        <Rule model={model} hairline={hairline} fileName={`${chosen}-${joint}`} />
        <div className="side">
          <LegView input={input} demand={demand} hairline={hairline} />
          <AtHairline result={result} demand={demand} hairline={hairline} />
        </div>
      </div>
      {ledger}
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
