import {
  type AskedImpedance,
  type DrivenJoint,
  type Gains,
  type Load,
  type StanceSchedule,
  type StudyInput,
  statedGains,
} from '@striderule/engine';
import { type KeyboardEvent, type PointerEvent, useCallback, useEffect, useMemo, useRef } from 'react';
import { DAMPING_REACH, gainKey, onGainScales, STIFFNESS_REACH } from '../design/gain-reach.ts';
import { fromElement, toElement } from '../draw/mark.ts';
import { svgFile } from '../draw/svg-file.ts';
import { valueAtPx } from '../drive/log-scale.ts';
import { useWidth } from '../rule/use-width.ts';
import { csvText } from '../show/csv.ts';
import { significant, written } from '../show/number.ts';
import { saveFile } from '../show/save-file.ts';
import { drawGainGround, drawGains, stiffestOf } from './draw-gains.ts';
import { gainFrame, gainsAt, xOf, yOf } from './gain-frame.ts';
import { gainMarks } from './gain-marks.ts';
import { TypedGain } from './typed-gain.tsx';
import { useGainMap } from './use-gain-map.ts';

/** ms after the last key until a burst of keys counts as one step. */
const BURST = 700;

/** One word for the loop where the cross stands. */
function verdictOf(asked: AskedImpedance | { readonly openBecause: string }): string {
  if ('openBecause' in asked) return 'beyond the gears';
  if (!asked.stability.every(({ largest }) => largest < 1)) return 'unstable';
  return asked.passivity.passive ? 'stable and passive' : 'stable, not passive';
}

interface GainSlideProps {
  readonly input: StudyInput;
  readonly joint: DrivenJoint;
  readonly schedule: StanceSchedule | { readonly openBecause: string };
  readonly now: Gains;
  readonly limit: number;
  readonly asked: AskedImpedance | { readonly openBecause: string };
  readonly sampled: AskedImpedance['joint'];
  readonly loads: readonly Load[];
  readonly onMove: (gains: Gains) => void;
  /** A gesture has ended: these gains are a step that can be undone. */
  readonly onSet: (gains: Gains) => void;
}

/** Stiffness as a slide, and below it, over the map of what the loop bears, both gains as a cross. */
export function GainSlide({
  input,
  joint,
  schedule,
  now,
  limit,
  asked,
  sampled,
  loads,
  onMove,
  onSet,
}: GainSlideProps) {
  const host = useRef<HTMLDivElement>(null);
  const ground = useRef<SVGSVGElement>(null);
  const over = useRef<SVGSVGElement>(null);
  const drawing = useRef<ReturnType<typeof drawGains>>(undefined);
  const drag = useRef<'stiffness' | 'both' | undefined>(undefined);
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const { width, laidOut } = useWidth(host);
  const marks = useMemo(() => gainMarks(joint, input.wearer.mass, schedule), [joint, input, schedule]);
  const frame = useMemo(() => gainFrame(width, marks.length), [width, marks]);
  const stated = useMemo(() => onGainScales(statedGains(input)), [input]);
  const made = useGainMap(sampled, loads);
  const verdict = verdictOf(asked);
  const at = useRef(now);
  at.current = now;

  useEffect(() => {
    if (!laidOut) return;
    ground.current?.replaceChildren(
      ...drawGainGround(frame, marks, made?.map, 'working out 40 000 loops …').map(toElement),
    );
  }, [laidOut, frame, marks, made]);
  const shown = useRef({ now, limit, verdict });
  useEffect(() => {
    if (!laidOut || over.current === null) return;
    drawing.current = drawGains(over.current, frame, stated);
    drawing.current.move(shown.current.now, shown.current.limit, shown.current.verdict);
  }, [laidOut, frame, stated]);
  useEffect(() => {
    shown.current = { now, limit, verdict };
    drawing.current?.move(now, limit, verdict);
  }, [now, limit, verdict]);

  // a burst of keys that the page leaves behind is a step all the same
  const last = useRef(onSet);
  last.current = onSet;
  const endBurst = useCallback(() => {
    if (timer.current === undefined) return;
    clearTimeout(timer.current);
    timer.current = undefined;
    last.current(at.current);
  }, []);
  useEffect(() => endBurst, [endBurst]);

  const pointed = (event: PointerEvent): void => {
    const box = (ground.current as SVGSVGElement).getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    const there = gainsAt(frame, x, y);
    onMove(
      onGainScales(
        drag.current === 'both'
          ? there
          : { ...at.current, stiffness: valueAtPx(frame.stiffness, x - frame.x0) },
      ),
    );
  };
  const onPointerDown = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0) return;
    const y = event.clientY - event.currentTarget.getBoundingClientRect().top;
    drag.current = y > frame.top - 4 ? 'both' : 'stiffness';
    event.currentTarget.setPointerCapture(event.pointerId);
    pointed(event);
  };
  const onPointerMove = (event: PointerEvent<HTMLDivElement>) => {
    if (drag.current !== undefined && event.currentTarget.hasPointerCapture(event.pointerId)) pointed(event);
  };
  const onPointerUp = () => {
    if (drag.current === undefined) return;
    drag.current = undefined;
    onSet(at.current);
  };
  const onKey = (what: keyof Gains) => (event: KeyboardEvent) => {
    if (event.altKey || event.ctrlKey || event.metaKey) {
      endBurst();
      return;
    }
    const to = gainKey(what, event.key, event.shiftKey, at.current);
    if (to === undefined) return;
    event.preventDefault();
    onMove(onGainScales(to));
    clearTimeout(timer.current);
    timer.current = setTimeout(endBurst, BURST);
  };

  const most = made === undefined ? undefined : stiffestOf(made.map);
  const words = `Map of stiffness and damping of the ${joint}. At ${written(now.stiffness)} newton metres per radian and ${written(now.damping)} newton metre seconds per radian: ${verdict}. At this damping stable up to ${significant(limit)} newton metres per radian.${most === undefined ? '' : ` Most of all at ${significant(most.damping)}: ${significant(most.stiffness)}.`}`;
  const title = `${joint}, ${written(now.stiffness)} N·m/rad and ${written(now.damping)} N·m·s/rad`;
  const saveSvg = () =>
    saveFile(
      `${joint}-gains.svg`,
      svgFile(
        frame.width,
        frame.height,
        title,
        words,
        [...(ground.current?.children ?? []), ...(over.current?.children ?? [])].map(fromElement),
      ),
      'image/svg+xml',
    );
  const saveCsv = () => {
    if (made === undefined) return;
    const { stiffnesses, dampings, stable, passive, within } = made.map;
    saveFile(
      `${joint}-gain-map.csv`,
      csvText([
        ['damping N·m·s/rad', 'stiffness N·m/rad', 'stable', 'passive', 'within the gears'],
        ...[...dampings].flatMap((damping, row) =>
          [...stiffnesses].map((stiffness, column) => {
            const k = row * stiffnesses.length + column;
            return [
              Number(damping.toPrecision(6)),
              Number(stiffness.toPrecision(6)),
              ...[stable[k], passive[k], within[k]],
            ];
          }),
        ),
      ]),
      'text/csv',
    );
  };
  const slider = (what: keyof Gains) => ({
    'aria-valuetext': `${written(now[what])} ${what === 'stiffness' ? 'newton metres per radian' : 'newton metre seconds per radian'}, ${verdict}`,
    onKeyDown: onKey(what),
  });
  return (
    <figure className="gain-map" aria-label={`Stiffness and damping of the ${joint}`}>
      <div className="typed-gains">
        <TypedGain what="stiffness" gains={now} onSet={onSet} />
        <TypedGain what="damping" gains={now} onSet={onSet} />
      </div>
      <div
        className="gain-face"
        ref={host}
        onPointerDown={onPointerDown}
        onPointerMove={onPointerMove}
        onPointerUp={onPointerUp}
        onPointerCancel={onPointerUp}
      >
        <svg ref={ground} width={frame.width} height={frame.height} role="img" aria-label={words} />
        <svg ref={over} className="moving" width={frame.width} height={frame.height} aria-hidden="true" />
        <div
          className="gain-knob"
          role="slider"
          tabIndex={0}
          aria-valuemin={STIFFNESS_REACH.low}
          aria-valuemax={STIFFNESS_REACH.high}
          aria-valuenow={now.stiffness}
          {...slider('stiffness')}
          aria-label={`Stiffness of the ${joint}`}
          aria-orientation="horizontal"
          style={{ left: xOf(frame, now.stiffness), top: frame.base + 12 }}
        />
        <div
          className="gain-knob"
          role="slider"
          tabIndex={0}
          aria-valuemin={DAMPING_REACH.low}
          aria-valuemax={DAMPING_REACH.high}
          aria-valuenow={now.damping}
          {...slider('damping')}
          aria-label={`Damping of the ${joint}`}
          aria-orientation="vertical"
          style={{
            left: frame.x0 + frame.axis + (frame.narrow ? -8 : 9),
            top: yOf(frame, now.damping),
          }}
        />
      </div>
      <figcaption className="acts">
        <button type="button" className="act" onClick={saveSvg}>
          Save the map as SVG
        </button>
        <button type="button" className="act" disabled={made === undefined} onClick={saveCsv}>
          Save the map as CSV
        </button>
        <button type="button" className="act" onClick={() => onSet(stated)}>
          Back to {written(stated.stiffness)} and {written(stated.damping)}
        </button>
        {made !== undefined && (
          <span className="quiet" data-map-took={made.took}>
            200 × 200 points in {significant(made.took, 2)} s
          </span>
        )}
      </figcaption>
    </figure>
  );
}
