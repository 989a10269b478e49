import type {
  Demands,
  DesignResult,
  DrivenJoint,
  LedgerRow,
  StrideDemand,
  StudyChange,
  StudyInput,
} from '@striderule/engine';
import type { WorkDesign } from '@striderule/wire';
import { type CSSProperties, useCallback, useMemo } from 'react';
import { type Moving, makeLive } from '../design/live-ratio.ts';
import { DRIVEN } from '../design/use-draft.ts';
import type { Known } from '../design/use-ledger.ts';
import { whileSeen } from '../draw/while-seen.ts';
import { driveRuleModel, driveScales } from '../drive/drive-rule-model.ts';
import { Margins } from '../drive/margins.tsx';
import { rowsMoved } from '../drive/rows-moved.ts';
import { Slide } from '../drive/slide.tsx';
import { useRatioWindows } from '../drive/use-ratio-windows.ts';
import { WhichRatio } from '../drive/which-ratio.tsx';
import type { Metrics } from '../read-study.ts';
import { Rule } from '../rule/rule.tsx';
import { strideDemands, taskRead } from '../rule/rule-model.ts';
import { TaskChoice } from '../sections/choices.tsx';
import { Later } from '../sections/later.tsx';
import { NoCurve } from '../sections/no-curve.tsx';
import { fixed } from '../show/number.ts';
import type { Reading } from '../use-place.ts';

const below = () => import('../drive/below.ts');

/** For the drawing that has a row for each requirement, where there is one. */
const roomFor = (rows: number): CSSProperties | undefined =>
  rows === 0 ? undefined : ({ '--windows': 1, '--rows': rows } as CSSProperties);

export interface DriveProps {
  /** The study as its files say it. */
  readonly saved: StudyInput;
  readonly savedDesign: DesignResult;
  /** The study with the changes of the page, in what it differs, and what came of it. */
  readonly input: StudyInput;
  readonly metrics: Metrics;
  readonly change: StudyChange;
  /** What the server is told of it. */
  readonly design: WorkDesign;
  readonly result: DesignResult;
  readonly ledger: readonly LedgerRow[];
  readonly known: Known;
  /** Values of the study as its files say it. */
  readonly savedRows: readonly LedgerRow[];
  readonly demands: Demands;
  readonly reading: Reading;
  readonly onRatio: (joint: DrivenJoint, ratio: number) => void;
}

/** Which ratio? One joint at a time: what the strides ask, through motor and gears, while the ratio slides. */
export default function Drive(props: DriveProps) {
  const { input, result, reading } = props;
  const driven = DRIVEN.filter((joint) => input.leg.joints[joint] !== undefined);
  const joint = driven.find((name) => name === reading.joint) ?? driven.at(-1);
  const strides = useMemo(() => strideDemands(result), [result]);
  const { wearer, leg } = input;
  return (
    <main>
      <h1 className="ask">
        {joint === undefined
          ? `${leg.name} drives no joint.`
          : `Which ratio lets ${leg.name}’s ${joint} carry ${wearer.code}, ${fixed(wearer.mass, 0)} kg, through the day, and still be moved by hand?`}
      </h1>
      {joint === undefined ? (
        <p className="empty">
          Add <code>joints.knee</code> or <code>joints.ankle</code> with motor, transmission and electronics
          to the leg file, and its drive stands here.
        </p>
      ) : (
        <>
          <fieldset className="pick">
            <legend>Joint</legend>
            <div className="words">
              {driven.map((name) => (
                <label key={name}>
                  <input
                    type="radio"
                    name="joint"
                    checked={joint === name}
                    onChange={() => reading.toJoint(name)}
                  />
                  <span>{name}</span>
                </label>
              ))}
              <span className="quiet">
                {leg.joints[joint]?.motor.name}, {fixed(leg.busVoltage, 1)} V
              </span>
            </div>
          </fieldset>
          {strides.length === 0 ? (
            <NoCurve />
          ) : (
            <Read {...props} joint={joint} strides={strides} demand={taskRead(strides, reading.task)} />
          )}
        </>
      )}
    </main>
  );
}

interface ReadProps extends DriveProps {
  readonly joint: DrivenJoint;
  readonly strides: readonly StrideDemand[];
  readonly demand: StrideDemand;
}

function Read({
  saved,
  savedDesign,
  input,
  metrics,
  result,
  change,
  design,
  ledger,
  known,
  savedRows,
  demands,
  reading,
  onRatio,
  joint,
  strides,
  demand,
}: ReadProps) {
  const { hairline } = reading;
  const live = useMemo(() => makeLive(input, demands, joint, result), [input, demands, joint, result]);
  const before = useMemo(
    (): Moving => ({
      ratio: saved.leg.joints[joint]?.transmission.ratio ?? Number.NaN,
      input: saved,
      design: savedDesign,
    }),
    [saved, savedDesign, joint],
  );
  const scales = useMemo(() => driveScales(before, joint, demand), [before, joint, demand]);
  const joints = useMemo(() => [joint], [joint]);
  const now = live.at().ratio;
  const model = useMemo(
    () => driveRuleModel(scales, input, result, now !== before.ratio),
    [scales, input, result, now, before],
  );
  const follow = useCallback(
    (show: (model: ReturnType<typeof driveRuleModel>) => void, face: Element) =>
      whileSeen(face, live.follow, (moving) =>
        show(driveRuleModel(scales, moving.input, moving.design, moving.ratio !== before.ratio)),
      ),
    [live, scales, before],
  );
  const onSet = useCallback((ratio: number) => onRatio(joint, ratio), [onRatio, joint]);
  const ids = useMemo(
    () =>
      rowsMoved(ledger, joint, metrics)
        .map(({ requirement }) => requirement.id)
        .join(' '),
    [ledger, joint, metrics],
  );
  const windows = useRatioWindows(saved, change, joint, ids);
  return (
    <>
      <WhichRatio
        input={saved}
        design={before.design}
        joint={joint}
        metrics={metrics}
        windows={windows}
        live={live}
        onTake={(ratio) => {
          live.moveTo(ratio);
          onSet(ratio);
        }}
      />
      {/* two columns where there is room; where there is none, one in the order of reading */}
      <div className="cols desk">
        <div className="col">
          <div className="desk-1">
            <Slide
              joint={joint}
              live={live}
              saved={before}
              demand={demand}
              hairline={hairline}
              onSet={onSet}
            />
            <div className="scan" style={roomFor(windows.asked.length)}>
              <Later load={below}>
                {({ Scan, Windows }) => (
                  <>
                    <Scan joint={joint} live={live} saved={before} onSet={onSet} />
                    {windows.asked.length > 0 && (
                      <Windows {...{ joint, metrics, live, windows, onSet }} saved={before.ratio} />
                    )}
                  </>
                )}
              </Later>
            </div>
          </div>
          <div className="desk-3">
            <TaskChoice demands={strides} chosen={demand.task.id} onTask={reading.toTask} />
            <Rule
              model={model}
              hairline={hairline}
              fileName={`drive-${demand.task.id}-${joint}`}
              follow={follow}
            />
          </div>
          <div className="desk-5">
            <Later load={below}>
              {({ Heat, BackDriving, Energy, PowerLoss, Tolerances }) => (
                <>
                  <Heat joint={joint} live={live} saved={before} />
                  <BackDriving key={joint} joint={joint} live={live} saved={before.design} />
                  <Energy live={live} saved={before} demand={demand} />
                  <PowerLoss joint={joint} live={live} saved={before} demand={demand} hairline={hairline} />
                  <Tolerances key={joint} {...{ joint, metrics, input, design }} rows={ledger} />
                </>
              )}
            </Later>
          </div>
        </div>
        <div className="col">
          <div className="desk-2">
            <Margins
              key={joint}
              joint={joint}
              metrics={metrics}
              live={live}
              study={saved}
              change={change}
              rows={ledger}
              known={known}
              saved={savedRows}
              toRow={reading.toRow}
            />
          </div>
          <div className="desk-4">
            <Later load={below}>
              {({ MotorPlane }) => (
                <MotorPlane joint={joint} live={live} saved={before} demand={demand} hairline={hairline} />
              )}
            </Later>
          </div>
          <div className="desk-6">
            <Later load={below}>
              {({ LegView }) => <LegView input={input} demand={demand} hairline={hairline} />}
            </Later>
          </div>
        </div>
      </div>
      <Later load={below}>
        {({ SideBySide, Numbers, Section, How }) => (
          <>
            <SideBySide key={`legs ${joint}`} {...{ metrics, joint }} input={saved} rows={ledger} />
            <Numbers result={result} joints={joints} chosen={demand.task.id} />
            <Section title="How it was computed, at the hairline">
              <p className="note">
                In the engine’s signs: flexion and dorsiflexion positive, a moment along the angle it
                increases. Screens turn moments, motor torque and current once, so that extensor and
                plantarflexor are positive.
              </p>
              <How input={input} demand={demand} joint={joint} hairline={hairline} />
            </Section>
          </>
        )}
      </Later>
      <p className="caution">
        A model’s word, not a measurement. Where torque, strength, speed, heat or gains can hurt somebody:
        tethered bench first, emergency stop, overhead harness, and nobody on the leg before the ethics board,
        a licensed prosthetist and the standards and local codes that apply have had their say.
      </p>
    </>
  );
}
