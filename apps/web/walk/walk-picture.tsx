import { type LegSegments, LOG, LOG_WIDTH, type StrideRange, type WalkRecord } from '@striderule/engine';
import { type KeyboardEvent, type PointerEvent, useEffect, useMemo, useRef, useState } from 'react';
import { fromElement, toElement } from '../draw/mark.ts';
import { svgFile } from '../draw/svg-file.ts';
import { useWidth } from '../rule/use-width.ts';
import { fixed } from '../show/number.ts';
import { saveFile } from '../show/save-file.ts';
import { degrees } from '../show/unit.ts';
import { type Beside, drawWalkGround, drawWalkingLeg, type WrongMark } from './draw-walk.ts';
import type { Playhead } from './playhead.ts';
import { walkFrame } from './walk-frame.ts';

/** How much slower than life it is played. */
const PACES = [1, 4, 20] as const;
const PACE: Readonly<Record<(typeof PACES)[number], string>> = {
  1: 'as it walks',
  4: '4 times slower',
  20: '20 times slower',
};
/** What the leg is stepped by. */
const TICK = 'One tick: a period of the controller';
/** Where motion is not wanted it goes on by a tenth of the stride, ms apart. */
const PAUSE = 700;

const still = (): boolean => matchMedia('(prefers-reduced-motion: reduce)').matches;

interface PictureProps {
  readonly title: string;
  readonly fileName: string;
  readonly record: WalkRecord;
  readonly segments: LegSegments;
  readonly range: StrideRange;
  /** Periods of the controller from contact to contact. */
  readonly ticks: number;
  readonly playhead: Playhead;
  /** What it walks on, in words. */
  readonly ground: string;
  readonly wrong: WrongMark | undefined;
  readonly beside: Beside | undefined;
  /** What of the walk a tick lies in. */
  readonly partAt: (tick: number) => string;
}

/** The leg walking one stride on its ground, played, dragged, or stepped tick by tick. */
export function WalkPicture(props: PictureProps) {
  const { title, fileName, record, segments, range, ticks, playhead, ground, wrong, beside, partAt } = props;
  const host = useRef<HTMLDivElement>(null);
  const back = useRef<SVGSVGElement>(null);
  const front = useRef<SVGSVGElement>(null);
  const slider = useRef<HTMLDivElement>(null);
  // px that the ground has gone by under the leg
  const gone = useRef(0);
  const { width, laidOut } = useWidth(host);
  const [pace, setPace] = useState<(typeof PACES)[number]>(4);
  const [playing, setPlaying] = useState(false);
  const frame = useMemo(
    () => walkFrame(width, record, segments, range, ticks),
    [width, record, segments, range, ticks],
  );

  useEffect(() => {
    if (!laidOut) return;
    back.current?.replaceChildren(...drawWalkGround(frame, ground, wrong).map(toElement));
    goBy(back.current, gone.current);
  }, [laidOut, frame, ground, wrong]);
  useEffect(() => {
    const [svg, handle] = [front.current, slider.current];
    if (!laidOut || svg === null || handle === null) return;
    const drawing = drawWalkingLeg(svg, frame, record, segments, range, ticks, beside);
    return playhead.follow((tick) => {
      gone.current = drawing.move(tick);
      goBy(back.current, gone.current);
      handle.style.setProperty('--at', `${frame.x0 + (frame.axis * tick) / ticks}px`);
      handle.setAttribute('aria-valuenow', String(tick));
      handle.setAttribute('aria-valuetext', spoken(record, range, tick, partAt(tick)));
    });
  }, [laidOut, frame, record, segments, range, ticks, playhead, beside, partAt]);
  usePlay(playing, pace, ticks, record.log.period, playhead);

  const tickOf = (event: PointerEvent): number => {
    const box = (back.current as SVGSVGElement).getBoundingClientRect();
    return ((event.clientX - box.left - frame.x0) / frame.axis) * ticks;
  };
  const onPointerDown = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    slider.current?.focus({ preventScroll: true });
    setPlaying(false);
    playhead.moveTo(tickOf(event));
  };
  const onPointerMove = (event: PointerEvent<HTMLDivElement>) => {
    if (event.currentTarget.hasPointerCapture(event.pointerId)) playhead.moveTo(tickOf(event));
  };
  const step = (by: number) => {
    setPlaying(false);
    playhead.moveTo(playhead.tick() + by);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const by = event.shiftKey ? 10 : 1;
    const now = playhead.tick();
    const to = {
      ...{ ArrowLeft: now - by, ArrowDown: now - by, ArrowRight: now + by, ArrowUp: now + by },
      ...{ PageDown: now - ticks / 10, PageUp: now + ticks / 10, Home: 0, End: ticks },
    }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    setPlaying(false);
    playhead.moveTo(to);
  };
  const { period } = record.log;
  const whole = record.log.stretch === true;
  const words = `${title}: hip, knee and ankle over ${whole ? 'all of it' : 'one stride'}, a pose each two per cent, the leg bold ${frame.whole > frame.width ? 'at the instant of the hairline, the ground going by under it,' : 'where the hairline is'} and the stride that is walked thin beside it. The numbers stand in the table of this tick.`;
  const save = () => {
    const parts = [...(back.current?.children ?? []), ...(front.current?.children ?? [])].map(fromElement);
    saveFile(
      `${fileName}-${playhead.tick()}.svg`,
      svgFile(frame.width, frame.height, title, words, parts),
      'image/svg+xml',
    );
  };
  return (
    <figure className="walk-picture" aria-label="The leg on its ground">
      <div className="walk-face" ref={host} onPointerDown={onPointerDown} onPointerMove={onPointerMove}>
        <svg ref={back} width={frame.width} height={frame.height} role="img" aria-label={words} />
        <svg ref={front} className="moving" width={frame.width} height={frame.height} aria-hidden="true" />
        <div
          ref={slider}
          className="walk-knob"
          role="slider"
          tabIndex={0}
          aria-label="Tick of the controller"
          aria-orientation="horizontal"
          aria-valuemin={0}
          aria-valuemax={ticks}
          aria-valuenow={0}
          onKeyDown={onKeyDown}
        />
      </div>
      <figcaption className="acts walk-acts">
        <button type="button" className="act play" onClick={() => setPlaying(!playing)}>
          {playing ? 'Pause' : whole ? 'Play all of it' : 'Play this stride'}
        </button>
        <button type="button" className="act" title={TICK} onClick={() => step(-1)}>
          Back {fixed(1e3 * period, 0)} ms
        </button>
        <button type="button" className="act" title={TICK} onClick={() => step(1)}>
          On {fixed(1e3 * period, 0)} ms
        </button>
        <fieldset className="paces">
          <legend className="sr">Played</legend>
          {PACES.map((each) => (
            <label key={each}>
              <input type="radio" name="pace" checked={pace === each} onChange={() => setPace(each)} />
              <span>{PACE[each]}</span>
            </label>
          ))}
        </fieldset>
        <button type="button" className="act" onClick={save}>
          Save the picture as SVG
        </button>
      </figcaption>
    </figure>
  );
}

const goBy = (svg: SVGSVGElement | null, gone: number): void =>
  svg?.firstElementChild?.setAttribute('transform', `translate(${-gone} 0)`);

const spoken = (record: WalkRecord, range: StrideRange, tick: number, part: string): string => {
  const y = (place: number): number =>
    record.log.table[(range.from + tick) * LOG_WIDTH + place] ?? Number.NaN;
  const angle = (place: number): string => fixed(degrees(y(place)), 0);
  const { period, stretch } = record.log;
  const when = stretch
    ? `${fixed(tick * period, 2)} seconds from the beginning`
    : `${fixed(1e3 * tick * period, 0)} milliseconds after contact`;
  return `${[when, ...(part === '' ? [] : [part])].join(', ')}. Knee ${angle(LOG.knee)} degrees, ankle ${angle(LOG.ankle)} degrees, ground force ${fixed(y(LOG.up), 0)} newtons up`;
};

/** Moves on round and round while it plays. */
function usePlay(playing: boolean, pace: number, ticks: number, period: number, playhead: Playhead): void {
  useEffect(() => {
    if (!playing) return;
    const round = (tick: number) => (tick > playhead.last ? 0 : tick);
    if (still()) {
      const timer = setInterval(() => playhead.moveTo(round(playhead.tick() + ticks / 10)), PAUSE);
      return () => clearInterval(timer);
    }
    let [request, last, place] = [0, Number.NaN, playhead.tick()];
    const go = (time: number) => {
      if (!Number.isNaN(last)) place = round(place + (time - last) / 1000 / pace / period);
      last = time;
      playhead.moveTo(place);
      request = requestAnimationFrame(go);
    };
    request = requestAnimationFrame(go);
    return () => cancelAnimationFrame(request);
  }, [playing, pace, ticks, period, playhead]);
}
