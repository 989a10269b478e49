import {
  LOG_COLUMNS,
  SCENARIO_NOTES,
  type StudyInput,
  strideRanges,
  type WalkCurves,
  type WalkLog,
  walkCurves,
  walkInstant,
  walkLogRow,
  walkNeeds,
  walkParts,
} from '@striderule/engine';
import { type RefObject, useCallback, useEffect, useMemo, useSyncExternalStore } from 'react';
import { createPortal } from 'react-dom';
import { partAt as partOf } from '../rule/along.ts';
import { Rule } from '../rule/rule.tsx';
import type { Along } from '../rule/scale.ts';
import { Prose } from '../sections/prose.tsx';
import { Section } from '../sections/section.tsx';
import { csvText } from '../show/csv.ts';
import { fixed, written } from '../show/number.ts';
import { legText } from '../show/ratio-text.ts';
import { saveFile } from '../show/save-file.ts';
import type { Reading } from '../use-place.ts';
import { askKey } from './ask-key.ts';
import { AtTick } from './at-tick.tsx';
import type { Beside } from './draw-walk.ts';
import { KeptWalkActs } from './kept-walk.tsx';
import { OfEveryDay } from './of-every-day.tsx';
import { PartTable } from './part-table.tsx';
import { Pick } from './pick.tsx';
import { makePlayhead, tickHairline } from './playhead.ts';
import { StridePicker } from './stride-picker.tsx';
import { StrideTable } from './stride-table.tsx';
import type { Legs, WalkingLegFile } from './use-legs.ts';
import { useWalk } from './use-walk.ts';
import { insteadKey, wholeName, wrongWords } from './walk-figures.ts';
import { WalkPicture } from './walk-picture.tsx';
import { partsOf, walkRuleModel } from './walk-rule-model.ts';
import { followKeptWalk, isStale, keptWalk, type Walked } from './walk-store.ts';
import { WhatChanged } from './what-changed.tsx';

interface OneWalkProps {
  readonly walked: Walked;
  readonly before: Walked | undefined;
  readonly reading: Reading;
  readonly legs: Legs;
  /** The study as it stands on the page. */
  readonly study: StudyInput;
  /** True while a walk is awaited that is to be shown where it goes wrong. */
  readonly picked: RefObject<boolean>;
  /** Where that stands which is read beside the leg. */
  readonly side: HTMLElement | null;
}

/** Heading of the picture. */
const ON_GROUND = 'walk-on-ground';

const named = ({ ask, report }: Walked) => ({ leg: legText(ask.input.leg), report });

/** One walk that came to an end: the chosen stride drawn and on the rule, and the tables of all. */
export function OneWalk({ walked, before, reading, legs: read, study, picked, side }: OneWalkProps) {
  const { legs } = read;
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
  const instant = useMemo(() => {
    let [read, now] = [-1, walkInstant(record, range.from)];
    return (percent: number) => {
      const row = range.from + Math.round((percent * ticks) / 100);
      if (row !== read) [read, now] = [row, walkInstant(record, row)];
      return now;
    };
  }, [record, range, ticks]);
  const model = useMemo(
    () => walkRuleModel({ title, leg, strides, chosen: chosen - 1, along, kept: ghost, instant }),
    [title, leg, strides, chosen, along, ghost, instant],
  );
  const partAt = useCallback((tick: number): string => partOf(along, (100 * tick) / ticks), [along, ticks]);
  const playhead = useMemo(
    () => makePlayhead(hairline, ticks, Math.min(ticks, record.log.rows - 1 - range.from)),
    [hairline, ticks, record, range],
  );
  useEffect(() => playhead.end, [playhead]);
  const fine = useMemo(() => tickHairline(playhead, ticks), [playhead, ticks]);
  useEffect(() => {
    if (!picked.current || chosen !== wrongIn) return;
    picked.current = false;
    playhead.moveTo(wrongRow - range.from);
  }, [picked, chosen, wrongIn, wrongRow, range, playhead]);
  const beside = useBeside(walked, legs, walk.beside, chosen);
  const wrong = useMemo(
    () =>
      chosen === wrongIn ? { share: (wrongRow - range.from) / ticks, words: wrongWords(ask) } : undefined,
    [chosen, wrongIn, wrongRow, range, ticks, ask],
  );
  return (
    <>
      <section className="walk-stage" aria-labelledby={ON_GROUND}>
        <h2 className="sr" id={ON_GROUND}>
          The leg on its ground
        </h2>
        <WalkPicture
          {...{ title, fileName, record, range, ticks, playhead, wrong, beside, partAt }}
          segments={leg.segments}
          ground={
            report.ground === 'treadmill'
              ? `belt that goes back at ${written(report.speed)} m/s, drawn from the belt; m`
              : 'ground; m'
          }
        />
      </section>
      <div className="walk-rule">
        <Rule model={model} hairline={fine} fileName={fileName} />
      </div>
      {side !== null &&
        createPortal(
          <div className="walk-side">
            {!stretch && (
              <StridePicker
                count={ranges.length}
                fell={report.fell !== undefined}
                chosen={chosen}
                onStride={(stride) => toWalk({ ...walk, stride })}
              />
            )}
            <AtTick {...{ record, range, ticks, playhead, partAt }} controlled={report.control !== 'none'} />
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
            <KeptWalkActs
              {...{ study, kept, walked, same }}
              legs={read}
              file={legs.find(({ name }) => name === leg.name)?.file}
              stale={kept !== undefined && isStale(kept, legs)}
              apart={
                ghost === undefined
                  ? 'Its curves are not drawn: a stride and a way that is told as a whole share no axis.'
                  : undefined
              }
            />
            <button
              type="button"
              className="act"
              onClick={() => saveFile(`${walkFile}-log.csv`, csvText(logRows(record.log)), 'text/csv')}
            >
              Save the whole log as CSV
            </button>
            <p className="note">
              {groundWords(along, report.passed !== undefined, range.whole)}
              {ranges.length > 1 && ' Thin: the other strides of this walk.'}
              {ghost !== undefined && ' Dash and dot: the walk that is kept.'}
            </p>
            {'parts' in along && along.parts.length > 0 && (
              <PartTable
                {...{ along, fileName }}
                duration={curves.duration}
                what={report.passed === undefined ? 'part' : 'state'}
              />
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
          </div>,
          side,
        )}
      <StrideTable {...{ report, fileName, chosen }} whole={stretch === true} kept={other} />
      {usual && <OfEveryDay {...{ walked, fileName }} />}
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
            {report.control !== 'none' && 'elastic gears with their play, '}no socket that gives.
          </li>
        </ul>
      </Section>
    </>
  );
}

/** What the ground of the rule tells. */
function groundWords(along: Along, states: boolean, whole: boolean): string {
  if ('stance' in along)
    return `Stance: the foot leaves the ground at ${fixed(100 * along.stance, 1)} % of this stride.`;
  if (along.parts.length === 0)
    return 'The leg hangs: its foot bears nothing, so that there is neither stance nor swing. The axis is the stride that leads it.';
  if (along.seconds === undefined && !whole)
    return 'A stride in which the leg fell: phases of gait do not tell it. The ground by the force on the foot, loaded where that is enough to have a centre of pressure, 20 N; numbered as here.';
  if (along.seconds === undefined)
    return 'A stride in which the walk stops: phases of gait do not tell it. The ground by the force on the foot, loaded where that is enough to have a centre of pressure, 20 N, and by whether the walk goes on, stands or goes back; numbered as here.';
  return states
    ? 'Told as a whole, in seconds: the ground by the states of the controller as it came into them, numbered as here.'
    : 'Told as a whole, in seconds: the ground by the force on the foot, loaded where that is enough to have a centre of pressure, 20 N.';
}

/** What a reader of a scenario must know, as far as it holds for strides, for a way that is told as a whole, or for a leg that hangs. */
function notesOf(along: Along): readonly string[] {
  if (!('stance' in along) && along.parts.length === 0) return [];
  return 'stance' in along || along.seconds === undefined ? SCENARIO_NOTES : SCENARIO_NOTES.slice(1);
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

/** A log as a table for people, its columns first. */
const logRows = (log: WalkLog): (string | number)[][] => [
  [...LOG_COLUMNS],
  ...Array.from({ length: log.rows }, (_, row) => walkLogRow(log, row)),
];
