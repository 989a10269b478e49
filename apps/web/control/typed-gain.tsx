import type { Gains } from '@striderule/engine';
import { useId, useState } from 'react';
import { DAMPING_REACH, onGainScales, STIFFNESS_REACH } from '../design/gain-reach.ts';
import { written } from '../show/number.ts';

interface TypedGainProps {
  readonly what: keyof Gains;
  readonly gains: Gains;
  readonly onSet: (gains: Gains) => void;
}

const OF = {
  stiffness: { name: 'Stiffness', unit: 'N·m/rad', reach: STIFFNESS_REACH },
  damping: { name: 'Damping', unit: 'N·m·s/rad', reach: DAMPING_REACH },
} as const;

/** One of the gains as a number that can be typed: it follows the map, and leads it on Enter or on leaving. */
export function TypedGain({ what, gains, onSet }: TypedGainProps) {
  const [typed, setTyped] = useState<string>();
  const [fault, setFault] = useState('');
  const id = useId();
  const { name, unit, reach } = OF[what];
  const take = () => {
    if (typed === undefined) return;
    const value = Number(typed.trim().replace(',', '.'));
    if (typed.trim() === '' || !(value >= reach.low && value <= reach.high)) {
      setFault(
        `“${typed.trim()}” is not taken: type a number from ${written(reach.low)} to ${written(reach.high)}.`,
      );
      return;
    }
    setTyped(undefined);
    setFault('');
    onSet(onGainScales({ ...gains, [what]: value }));
  };
  return (
    <p className="typed typed-gain">
      <label htmlFor={id}>{name}</label>
      <span className="typed-value">
        <input
          id={id}
          type="text"
          inputMode="decimal"
          autoComplete="off"
          size={5}
          value={typed ?? written(gains[what])}
          aria-describedby={`${id}-said`}
          aria-invalid={fault !== ''}
          onChange={(event) => setTyped(event.currentTarget.value)}
          onBlur={take}
          onKeyDown={(event) => {
            if (event.key === 'Enter') take();
            if (event.key !== 'Escape') return;
            setTyped(undefined);
            setFault('');
          }}
        />
      </span>
      <span className="quiet">{unit}</span>
      <span className="quiet" id={`${id}-said`} role="status">
        {fault}
      </span>
    </p>
  );
}
