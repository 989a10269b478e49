import type { DrivenJoint } from '@striderule/engine';
import { useEffect, useId, useRef, useState } from 'react';
import { LARGEST_RATIO, LEAST_RATIO, type LiveRatio } from '../design/live-ratio.ts';
import { written } from '../show/number.ts';

interface TypedRatioProps {
  readonly joint: DrivenJoint;
  readonly live: LiveRatio;
  readonly saved: number;
  readonly onSet: (ratio: number) => void;
}

/** The ratio as a number that can be typed; it follows the slide, and leads it on Enter or on leaving. */
export function TypedRatio({ joint, live, saved, onSet }: TypedRatioProps) {
  const field = useRef<HTMLInputElement>(null);
  const typing = useRef(false);
  const [fault, setFault] = useState('');
  const name = useId();
  useEffect(
    () =>
      live.follow(({ ratio }) => {
        const input = field.current;
        if (input !== null && !typing.current) input.value = written(ratio);
      }),
    [live],
  );
  const take = () => {
    const input = field.current;
    if (input === null || !typing.current) return;
    const ratio = Number(
      input.value
        .trim()
        .replace(',', '.')
        .replace(/\s*:\s*1$/, ''),
    );
    if (!(ratio >= LEAST_RATIO && ratio <= LARGEST_RATIO)) {
      setFault(
        `“${input.value.trim()}” is not taken: type a number from ${LEAST_RATIO} to ${LARGEST_RATIO}.`,
      );
      return;
    }
    typing.current = false;
    setFault('');
    live.moveTo(ratio);
    onSet(ratio);
  };
  const said =
    fault === ''
      ? `in the leg file: ${written(saved)} : 1. Drag any scale, use the arrow keys, or type.`
      : fault;
  return (
    <p className="typed">
      <label htmlFor={name}>Ratio of the {joint}</label>
      <span className="typed-value">
        <input
          id={name}
          ref={field}
          type="text"
          inputMode="decimal"
          autoComplete="off"
          size={5}
          aria-describedby={`${name}-said`}
          aria-invalid={fault !== ''}
          onChange={() => {
            typing.current = true;
          }}
          onBlur={take}
          onKeyDown={(event) => {
            if (event.key === 'Enter') take();
            if (event.key !== 'Escape') return;
            typing.current = false;
            setFault('');
            event.currentTarget.value = written(live.wanted());
          }}
        />{' '}
        : 1
      </span>
      <span className="quiet" id={`${name}-said`} role="status">
        {said}
      </span>
    </p>
  );
}
