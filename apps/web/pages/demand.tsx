import type { DesignResult, StrideDemand, StudyInput } from '@striderule/engine';
import { useMemo, useState } from 'react';
import { ImportStrides } from '../import/import-strides.tsx';
import { LegView } from '../leg/leg-view.tsx';
import { Rule } from '../rule/rule.tsx';
import { jointsOf, ruleModel, strideDemands, taskRead } from '../rule/rule-model.ts';
import { AtHairline } from '../sections/at-hairline.tsx';
import { Choices } from '../sections/choices.tsx';
import { Later } from '../sections/later.tsx';
import { NoCurve } from '../sections/no-curve.tsx';
import type { Reading } from '../use-place.ts';

const below = () => import('./demand-below.tsx');

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
  const [planesAsked, setPlanesAsked] = useState(0);
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
        onPlanes={() => setPlanesAsked((times) => times + 1)}
      />
      <div className="cols">
        <Rule model={model} hairline={hairline} fileName={`${chosen}-${joint}`} />
        <div className="side">
          <LegView input={input} demand={demand} hairline={hairline} />
          <AtHairline result={result} demand={demand} hairline={hairline} />
        </div>
      </div>
      <Later load={below}>
        {({ DemandBelow }) => <DemandBelow {...{ input, result, demand, joints, hairline, planesAsked }} />}
      </Later>
    </>
  );
}
