import type { StrideDemand } from '@striderule/engine';
import { useLayoutEffect, useRef } from 'react';
import { JOINT_CHOICES, type JointChoice } from '../place.ts';
import { MOST_LAID } from '../rule/rule-model.ts';

interface ChoicesProps {
  readonly demands: readonly StrideDemand[];
  readonly others: readonly string[];
  readonly chosen: string;
  readonly joint: JointChoice;
  readonly laid: readonly string[];
  readonly onTask: (id: string) => void;
  readonly onJoint: (joint: JointChoice) => void;
  readonly onLaid: (laid: readonly string[]) => void;
  readonly onPlanes: () => void;
}

/** Task, joint, and what lies thin under the task: written as words. */
export function Choices({
  demands,
  others,
  chosen,
  joint,
  laid,
  onTask,
  onJoint,
  onLaid,
  onPlanes,
}: ChoicesProps) {
  return (
    <div className="choices">
      <fieldset className="pick">
        <legend>Joint</legend>
        <div className="words">
          {JOINT_CHOICES.map((choice) => (
            <label key={choice}>
              <input type="radio" name="joint" checked={joint === choice} onChange={() => onJoint(choice)} />
              <span>{choice}</span>
            </label>
          ))}
        </div>
      </fieldset>
      <TaskChoice demands={demands} chosen={chosen} onTask={onTask} />
      <details className="under" open={laid.length > 0}>
        <summary>Lay other tasks under it, thin</summary>
        <fieldset className="pick">
          <legend>Under it</legend>
          <div className="words">
            {demands
              .filter(({ task }) => task.id !== chosen)
              .map(({ task }) => {
                const place = laid.indexOf(task.id);
                return (
                  <label key={task.id}>
                    <input
                      type="checkbox"
                      checked={place >= 0}
                      disabled={place < 0 && laid.length >= MOST_LAID}
                      onChange={() =>
                        onLaid(place >= 0 ? laid.filter((id) => id !== task.id) : [...laid, task.id])
                      }
                    />
                    <span>
                      {place >= 0 && <b className="letter">{'abcd'.charAt(place)} </b>}
                      {task.title}
                    </span>
                  </label>
                );
              })}
          </div>
        </fieldset>
      </details>
      {others.length > 0 && (
        <p className="others">
          Not on the rule, because no curve is published: {others.join('; ')}. What is known of them stands on{' '}
          <button type="button" className="act" onClick={onPlanes}>
            the torque–speed plane
          </button>{' '}
          and under the numbers.
        </p>
      )}
    </div>
  );
}

interface TaskChoiceProps {
  readonly demands: readonly StrideDemand[];
  readonly chosen: string;
  readonly onTask: (id: string) => void;
}

/** The task on the rule. */
export function TaskChoice({ demands, chosen, onTask }: TaskChoiceProps) {
  const row = useRef<HTMLDivElement>(null);
  // on a phone the tasks are one line that is drawn sideways: to where the chosen one is seen
  // biome-ignore lint/correctness/useExhaustiveDependencies: the chosen one is read off the row
  useLayoutEffect(() => {
    const words = row.current;
    const word = words?.querySelector('input:checked')?.parentElement;
    if (words === null || word == null) return;
    words.scrollLeft = word.offsetLeft - words.offsetLeft - (words.clientWidth - word.offsetWidth) / 2;
  }, [chosen]);
  return (
    <fieldset className="pick tasks">
      <legend>Task</legend>
      <div className="words" ref={row}>
        {demands.map(({ task }) => (
          <label key={task.id}>
            <input type="radio" name="task" checked={task.id === chosen} onChange={() => onTask(task.id)} />
            <span>{task.title}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
