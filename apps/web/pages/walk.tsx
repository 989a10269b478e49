import {
  type DesignResult,
  drivesNothing,
  type LedgerRow,
  LOG,
  LOG_COLUMNS,
  LOG_WIDTH,
  landingVerdict,
  SCENARIO_NOTES,
  type Scenario,
  type StudyInput,
  strideRanges,
  type Task,
  type WalkCurves,
  type WalkLog,
  walkCurves,
  walkLogRow,
  walkNeeds,
  walkParts,
} from '@striderule/engine';
import { type RefObject, useCallback, useEffect, useMemo, useRef, useSyncExternalStore } from 'react';
import type { Known } from '../design/use-ledger.ts';
import { Asked } from '../ledger/asked.tsx';
import { Rule } from '../rule/rule.tsx';
import { strideDemands } from '../rule/rule-model.ts';
import type { Along } from '../rule/scale.ts';
import { Section } from '../sections/section.tsx';
import { csvText } from '../show/csv.ts';
import { fixed, written } from '../show/number.ts';
import { saveFile } from '../show/save-file.ts';
import type { Reading } from '../use-place.ts';
import type { WalkAsk } from '../walk/answer-walk.ts';
import { askKey } from '../walk/ask-key.ts';
import { AtTick } from '../walk/at-tick.tsx';
import { CompareLegs } from '../walk/compare-legs.tsx';
import type { Beside } from '../walk/draw-walk.ts';
import { FaultMap } from '../walk/fault-map.tsx';
import { HipBracket } from '../walk/hip-bracket.tsx';
import { KeptWalkActs } from '../walk/kept-walk.tsx';
import { OutsideChecks } from '../walk/outside-checks.tsx';
import { PartTable } from '../walk/part-table.tsx';
import { Pick } from '../walk/pick.tsx';
import { makePlayhead } from '../walk/playhead.ts';
import { PowerCuts } from '../walk/power-cuts.tsx';
import { PriceList } from '../walk/price-list.tsx';
import { StridePicker } from '../walk/stride-picker.tsx';
import { StrideTable } from '../walk/stride-table.tsx';
import { useLegs, type WalkingLegFile } from '../walk/use-legs.ts';
import { useWalk, type Walked, type Walking } from '../walk/use-walk.ts';
import { WalkChoices } from '../walk/walk-choices.tsx';
import {
  insteadKey,
  insteadVerdict,
  insteadWords,
  walkVerdict,
  wholeName,
  wrongWords,
} from '../walk/walk-figures.ts';
import { STRIDES } from '../walk/walk-length.ts';
import { WalkPicture } from '../walk/walk-picture.tsx';
import { plainWalk, type WalkPlace } from '../walk/walk-place.ts';
import { partsOf, walkRuleModel } from '../walk/walk-rule-model.ts';
import { followKeptWalk, isStale, keptWalk } from '../walk/walk-store.ts';
import { WhatChanged } from '../walk/what-changed.tsx';
import '../walk/walk.css';
import { Prose } from '../sections/prose.tsx';

export interface WalkProps {
  readonly input: StudyInput;
  readonly result: DesignResult;
  readonly ledger: readonly LedgerRow[];
  readonly known: Known;
  readonly reading: Reading;
}

/** The leg rehearsed in a model: twenty strides in closed loop, and what they do to joints, ground, socket and hip. */
export default function Walk({ input, result, ledger, known, reading }: WalkProps) {
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
  const stage = useRef<HTMLDivElement>(null);
  const mapAt = useRef<HTMLElement>(null);
  const cutsAt = useRef<HTMLElement>(null);
  // what was picked from a picture below is shown where it goes wrong; what a link brings is shown where the link says
  const picked = useRef(false);
  const replay = (next: WalkPlace) => {
    picked.current = true;
    toWalk(next);
    stage.current?.scrollIntoView({ block: 'center' });
  };
  const back =
    walk.fault !== undefined
      ? { to: mapAt, words: 'Back to the fault map' }
      : walk.cut !== undefined
        ? { to: cutsAt, words: 'Back to the power cuts' }
        : undefined;
  return (
    <main className="walk">
      <h1 className="ask">
        Does {name} carry {input.wearer.code} through {ask === undefined ? 'a walk' : through(ask, speed)},
        and what does it ask of the hip?
      </h1>
      <div className="walk-asked">
        <WalkChoices {...{ legs, tasks, scenarios, driven }} walk={{ ...shown, control }} onWalk={toWalk} />
        <div className="walk-said">
          {lacks.length === 0 && <Told walking={walking} demo={input.demo} back={back} />}
          <p className="caution">
            A rehearsal in a model, and no proof of anything: the other leg is the reference’s own force, and
            nothing slips, plays or gives but what is told. Before a person walks: unloaded on a bench with an
            emergency stop, then in an overhead harness; the ethics board, local codes and a licensed
            prosthetist decide.
          </p>
        </div>
      </div>
      {chosen === undefined && legs.state === 'read' && (
        <p className="empty" role="status">
          The study has no leg file “{walk.leg}”: choose another leg.
        </p>
      )}
      {unknown ? (
        <p className="empty" role="status">
          The study has no scenario “{walk.scenario}”: choose another, or write it as{' '}
          <code>scenarios/{walk.scenario}.yaml</code>.
        </p>
      ) : null}
      {lacks.length > 0 ? (
        <Lacks name={name} lacks={lacks} />
      ) : walking.walked !== undefined ? (
        <OneWalk
          walked={walking.walked}
          before={walking.before}
          legs={legs.legs}
          {...{ reading, stage, picked }}
        />
      ) : (
        <div className="to-come" />
      )}
      <CompareLegs legs={legs.legs} walk={walk} />
      {!driven && lacks.length === 0 && (
        <p className="empty">
          What moves the hip, power cuts and the fault map are told of legs with drives: {name} has none to
          lose.
        </p>
      )}
      {whole !== undefined && <PriceList input={whole} walk={shown} />}
      {whole !== undefined && (
        <PowerCuts
          ref={cutsAt}
          input={whole}
          walk={{ ...shown, control }}
          hairline={reading.hairline}
          onPick={(cut) => replay({ ...plainWalk(walk), ...{ speed, ground, thigh, control, cut } })}
        />
      )}
      {whole !== undefined && (
        <FaultMap
          ref={mapAt}
          input={whole}
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

interface ToldProps {
  readonly walking: Walking;
  readonly demo: boolean;
  /** The picture that it was picked from. */
  readonly back: { readonly to: RefObject<HTMLElement | null>; readonly words: string } | undefined;
}

/** How the walk goes or went, in words, and what can be done about it. */
function Told({ walking, demo, back }: ToldProps) {
  const { done, of = STRIDES, walked, refused } = walking;
  return (
    <div className="walk-told">
      {done !== undefined && (
        <p>
          <progress value={done} max={of} aria-label="Strides walked" /> Walking: stride {done} of {of}
          {walked === undefined ? '' : '; below stands the walk before it'}.{' '}
          <button type="button" className="act" onClick={walking.cancel}>
            Cancel
          </button>
        </p>
      )}
      {refused !== undefined && (
        <div role="alert">
          {refused.kind === 'cancelled' && <p>Cancelled.</p>}
          {refused.kind === 'open' && <p>Not walked: {refused.because}.</p>}
          {refused.kind === 'faults' &&
            refused.faults.map(({ what, mend }) => (
              <p key={what}>
                Refused. {what}. {mend}.
              </p>
            ))}
          {walked !== undefined && <p>What stands below is the walk before it.</p>}
          <button type="button" className="act" onClick={walking.again}>
            Walk again
          </button>
        </div>
      )}
      {done === undefined && refused === undefined && walked !== undefined && (
        <p className="strong" role="status">
          {walked.ask.instead === undefined
            ? walkVerdict(walked.ask.input.leg.name, walked.report)
            : insteadVerdict(walked)}{' '}
          <span className="quiet">
            {walked.stored ? 'As walked before, in ' : ''}
            {fixed(walked.took, 1)} s in a worker{demo ? '; demo data' : ''}.
          </span>{' '}
          {back !== undefined && (
            <button
              type="button"
              className="act"
              onClick={() => {
                back.to.current?.scrollIntoView();
                back.to.current?.querySelector<HTMLElement>('[role=grid]')?.focus({ preventScroll: true });
              }}
            >
              {back.words}
            </button>
          )}
        </p>
      )}
    </div>
  );
}

interface OneWalkProps {
  readonly walked: Walked;
  readonly before: Walked | undefined;
  readonly reading: Reading;
  readonly legs: readonly WalkingLegFile[];
  readonly stage: RefObject<HTMLDivElement | null>;
  /** True while a walk is awaited that is to be shown where it goes wrong. */
  readonly picked: RefObject<boolean>;
}

const named = ({ ask, report }: Walked) => ({ leg: ask.input.leg.name, report });

/** One walk that came to an end: the chosen stride drawn and on the rule, and the tables of all. */
function OneWalk({ walked, before, reading, legs, stage, picked }: OneWalkProps) {
  const { record, report, ask } = walked;
  const { hairline, walk, toWalk } = reading;
  const { leg } = ask.input;
  const ranges = useMemo(() => strideRanges(record.log), [record]);
  const strides = useMemo(() => ranges.map((range) => walkCurves(record, range)), [record, ranges]);
  const wrongRow = record.wrongFrom === undefined ? -1 : Math.round(record.wrongFrom / record.log.period);
  const wrongIn = ranges.findIndex(({ from, to }) => wrongRow >= from && wrongRow < to) + 1;
  const chosen = Math.min(walk.stride ?? (wrongIn || ranges.length), ranges.length);
  const range = ranges[chosen - 1]!;
  const curves = strides[chosen - 1]!;
  const usual = ask.instead === undefined;
  const { stretch } = record.log;
  const title = `${wholeName(walked)}${stretch ? '' : `, stride ${chosen} of ${ranges.length}`}`;
  const walkFile = `walk-${ask.input.leg.name.toLowerCase()}-${written(report.speed)}-${report.thigh}${insteadKey(ask)}`;
  const fileName = stretch ? walkFile : `${walkFile}-stride-${chosen}`;
  const ticks = Math.round(curves.duration / record.log.period);
  const parts = useMemo(() => walkParts(record.log, range, report.passed), [record, range, report]);
  const along = useMemo(
    (): Along =>
      parts === undefined
        ? { stance: curves.stance }
        : { parts: partsOf(parts, range.from, ticks), ...(stretch && { seconds: curves.duration }) },
    [parts, curves, range, ticks, stretch],
  );
  const kept = useSyncExternalStore(followKeptWalk, keptWalk);
  const same = kept !== undefined && kept.key === askKey(ask);
  const other = kept === undefined || same ? undefined : kept.walked;
  const against = other ?? before;
  const ghost = useMemo(
    () => other && keptCurves(other, record.log, chosen, curves),
    [other, record, chosen, curves],
  );
  const model = useMemo(
    () => walkRuleModel({ title, leg, strides, chosen: chosen - 1, along, kept: ghost }),
    [title, leg, strides, chosen, along, ghost],
  );
  const partAt = useCallback(
    (tick: number): string => {
      const row = range.from + tick;
      if (parts === undefined) return MODES[record.log.table[row * LOG_WIDTH + LOG.mode]!] ?? '';
      return parts.find(({ to }) => row < to)?.name ?? '';
    },
    [parts, record, range],
  );
  const playhead = useMemo(
    () => makePlayhead(hairline, ticks, Math.min(ticks, record.log.rows - 1 - range.from)),
    [hairline, ticks, record, range],
  );
  useEffect(() => playhead.end, [playhead]);
  useEffect(() => {
    if (!picked.current || chosen !== wrongIn) return;
    picked.current = false;
    hairline.moveTo((100 * (wrongRow - range.from)) / ticks);
  }, [picked, chosen, wrongIn, wrongRow, range, ticks, hairline]);
  const beside = useBeside(walked, legs, walk.beside, chosen);
  const wrong = useMemo(
    () =>
      chosen === wrongIn ? { share: (wrongRow - range.from) / ticks, words: wrongWords(ask) } : undefined,
    [chosen, wrongIn, wrongRow, range, ticks, ask],
  );
  return (
    <>
      <Section title="The leg on its ground">
        <div className="walk-stage" ref={stage}>
          <WalkPicture
            {...{ title, fileName, record, range, ticks, playhead, wrong, beside, partAt }}
            segments={leg.segments}
            ground={
              report.ground === 'treadmill'
                ? `belt that goes back at ${written(report.speed)} m/s, drawn from the belt; m`
                : 'ground; m'
            }
          />
          <div className="walk-aside">
            <AtTick {...{ record, range, curves, ticks, playhead, partAt }} />
          </div>
        </div>
      </Section>
      <Pick
        legend="Beside it"
        name="beside"
        chosen={walk.beside ?? ''}
        onPick={(name) => {
          const { beside: _, ...alone } = walk;
          toWalk({ ...alone, ...(name !== undefined && { beside: name }) });
        }}
        options={[
          { key: '', value: undefined, text: 'no other leg' },
          ...legs
            .filter(({ name, input }) => name !== leg.name && walkNeeds(input).length === 0)
            .map(({ name }) => ({ key: name, value: name, text: name })),
        ]}
      />
      <div className="walk-strides">
        {!stretch && (
          <StridePicker
            count={ranges.length}
            fell={report.fell !== undefined}
            chosen={chosen}
            onStride={(stride) => toWalk({ ...walk, stride })}
          />
        )}
        <button
          type="button"
          className="act"
          onClick={() => saveFile(`${walkFile}-log.csv`, csvText(logRows(record.log)), 'text/csv')}
        >
          Save the whole log as CSV
        </button>
      </div>
      <KeptWalkActs
        {...{ kept, walked, same }}
        file={legs.find(({ name }) => name === leg.name)?.file}
        stale={kept !== undefined && isStale(kept, legs)}
        apart={
          ghost === undefined
            ? 'Its curves are not drawn: a stride and a way that is told as a whole share no axis.'
            : undefined
        }
      />
      <div className="cols">
        <Rule model={model} hairline={hairline} fileName={fileName} />
        <div className="col walk-side">
          <p className="note">
            {groundWords(along, report.passed !== undefined)}
            {ranges.length > 1 && ' Thin: the other strides of this walk.'}
            {ghost !== undefined && ' Dash and dot: the walk that is kept.'} reference: the stride that is
            walked, at the same instant.
          </p>
          {'parts' in along && along.parts.length > 0 && (
            <PartTable {...{ along, fileName }} what={report.passed === undefined ? 'part' : 'state'} />
          )}
          {usual ? (
            <WhatChanged
              before={
                against?.ask.instead === undefined && against !== undefined ? named(against) : undefined
              }
              what={other === undefined ? 'before' : 'kept'}
              now={named(walked)}
            />
          ) : (
            notesOf(along).map((note) => (
              <p className="note" key={note}>
                <Prose text={note} />
              </p>
            ))
          )}
        </div>
      </div>
      <StrideTable {...{ report, fileName, chosen }} whole={stretch === true} kept={other} />
      {usual && <Outside {...{ walked, fileName }} />}
      <Section title="How it was walked">
        <ul className="notes">
          {report.notes.map((note) => (
            <li key={note}>
              <Prose text={note} />
            </li>
          ))}
          <li>{record.stride.origin.citation}</li>
          <li>
            The other leg’s force is the reference’s own, half a stride away; a weak guide keeps the height of
            the hip.{' '}
            {report.control === 'none'
              ? 'This leg has no drives and no controller: what only those have is a dash, which is not zero; '
              : report.control === 'clock'
                ? 'The controller here paces stance by a clock and knows no faults; '
                : 'The controller is the one the study names, as it runs on the leg; '}
            rigid gears, no play, no socket that gives.
          </li>
        </ul>
      </Section>
    </>
  );
}

const MODES = ['stance', 'swing', 'safe'];

/** What the ground of the rule tells. */
function groundWords(along: Along, states: boolean): string {
  if ('stance' in along)
    return `Stance: the foot leaves the ground at ${fixed(100 * along.stance, 1)} % of this stride.`;
  if (along.parts.length === 0)
    return 'The leg hangs: its foot bears nothing, so that there is neither stance nor swing. The axis is the stride that leads it.';
  return states
    ? 'Told as a whole, in seconds: the ground by the states of the controller as it came into them, numbered as here.'
    : 'Told as a whole, in seconds: the ground by the force on the foot, loaded where that is enough to have a centre of pressure, 20 N.';
}

/** What a reader of a scenario must know, as far as it holds for strides, for a way that is told as a whole, or for a leg that hangs. */
function notesOf(along: Along): readonly string[] {
  if ('stance' in along) return SCENARIO_NOTES;
  return along.parts.length === 0 ? [] : SCENARIO_NOTES.slice(1);
}

/** The stride of a kept walk that is laid under one of these; undefined where the two share no axis. */
function keptCurves(
  { record }: Walked,
  { stretch }: WalkLog,
  chosen: number,
  { duration }: WalkCurves,
): WalkCurves | undefined {
  if (record.log.stretch !== stretch) return undefined;
  const ranges = strideRanges(record.log);
  const range = ranges[Math.min(chosen, ranges.length) - 1];
  return range && walkCurves(record, range, stretch ? duration : undefined);
}

/** The same walk of another leg, to be drawn beside this one; undefined until it is walked, or where it cannot be. */
function useBeside(
  walked: Walked,
  legs: readonly WalkingLegFile[],
  name: string | undefined,
  stride: number,
): Beside | undefined {
  const { ask } = walked;
  const leg = legs.find((each) => each.name === name && name !== ask.input.leg.name);
  const other = useWalk(useMemo(() => leg && { ...ask, input: leg.input }, [leg, ask]));
  const its = other.walked;
  return useMemo(() => {
    if (leg === undefined || its === undefined || its.ask.input !== leg.input) return undefined;
    const ranges = strideRanges(its.record.log);
    const range = ranges[Math.min(stride, ranges.length) - 1];
    const { segments } = leg.input.leg;
    return range && { name: leg.name, record: its.record, segments, range };
  }, [leg, its, stride]);
}

/** What holds for a walk of every day: its hip with the thigh moved both ways, and published figures beside it. */
function Outside({ walked, fileName }: { readonly walked: Walked; readonly fileName: string }) {
  const { report, ask } = walked;
  const other = useWalk(
    useMemo(
      () => ({
        ...ask,
        choice: { ...ask.choice, thigh: report.thigh === 'led' ? ('prescribed' as const) : ('led' as const) },
      }),
      [ask, report],
    ),
  );
  const landing = landingVerdict(report);
  const ofOther = other.walked?.ask.input === ask.input ? other.walked.report : undefined;
  const bracket = ofOther?.thigh === report.thigh || other.done !== undefined ? undefined : ofOther;
  return (
    <>
      <HipBracket
        leg={ask.input.leg.name}
        fileName={fileName}
        report={report}
        other={bracket}
        refused={
          other.refused?.kind === 'open'
            ? other.refused.because
            : other.refused?.kind === 'faults'
              ? other.refused.faults[0]?.what
              : undefined
        }
      />
      {landing !== undefined && (
        <p className="note">
          {ask.input.leg.name}, {landing}
        </p>
      )}
      <OutsideChecks checks={report.checks} fileName={fileName} />
    </>
  );
}

/** A log as a table for people, its columns first. */
const logRows = (log: WalkLog): (string | number)[][] => [
  [...LOG_COLUMNS],
  ...Array.from({ length: log.rows }, (_, row) => walkLogRow(log, row)),
];
