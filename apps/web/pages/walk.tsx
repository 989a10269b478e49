import {
  type DesignResult,
  drivesNothing,
  type LedgerRow,
  type Scenario,
  type StudyInput,
  type Task,
  walkLines,
  walkNeeds,
} from '@striderule/engine';
import type { WorkDesign } from '@striderule/wire';
import { useMemo, useRef, useState } from 'react';
import { walkedDesign } from '../design/asked-design.ts';
import type { Known } from '../design/use-ledger.ts';
import { stageState } from '../frame/stage-state.ts';
import { Asked } from '../ledger/asked.tsx';
import { strideDemands } from '../rule/rule-model.ts';
import { Prose } from '../sections/prose.tsx';
import { Section } from '../sections/section.tsx';
import { written } from '../show/number.ts';
import type { Reading } from '../use-place.ts';
import type { WalkAsk } from '../walk/answer-walk.ts';
import { CompareLegs } from '../walk/compare-legs.tsx';
import { FaultMap } from '../walk/fault-map.tsx';
import { OneWalk } from '../walk/one-walk.tsx';
import { PowerCuts } from '../walk/power-cuts.tsx';
import { PriceList } from '../walk/price-list.tsx';
import { StandIn } from '../walk/stand-in.tsx';
import { useLegs } from '../walk/use-legs.ts';
import { useWalk } from '../walk/use-walk.ts';
import { WalkTold, WalkWhy } from '../walk/walk-answer.tsx';
import { WalkChoices } from '../walk/walk-choices.tsx';
import { insteadWords } from '../walk/walk-figures.ts';
import { STRIDES } from '../walk/walk-length.ts';
import { plainWalk, type WalkPlace } from '../walk/walk-place.ts';
import '../walk/walk.css';

export interface WalkProps {
  readonly input: StudyInput;
  /** What the server is told of it. */
  readonly design: WorkDesign;
  readonly result: DesignResult;
  readonly ledger: readonly LedgerRow[];
  readonly known: Known;
  readonly reading: Reading;
}

/** The leg rehearsed in a model: twenty strides in closed loop, and what they do to joints, ground, socket and hip. */
export default function Walk({ input, design, result, ledger, known, reading }: WalkProps) {
  const { walk, toWalk } = reading;
  const legs = useLegs(input);
  const tasks = useMemo(
    () =>
      strideDemands(result).filter(
        ({ task, speed, groundForce }) =>
          speed > 0 && groundForce.vertical[0]! >= 0 && !isStair(input.strides, task),
      ),
    [result, input.strides],
  );
  const chosen = walk.leg === undefined ? legs.legs[0] : legs.legs.find(({ file }) => file === walk.leg);
  const lacks = useMemo(() => (chosen === undefined ? [] : walkNeeds(chosen.input)), [chosen]);
  const scenarios = input.scenarios ?? NO_SCENARIOS;
  const scenario = scenarios.find(({ id }) => id === walk.scenario);
  const unknown = walk.scenario !== undefined && scenario === undefined;
  const shown = scenario === undefined ? walk : { ...walk, ...pickedBy(scenario) };
  const { speed, ground, thigh, step } = shown;
  const driven = chosen === undefined || !drivesNothing(chosen.input.leg);
  const control = !driven ? 'clock' : walk.fault === undefined ? shown.control : 'study';
  const { name: fault, percent } = walk.fault ?? {};
  const { cut } = walk;
  const ask = useMemo(
    (): WalkAsk | undefined =>
      chosen === undefined || lacks.length > 0 || unknown
        ? undefined
        : {
            ...{ input: chosen.input, choice: { speed, ground, thigh, control }, step, strides: STRIDES },
            ...insteadOf(scenario, fault, percent, cut),
          },
    [chosen, lacks, unknown, scenario, speed, ground, thigh, control, step, fault, percent, cut],
  );
  const walking = useWalk(ask);
  const name = chosen?.name ?? walk.leg ?? input.leg.name;
  // what is told of a leg with drives alone, once its files say enough
  const whole = driven && lacks.length === 0 ? chosen?.input : undefined;
  const [side, setSide] = useState<HTMLElement | null>(null);
  const { file, fingerprint } = chosen ?? {};
  const asked = useMemo(
    () =>
      walkedDesign(
        design,
        file === undefined || fingerprint === undefined ? undefined : { name: file, fingerprint },
      ),
    [design, file, fingerprint],
  );
  const mapAt = useRef<HTMLElement>(null);
  const cutsAt = useRef<HTMLElement>(null);
  // what was picked from a picture below is shown where it goes wrong; what a link brings is shown where the link says
  const picked = useRef(false);
  const replay = (next: WalkPlace) => {
    picked.current = true;
    toWalk(next);
    scrollTo({ top: 0 });
  };
  const back =
    walk.fault !== undefined
      ? { go: () => backTo(mapAt.current), words: 'Back to the fault map' }
      : walk.cut !== undefined
        ? { go: () => backTo(cutsAt.current), words: 'Back to the power cuts' }
        : undefined;
  const { walked } = walking;
  const missing = chosen === undefined && legs.state === 'read';
  const lines = useMemo(
    () =>
      walked === undefined || walked.ask.instead !== undefined
        ? []
        : walkLines(input.requirements, { report: walked.report, stride: walked.record.stride }),
    [walked, input.requirements],
  );
  // a chair, a stair and a leg that hangs are no stride of level walking
  const odd = scenario !== undefined && (scenario.chair ?? scenario.stairs ?? scenario.hangs) !== undefined;
  const own = odd
    ? undefined
    : tasks.toSorted((a, b) => Math.abs(a.speed - speed) - Math.abs(b.speed - speed))[0];
  return (
    <main className="walk">
      <h1 className="ask">
        Does {name} carry {input.wearer.code} through {ask === undefined ? 'a walk' : through(ask, speed)},
        and what does it ask of the hip?
      </h1>
      <div className="walk-desk">
        <WalkTold {...{ walking, lines, back }} />
        <div className="walk-why">
          {walked !== undefined && lacks.length === 0 && (
            <WalkWhy
              {...{ walked, lines }}
              demo={input.demo}
              asked={ledger.filter(({ chapter }) => chapter.startsWith('walk.md')).length}
              rail={stageState('walk', result.demands, ledger, { known, unsaved: [] })}
              toRow={reading.toRow}
            />
          )}
        </div>
        <div className="walk-aside">
          <WalkChoices {...{ legs, tasks, scenarios, driven }} walk={{ ...shown, control }} onWalk={toWalk} />
          <p className="caution">
            A rehearsal in a model, and no proof of anything: the other leg is the reference’s own force, and
            nothing slips, plays or gives but what is told. Before a person walks: unloaded on a bench with an
            emergency stop, then in an overhead harness; the ethics board, local codes and a licensed
            prosthetist decide.
          </p>
          <div ref={setSide} />
        </div>
        {lacks.length > 0 || unknown || missing ? (
          <div className="walk-stage">
            {missing ? (
              <p className="empty" role="status">
                The study has no leg file “{walk.leg}”: choose another leg.
              </p>
            ) : null}
            {unknown ? (
              <p className="empty" role="status">
                The study has no scenario “{walk.scenario}”: choose another, or write it as{' '}
                <code>scenarios/{walk.scenario}.yaml</code>.
              </p>
            ) : null}
            {lacks.length > 0 ? <Lacks name={name} lacks={lacks} /> : null}
          </div>
        ) : walked !== undefined ? (
          <OneWalk
            walked={walked}
            before={walking.before}
            study={input}
            {...{ legs, reading, picked, side }}
          />
        ) : (
          <>
            <div className="walk-stage">
              <StandIn
                segments={(chosen?.input ?? input).leg.segments}
                demand={own}
                hairline={reading.hairline}
              />
            </div>
            <div className="to-come" />
          </>
        )}
      </div>
      <CompareLegs legs={legs.legs} walk={walk} />
      {!driven && lacks.length === 0 && (
        <p className="empty">
          What moves the hip, power cuts and the fault map are told of legs with drives: {name} has none to
          lose.
        </p>
      )}
      {whole !== undefined && <PriceList input={whole} design={asked} walk={shown} />}
      {whole !== undefined && (
        <PowerCuts
          ref={cutsAt}
          input={whole}
          design={asked}
          walk={{ ...shown, control }}
          hairline={reading.hairline}
          onPick={(cut) => replay({ ...plainWalk(walk), ...{ speed, ground, thigh, control, cut } })}
        />
      )}
      {whole !== undefined && (
        <FaultMap
          ref={mapAt}
          input={whole}
          design={asked}
          {...{ walk, ledger, known }}
          hairline={reading.hairline}
          onPick={(speed, fault) =>
            replay({
              ...plainWalk(walk),
              ...{ speed, fault, thigh: 'led', ground: 'treadmill', control: 'study' },
            })
          }
        />
      )}
      <Asked
        stage="walk"
        head="Of the design as it stands"
        empty="No line of the ledger is judged by a walk yet: what a walk does stands in the tables above."
        {...{ ledger, known }}
        toRow={reading.toRow}
      />
    </main>
  );
}

function backTo(picture: HTMLElement | null): void {
  picture?.scrollIntoView();
  picture?.querySelector<HTMLElement>('[role=grid]')?.focus({ preventScroll: true });
}

/** A stair’s speed is no speed of walking. */
function isStair(strides: StudyInput['strides'], task: Task): boolean {
  const activity = task.kind === 'stride' ? strides[task.stride]?.activity : undefined;
  return activity === 'stair ascent' || activity === 'stair descent';
}

const NO_SCENARIOS: readonly Scenario[] = [];

/** What a scenario picks by itself. */
const pickedBy = ({ speed, ground, thigh, control }: Scenario) => ({ speed, ground, thigh, control });

function insteadOf(
  scenario: Scenario | undefined,
  fault: string | undefined,
  percent: number | undefined,
  cut: number | undefined,
): Pick<WalkAsk, 'instead'> {
  if (scenario !== undefined) return { instead: { kind: 'scenario', scenario } };
  if (fault !== undefined) return { instead: { kind: 'fault', fault, place: (percent ?? 0) / 100 } };
  return cut === undefined ? {} : { instead: { kind: 'cut', place: cut / 100 } };
}

/** What is walked, in the question. */
const through = (ask: WalkAsk, speed: number): string =>
  ask.instead === undefined
    ? `a walk at ${written(speed)} m/s`
    : `“${insteadWords(ask)}” at ${written(speed)} m/s`;

/** What a walk needs and the files do not say, field by field. */
function Lacks({ name, lacks }: { readonly name: string; readonly lacks: readonly string[] }) {
  return (
    <Section title={`What a walk of ${name} needs`}>
      <p>{name} cannot be walked yet. Its files do not say:</p>
      <ul className="lacks">
        {lacks.map((what) => (
          <li key={what}>
            <Prose text={what} />
          </li>
        ))}
      </ul>
    </Section>
  );
}
