import { type PointerEvent, useEffect, useMemo, useRef } from 'react';
import { type LiveRatio, onSlide } from '../design/live-ratio.ts';
import { logAt } from './log-scale.ts';
import { slideFrame } from './slide-frame.ts';

interface RatioHandleProps {
  /** Of the drawing that it lies over. */
  readonly width: number;
  readonly live: LiveRatio;
  /** A gesture has ended: this ratio is a step that can be undone. */
  readonly onSet: (ratio: number) => void;
}

/** The line of the ratio under the hand, as something that can be held and drawn along. Keys and typing stay with the slide. */
export function RatioHandle({ width, live, onSet }: RatioHandleProps) {
  const handle = useRef<HTMLDivElement>(null);
  const held = useRef<{ x: number; from: number } | undefined>(undefined);
  const { x0, ratio } = useMemo(() => slideFrame(width, []), [width]);
  useEffect(
    () =>
      live.follow((now) =>
        handle.current?.style.setProperty('--at', `${Math.round(x0 + logAt(ratio, now.ratio))}px`),
      ),
    [live, x0, ratio],
  );
  const onPointerDown = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0) return;
    held.current = { x: event.clientX, from: live.wanted() };
    event.currentTarget.setPointerCapture(event.pointerId);
    event.preventDefault();
  };
  const onPointerMove = ({ clientX }: PointerEvent<HTMLDivElement>) => {
    if (held.current === undefined) return;
    live.moveTo(onSlide(held.current.from * 10 ** ((clientX - held.current.x) / ratio.decade)));
  };
  const onPointerUp = () => {
    if (held.current === undefined) return;
    held.current = undefined;
    onSet(live.wanted());
  };
  return (
    <div
      ref={handle}
      className="ratio-handle"
      aria-hidden="true"
      onPointerDown={onPointerDown}
      onPointerMove={onPointerMove}
      onPointerUp={onPointerUp}
      onPointerCancel={onPointerUp}
    />
  );
}
