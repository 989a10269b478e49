import type { DrivenJoint, StrideDemand } from '@striderule/engine';
import { type KeyboardEvent, type PointerEvent, useEffect, useMemo, useRef, useState } from 'react';
import { LARGEST_RATIO, LEAST_RATIO, type LiveRatio, type Moving, onSlide } from '../design/live-ratio.ts';
import { fromElement, toElement } from '../draw/mark.ts';
import { svgFile } from '../draw/svg-file.ts';
import { type Hairline, sampleAt } from '../hairline.ts';
import { useWidth } from '../rule/use-width.ts';
import { csvText } from '../show/csv.ts';
import { fixed, significant } from '../show/number.ts';
import { saveFile } from '../show/save-file.ts';
import { degrees } from '../show/unit.ts';
import { drawSlide, drawSlideGround } from './draw-slide.ts';
import { logAt } from './log-scale.ts';
import { ratioKey } from './ratio-key.ts';
import { slideFrame } from './slide-frame.ts';
import { lowEnds, type Pair, slidePairs, slideRows } from './slide-model.ts';
import { SlideTable } from './slide-table.tsx';
import { TypedRatio } from './typed-ratio.tsx';

interface SlideProps {
  readonly joint: DrivenJoint;
  readonly live: LiveRatio;
  /** The design of the leg file. */
  readonly saved: Moving;
  /** The task and the instant that are read: marked on the scales. */
  readonly demand: StrideDemand;
  readonly hairline: Hairline;
  /** A gesture has ended: this ratio is a step that can be undone. */
  readonly onSet: (ratio: number) => void;
}

/** ms after the last key until a burst of keys counts as one step. */
const BURST = 700;

const said = (pairs: readonly Pair[]): string =>
  pairs
    .flatMap(({ first, second, fixed: { name }, of }) => [
      ...(first === undefined ? [] : [`${name}, ${of}: limit ÷ need ${significant(first.factor)}`]),
      ...(second === undefined ? [] : [`${second.of}: limit ÷ need ${significant(second.factor)}`]),
    ])
    .join('. ');

/** The ratio as a slide: its scales move against what the strides ask, and everything on the page with them. */
export function Slide({ joint, live, saved, demand, hairline, onSet }: SlideProps) {
  const host = useRef<HTMLDivElement>(null);
  const ground = useRef<SVGSVGElement>(null);
  const moving = useRef<SVGSVGElement>(null);
  const slider = useRef<HTMLDivElement>(null);
  const drag = useRef<{ x: number; from: number; power: number } | undefined>(undefined);
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const { width, laidOut } = useWidth(host);
  const frame = useMemo(() => slideFrame(width, lowEnds(saved, joint)), [width, saved, joint]);

  useEffect(() => {
    const svg = moving.current;
    if (!laidOut || svg === null) return;
    const savedPairs = slidePairs(saved, joint);
    ground.current?.replaceChildren(...drawSlideGround(frame, savedPairs).map(toElement));
    const drawing = drawSlide(svg, frame, savedPairs);
    const readAt = (percent: number) => {
      const { design, ratio } = live.at();
      const load = design.loads[demand.task.id]?.[joint];
      const i = sampleAt(percent);
      // as the fixed scales read it: at the joint, losses and rotor included
      const torque = ratio * Math.abs(load?.motorTorque[i] ?? Number.NaN);
      drawing.read([torque, degrees(Math.abs(demand.joints[joint]?.velocity[i] ?? Number.NaN))]);
    };
    const stop = hairline.follow(readAt);
    const leave = live.follow((now) => {
      const pairs = slidePairs(now, joint);
      drawing.move(now.ratio, pairs, { ratio: saved.ratio, pairs: savedPairs });
      slider.current?.setAttribute('aria-valuenow', String(now.ratio));
      slider.current?.setAttribute('aria-valuetext', `${fixed(now.ratio, 1)} to 1. ${said(pairs)}`);
      slider.current?.style.setProperty('--at', `${frame.x0 + logAt(frame.ratio, now.ratio)}px`);
      readAt(hairline.at());
    });
    return () => {
      stop();
      leave();
    };
  }, [laidOut, frame, live, saved, joint, demand, hairline]);

  // a burst of keys that the page leaves behind is a step all the same
  const set = useRef(onSet);
  set.current = onSet;
  useEffect(
    () => () => {
      if (timer.current === undefined) return;
      clearTimeout(timer.current);
      timer.current = undefined;
      set.current(live.wanted());
    },
    [live],
  );

  const onPointerDown = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0) return;
    const y = event.clientY - event.currentTarget.getBoundingClientRect().top;
    // the second pair slides the other way, the third twice as far; elsewhere the ratio itself is held
    const grasped = frame.pairs.findIndex(({ above, below }) => y >= above - 12 && y < below + 4);
    const power = [1, -1, 2][grasped] ?? 1;
    drag.current = { x: event.clientX, from: live.wanted(), power };
    event.currentTarget.setPointerCapture(event.pointerId);
    slider.current?.focus({ preventScroll: true });
  };
  const onPointerMove = (event: PointerEvent<HTMLDivElement>) => {
    const held = drag.current;
    if (held === undefined || !event.currentTarget.hasPointerCapture(event.pointerId)) return;
    const decades = (event.clientX - held.x) / (frame.ratio.decade * held.power);
    live.moveTo(onSlide(held.from * 10 ** decades));
  };
  const onPointerUp = () => {
    if (drag.current === undefined) return;
    drag.current = undefined;
    onSet(live.wanted());
  };
  const endBurst = () => {
    if (timer.current === undefined) return;
    clearTimeout(timer.current);
    timer.current = undefined;
    onSet(live.wanted());
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.altKey || event.ctrlKey || event.metaKey) {
      endBurst();
      return;
    }
    const target = ratioKey(event.key, event.shiftKey, live.wanted());
    if (target === undefined) return;
    event.preventDefault();
    live.moveTo(onSlide(target));
    clearTimeout(timer.current);
    timer.current = setTimeout(endBurst, BURST);
  };

  const title = () => `${joint} ratio ${fixed(live.at().ratio, 1)} : 1`;
  const saveSvg = () => {
    const parts = [...(ground.current?.children ?? []), ...(moving.current?.children ?? [])].map(fromElement);
    saveFile(
      `${joint}-ratio.svg`,
      svgFile(frame.width, frame.height, title(), said(slidePairs(live.at(), joint)), parts),
      'image/svg+xml',
    );
  };
  const saveCsv = () => saveFile(`${joint}-ratio.csv`, csvText(slideRows(live.at(), joint)), 'text/csv');
  const [open, setOpen] = useState(false);

  return (
    <figure className="slide" aria-label={`Ratio slide of the ${joint}`}>
      <TypedRatio key={joint} joint={joint} live={live} saved={saved.ratio} onSet={onSet} />
      <div
        className="slide-face"
        ref={host}
        onPointerDown={onPointerDown}
        onPointerMove={onPointerMove}
        onPointerUp={onPointerUp}
        onPointerCancel={onPointerUp}
      >
        <svg ref={ground} width={frame.width} height={frame.height} aria-hidden="true" />
        <svg ref={moving} className="moving" width={frame.width} height={frame.height} aria-hidden="true" />
        <div
          ref={slider}
          className="knob-at"
          role="slider"
          tabIndex={0}
          aria-label={`Ratio of the ${joint}`}
          aria-orientation="horizontal"
          aria-valuemin={LEAST_RATIO}
          aria-valuemax={LARGEST_RATIO}
          aria-valuenow={saved.ratio}
          onKeyDown={onKeyDown}
        />
      </div>
      <figcaption className="acts">
        <button type="button" className="act" onClick={saveSvg}>
          Save the slide as SVG
        </button>
        <button type="button" className="act" onClick={saveCsv}>
          Save its marks as CSV
        </button>
        <button type="button" className="act" aria-expanded={open} onClick={() => setOpen(!open)}>
          {open ? 'Hide the table of its marks' : 'Show its marks as a table'}
        </button>
      </figcaption>
      {open ? <SlideTable joint={joint} live={live} saved={saved} /> : null}
    </figure>
  );
}
