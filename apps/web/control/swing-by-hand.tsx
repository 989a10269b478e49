import { HAND_METHODS, type HandMethod, handSwing, type StudyInput } from '@striderule/engine';
import { useMemo } from 'react';
import { Section } from '../sections/section.tsx';
import { HandFigure } from './hand-figure.tsx';
import { METHOD } from './hand-words.ts';

interface SwingByHandProps {
  readonly input: StudyInput;
  readonly task: string;
  readonly title: string;
  readonly method: HandMethod;
  readonly onMethod: (method: HandMethod) => void;
}

/** The drawn leg in the reader's own hand: the study's swing controller, ticked in the browser. */
export function SwingByHand({ input, task, title, method, onMethod }: SwingByHandProps) {
  const of = useMemo(() => handSwing(input, task, method), [input, task, method]);
  return (
    <Section title="Swing it yourself">
      <p className="note">
        Take the knee and swing the thigh, fast, slow, stop, back. Knee and ankle are what the controller
        commands from the thigh alone; the thin leg is the recorded stride at the same thigh.
      </p>
      <fieldset className="pick">
        <legend>Phase by</legend>
        <div className="words">
          {HAND_METHODS.map((name) => (
            <label key={name}>
              <input type="radio" name="phase" checked={name === method} onChange={() => onMethod(name)} />
              <span>{METHOD[name]}</span>
            </label>
          ))}
        </div>
      </fieldset>
      {'openBecause' in of ? (
        <p className="empty">
          {title} cannot be swung: {of.openBecause}.
        </p>
      ) : (
        <HandFigure of={of} input={input} title={title} />
      )}
    </Section>
  );
}
