import type { Scenario, StrideDemand } from '@striderule/engine';
import { useId } from 'react';
import { fixed, significant, written } from '../show/number.ts';
import { legText } from '../show/ratio-text.ts';
import { Pick } from './pick.tsx';
import type { Legs } from './use-legs.ts';
import {
  CONTROLS,
  GROUNDS,
  plainWalk,
  THIGHS,
  WALK_SPEEDS,
  WALK_STEPS,
  type WalkPlace,
} from './walk-place.ts';

/** In the place of a scenario: a fault or a power cut. */
const BROKEN = 'broken';

interface WalkChoicesProps {
  readonly legs: Legs;
  /** Tasks of the study that have a speed. */
  readonly tasks: readonly StrideDemand[];
  readonly scenarios: readonly Scenario[];
  /** Whether the leg has drives, and so a controller. */
  readonly driven: boolean;
  /** What is walked: of a scenario, what the scenario says. */
  readonly walk: WalkPlace;
  readonly onWalk: (walk: WalkPlace) => void;
}

/**
 * Another stride is not kept when something else is walked: it is another walk's. A scenario has its own speed, thigh, controller and ground:
 * who picks one of these leaves it. So does a fault its controller.
 */
export function WalkChoices({ legs, tasks, scenarios, driven, walk, onWalk }: WalkChoicesProps) {
  const { stride: _, ...kept } = walk;
  const { scenario: __, ...own } = kept;
  const speeds = [
    ...WALK_SPEEDS.map((speed) => ({ speed, text: `${fixed(speed, 1)} m/s` })),
    ...tasks
      .map(({ task, speed }) => ({
        speed: Number(speed.toFixed(3)),
        text: task.title.includes('m/s') ? task.title : `${task.title}, ${fixed(speed, 2)} m/s`,
      }))
      .filter(({ speed }) => !WALK_SPEEDS.some((own) => own === speed)),
  ];
  const known = speeds.some(({ speed }) => speed === walk.speed);
  const broken = walk.fault !== undefined || walk.cut !== undefined;
  const scenarioId = useId();
  return (
    <div className="choices">
      <Pick
        legend="Leg"
        name="leg"
        chosen={walk.leg ?? ''}
        onPick={(file) => {
          const { leg: ___, ...rest } = kept;
          onWalk({ ...rest, ...(file !== undefined && { leg: file }) });
        }}
        options={legs.legs.map(({ file, input }) => ({
          key: file ?? '',
          value: file,
          text: legText(input.leg),
        }))}
      />
      {legs.state === 'reading' && <p className="legs-coming">Reading the other legs …</p>}
      {legs.state === 'lost' && (
        <p role="alert">
          The other legs could not be read: the server does not answer.{' '}
          <button type="button" className="act" onClick={legs.again}>
            Ask again
          </button>
        </p>
      )}
      {legs.faulty.length > 0 && (
        <p className="others">
          Cannot be read: {legs.faulty.join(', ')}; <code>study check</code> says why.
        </p>
      )}
      <Pick
        legend="Speed"
        name="speed"
        chosen={String(walk.speed)}
        onPick={(speed) => onWalk({ ...own, speed })}
        options={[
          ...speeds,
          ...(known ? [] : [{ speed: walk.speed, text: `${written(walk.speed)} m/s` }]),
        ].map(({ speed, text }) => ({ key: String(speed), value: speed, text }))}
      />
      <Pick
        legend="Thigh"
        name="thigh"
        chosen={walk.thigh}
        onPick={(thigh) => onWalk({ ...own, thigh })}
        options={THIGHS.map((thigh) => ({
          key: thigh,
          value: thigh,
          text: thigh === 'prescribed' ? 'prescribed' : 'led by a spring of the hip',
        }))}
      />
      {driven ? (
        <Pick
          legend="Controller"
          name="control"
          chosen={walk.control}
          onPick={(control) => onWalk({ ...(walk.fault === undefined ? own : plainWalk(walk)), control })}
          options={CONTROLS.map((control) => ({
            key: control,
            value: control,
            text: control === 'clock' ? 'springs fitted to this stride' : 'the study’s own',
          }))}
        />
      ) : null}
      <Pick
        legend="Ground"
        name="ground"
        chosen={walk.ground}
        onPick={(ground) => onWalk({ ...own, ground })}
        options={GROUNDS.map((ground) => ({ key: ground, value: ground, text: ground }))}
      />
      <p className="pick">
        <label className="quiet" htmlFor={scenarioId}>
          Scenario
        </label>
        <select
          id={scenarioId}
          value={broken ? BROKEN : (walk.scenario ?? '')}
          onChange={({ target: { value } }) =>
            onWalk({ ...plainWalk(walk), ...(value !== '' && { scenario: value }) })
          }
        >
          {broken ? <option value={BROKEN}>what was picked from a picture below</option> : null}
          <option value="">none: on and on, on the level</option>
          {scenarios.map(({ id, title }) => (
            <option key={id} value={id}>
              {title}
            </option>
          ))}
        </select>
      </p>
      <Pick
        legend="Step"
        name="step"
        chosen={String(walk.step)}
        onPick={(step) => onWalk({ ...kept, step })}
        options={WALK_STEPS.map((step) => ({
          key: String(step),
          value: step,
          text: `${significant(1e3 * step, step === 2.5e-4 ? 2 : 1)} ms`,
        }))}
      />
    </div>
  );
}
