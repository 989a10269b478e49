import { type DrivenJoint, isWalked, type Requirement, type StudyInput } from '@striderule/engine';
import type { MetricWords } from '@striderule/wire';
import { type KeyboardEvent, useEffect, useId, useState } from 'react';
import { askedOf, typedUnit } from '../design/asked.ts';
import type { Asked } from '../design/history.ts';
import { DRIVEN } from '../design/use-draft.ts';
import { written } from '../show/number.ts';
import { readBound } from './read-bound.ts';

interface EditRequirementProps {
  readonly input: StudyInput;
  /** As it stands on the page. */
  readonly requirement: Requirement;
  /** What the catalogue says of its metric. */
  readonly words: MetricWords;
  readonly onAsk: (asked: Asked) => void;
}

/** A text that is taken on Enter or when it is left; Escape takes back what was typed. */
function useTyped(now: string, take: (text: string) => string | undefined) {
  const [text, setText] = useState(now);
  const [wrong, setWrong] = useState('');
  useEffect(() => {
    setText(now);
    setWrong('');
  }, [now]);
  const set = () => {
    if (text !== now) setWrong(take(text) ?? '');
  };
  return {
    wrong,
    field: {
      value: text,
      'aria-invalid': wrong !== '',
      onChange: (event: { target: { value: string } }) => {
        setText(event.target.value);
        setWrong('');
      },
      onBlur: set,
      onKeyDown: (event: KeyboardEvent) => {
        if (event.key === 'Enter') {
          event.preventDefault();
          set();
        } else if (event.key === 'Escape') {
          setText(now);
          setWrong('');
        }
      },
    },
  };
}

/** What the requirement asks, to be changed: the bound, where it applies, and why. Each change is a step that can be undone. */
export function EditRequirement({ input, requirement, words, onAsk }: EditRequirementProps) {
  const { id, metric, joint, task, bound, speed, thigh, control } = requirement;
  const asked = askedOf(requirement, words.unit);
  const unit = typedUnit(words.unit);
  const names = { bound: useId(), wrong: useId(), joint: useId(), task: useId(), because: useId() };
  const typedBound = useTyped(asked.text, (text) => {
    const read = readBound(text, words);
    if ('wrong' in read) return `“${text}” is not taken: ${read.wrong}.`;
    onAsk({ ...asked, ...read });
    return undefined;
  });
  const typedReason = useTyped(asked.because, (text) => {
    if (text.trim() === '')
      return 'A requirement without a reason is not taken: say where the bound comes from.';
    onAsk({ ...asked, because: text.trim() });
    return undefined;
  });
  const joints = DRIVEN.filter((each) => input.leg.joints[each] !== undefined);
  const ofJoint = joint !== undefined && words.only === undefined;
  const wrong = [typedBound.wrong, typedReason.wrong].filter((text) => text !== '').join(' ');
  return (
    <fieldset className="edit" aria-describedby={names.wrong}>
      <legend>Asked</legend>
      <p>
        <label htmlFor={names.bound}>{bound.kind}</label>{' '}
        <input
          id={names.bound}
          type="text"
          spellCheck={false}
          autoComplete="off"
          aria-label={`${id}, ${bound.kind}${unit === '' ? '' : `, in ${unit} unless another unit is typed`}`}
          {...typedBound.field}
        />
      </p>
      {ofJoint ? (
        <p>
          <label htmlFor={names.joint}>of the</label>{' '}
          <select
            id={names.joint}
            value={joint}
            onChange={({ target }) => onAsk({ ...asked, joint: target.value as DrivenJoint })}
          >
            {joints.map((each) => (
              <option key={each}>{each}</option>
            ))}
          </select>
        </p>
      ) : null}
      {isWalked(metric) ? (
        <p className="quiet">
          at {speed === undefined ? 'every speed that is walked (the worst counts)' : `${written(speed)} m/s`}
          , thigh {thigh ?? 'prescribed and led'},{' '}
          {control === 'study' ? 'with the study’s controller' : 'paced by a clock'}: another walk is asked
          for in <code>requirements.yaml</code>.
        </p>
      ) : (
        <p>
          <label htmlFor={names.task}>in</label>{' '}
          <select
            id={names.task}
            value={task ?? ''}
            onChange={({ target }) => {
              const { task: _, ...rest } = asked;
              onAsk({ ...rest, ...(target.value !== '' && { task: target.value }) });
            }}
          >
            <option value="">every task: the worst counts</option>
            {input.tasks.map((each) => (
              <option key={each.id} value={each.id}>
                {each.title}
              </option>
            ))}
          </select>
        </p>
      )}
      <p className="because">
        <label htmlFor={names.because}>because</label>{' '}
        <input id={names.because} type="text" autoComplete="off" {...typedReason.field} />
      </p>
      <p id={names.wrong} role="status" className="strong said">
        {wrong}
      </p>
    </fieldset>
  );
}
