import type { StudyInput } from '@striderule/engine';
import type { ReactNode } from 'react';
import { Keys } from '../frame/keys.tsx';
import { fixed } from '../show/number.ts';
import { useTheme } from '../theme.ts';

interface HeadProps {
  readonly input?: StudyInput;
  /** What can be done with the design. */
  readonly children?: ReactNode;
}

/** Mark, study, leg, wearer, the demo mark, the keys and the theme. */
export function Head({ input, children }: HeadProps) {
  const [theme, turn] = useTheme();
  return (
    <header className="head">
      <span className="mark">Striderule</span>
      {input !== undefined && (
        <span className="what">
          <span>
            Study <b>{input.name}</b>
          </span>{' '}
          <span>
            Leg{' '}
            <b>
              {input.leg.name} {input.leg.version}
            </b>
          </span>{' '}
          <span>
            Wearer{' '}
            <b>
              {input.wearer.code}, {fixed(input.wearer.mass, 0)} kg, {fixed(input.wearer.height, 2)} m
            </b>
          </span>
        </span>
      )}
      {input?.demo === true && <span className="demo">demo data</span>}
      {children}
      <Keys />
      <button
        type="button"
        className="act turn"
        onClick={turn}
        aria-label={`Change to ${theme === 'day' ? 'night' : 'day'}`}
      >
        {theme === 'day' ? 'Night' : 'Day'}
      </button>
    </header>
  );
}
