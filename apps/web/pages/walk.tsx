import {
  type DesignResult,
  type LedgerRow,
  type StudyInput,
  strideRanges,
  walkCurves,
  walkNeeds,
} from '@striderule/engine';
import { useEffect, useMemo } from 'react';
import type { Known } from '../design/use-ledger.ts';
import { Asked } from '../ledger/asked.tsx';
import { Rule } from '../rule/rule.tsx';
import { strideDemands } from '../rule/rule-model.ts';
import { Section } from '../sections/section.tsx';
import { fixed, written } from '../show/number.ts';
import type { Reading } from '../use-place.ts';
import type { WalkAsk } from '../walk/answer-walk.ts';
import { AtTick } from '../walk/at-tick.tsx';
import { CompareLegs } from '../walk/compare-legs.tsx';
import { HipBracket } from '../walk/hip-bracket.tsx';
import { OutsideChecks } from '../walk/outside-checks.tsx';
import { makePlayhead } from '../walk/playhead.ts';
import { StridePicker } from '../walk/stride-picker.tsx';
import { StrideTable } from '../walk/stride-table.tsx';
import { useLegs } from '../walk/use-legs.ts';
import { useWalk, type Walked, type Walking } from '../walk/use-walk.ts';
import { WalkChoices } from '../walk/walk-choices.tsx';
import { landingText, walkName, walkVerdict } from '../walk/walk-figures.ts';
import { STRIDES } from '../walk/walk-length.ts';
import { WalkPicture } from '../walk/walk-picture.tsx';
import { walkRuleModel } from '../walk/walk-rule-model.ts';
import { WhatChanged } from '../walk/what-changed.tsx';
import '../walk/walk.css';

interface WalkProps {
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
      strideDemands(result).filter(({ speed, groundForce }) => speed > 0 && groundForce.vertical[0]! >= 0),
    [result],
  );
  const chosen = walk.leg === undefined ? legs.legs[0] : legs.legs.find(({ file }) => file === walk.leg);
  const lacks = useMemo(() => (chosen === undefined ? [] : walkNeeds(chosen.input)), [chosen]);
  const { speed, ground, thigh, control, step } = walk;
  const ask = useMemo(
    (): WalkAsk | undefined =>
      chosen === undefined || lacks.length > 0
        ? undefined
        : { input: chosen.input, choice: { speed, ground, thigh, control }, step, strides: STRIDES },
    [chosen, lacks, speed, ground, thigh, control, step],
  );
  const walking = useWalk(ask);
  const name = chosen?.name ?? walk.leg ?? input.leg.name;
  return (
    <main className="walk">
      <h1 className="ask">
        Does {name} carry {input.wearer.code} through a walk at {written(speed)} m/s, and what does it ask of
        the hip?
      </h1>
      <div className="walk-asked">
        <WalkChoices legs={legs} tasks={tasks} walk={walk} onWalk={toWalk} />
        <div className="walk-said">
          {lacks.length === 0 && <Told walking={walking} demo={input.demo} />}
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
      {lacks.length > 0 ? (
        <Lacks name={name} lacks={lacks} />
      ) : (
        walking.walked !== undefined && (
          <OneWalk walked={walking.walked} before={walking.before} reading={reading} />
        )
      )}
      <CompareLegs legs={legs.legs} walk={walk} />
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

/** What a walk needs and the files do not say, field by field. */
function Lacks({ name, lacks }: { readonly name: string; readonly lacks: readonly string[] }) {
  return (
    <Section title={`What a walk of ${name} needs`}>
      <p>{name} cannot be walked yet. Its files do not say:</p>
      <ul className="lacks">
        {lacks.map((what) => (
          <li key={what}>
            {what.split('`').map((text, k) => (k % 2 === 1 ? <code key={text}>{text}</code> : text))}
          </li>
        ))}
      </ul>
    </Section>
  );
}

interface ToldProps {
  readonly walking: Walking;
  readonly demo: boolean;
}

/** How the walk goes or went, in words, and what can be done about it. */
function Told({ walking, demo }: ToldProps) {
  const { done, walked, refused } = walking;
  return (
    <div className="walk-told">
      {done !== undefined && (
        <p>
          <progress value={done} max={STRIDES} aria-label="Strides walked" /> Walking: stride {done} of{' '}
          {STRIDES}.{' '}
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
          {walkVerdict(walked.ask.input.leg.name, walked.report)}{' '}
          <span className="quiet">
            {fixed(walked.took, 1)} s in a worker{demo ? '; demo data' : ''}.
          </span>
        </p>
      )}
    </div>
  );
}

interface OneWalkProps {
  readonly walked: Walked;
  readonly before: Walked | undefined;
  readonly reading: Reading;
}

const named = ({ ask, report }: Walked) => ({ leg: ask.input.leg.name, report });

/** One walk that came to an end: the chosen stride drawn and on the rule, and the tables of all. */
function OneWalk({ walked, before, reading }: OneWalkProps) {
  const { record, report, ask } = walked;
  const { hairline, walk, toWalk } = reading;
  const { leg } = ask.input;
  const ranges = useMemo(() => strideRanges(record.log), [record]);
  const strides = useMemo(() => ranges.map((range) => walkCurves(record, range)), [record, ranges]);
  const chosen = Math.min(walk.stride ?? ranges.length, ranges.length);
  const range = ranges[chosen - 1]!;
  const curves = strides[chosen - 1]!;
  const title = `${walkName(leg.name, report)}, stride ${chosen} of ${ranges.length}`;
  const fileName = `walk-${ask.input.leg.name.toLowerCase()}-${written(report.speed)}-${report.thigh}-stride-${chosen}`;
  const model = useMemo(() => walkRuleModel(title, leg, strides, chosen - 1), [title, leg, strides, chosen]);
  const ticks = Math.round(curves.duration / record.log.period);
  const playhead = useMemo(
    () => makePlayhead(hairline, ticks, Math.min(ticks, record.log.rows - 1 - range.from)),
    [hairline, ticks, record, range],
  );
  useEffect(() => playhead.end, [playhead]);
  const landing = landingText(leg.name, report);
  const other = useWalk(
    useMemo(
      () => ({
        ...ask,
        choice: { ...ask.choice, thigh: report.thigh === 'led' ? ('prescribed' as const) : ('led' as const) },
      }),
      [ask, report],
    ),
  );
  const ofOther = other.walked?.ask.input === ask.input ? other.walked.report : undefined;
  const bracket = ofOther?.thigh === report.thigh || other.done !== undefined ? undefined : ofOther;
  return (
    <>
      <Section title="The leg on its ground">
        <div className="walk-stage">
          <WalkPicture
            {...{ title, fileName, record, range, ticks, playhead }}
            segments={leg.segments}
            ground={
              report.ground === 'treadmill'
                ? `belt that goes back at ${written(report.speed)} m/s, drawn from the belt; m`
                : 'ground; m'
            }
          />
          <div className="walk-aside">
            <AtTick {...{ record, range, curves, ticks, playhead }} />
          </div>
        </div>
      </Section>
      <StridePicker
        count={ranges.length}
        fell={report.fell !== undefined}
        chosen={chosen}
        onStride={(stride) => toWalk({ ...walk, stride })}
      />
      <div className="cols">
        <Rule model={model} hairline={hairline} fileName={fileName} />
        <div className="col walk-side">
          <p className="note">
            Stance: the foot leaves the ground at {fixed(100 * curves.stance, 1)} % of this stride. Thin: the
            other strides of this walk. reference: the stride that is walked, at the same instant.
          </p>
          <WhatChanged before={before === undefined ? undefined : named(before)} now={named(walked)} />
        </div>
      </div>
      <StrideTable report={report} fileName={fileName} chosen={chosen} />
      <HipBracket
        leg={leg.name}
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
      {landing !== undefined && <p className="note">{landing}</p>}
      <OutsideChecks checks={report.checks} fileName={fileName} />
      <Section title="How it was walked">
        <ul className="notes">
          {report.notes.map((note) => (
            <li key={note}>{note}</li>
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
