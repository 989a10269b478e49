import {
  type DesignResult,
  type DrivenJoint,
  type Gains as GainsOf,
  type LedgerRow,
  type StrideDemand,
  stanceOverPhase,
  stanceSchedule,
} from '@striderule/engine';
import { useCallback, useEffect, useMemo } from 'react';
import { Burden } from '../control/burden.tsx';
import { Gains } from '../control/gains.tsx';
import { Schedules } from '../control/schedules.tsx';
import { SwingByHand } from '../control/swing-by-hand.tsx';
import '../control/control.css';
import { sameGains } from '../design/history.ts';
import { DRIVEN, type Drafting } from '../design/use-draft.ts';
import type { Known } from '../design/use-ledger.ts';
import { Asked } from '../ledger/asked.tsx';
import { strideDemands, taskRead } from '../rule/rule-model.ts';
import { TaskChoice } from '../sections/choices.tsx';
import { NoCurve } from '../sections/no-curve.tsx';
import type { Reading } from '../use-place.ts';

export interface ControlProps {
  readonly drafting: Drafting;
  readonly result: DesignResult;
  readonly ledger: readonly LedgerRow[];
  readonly known: Known;
  readonly reading: Reading;
}

/** What software makes of the leg: swing led by the thigh, stance as springs, and what of them this drive renders. */
export default function Control(props: ControlProps) {
  const { drafting, result, ledger, known, reading } = props;
  const { input } = drafting.draft;
  const strides = useMemo(() => strideDemands(result), [result]);
  const { leg } = input;
  const driven = DRIVEN.filter((name) => leg.joints[name] !== undefined);
  const joint = driven.find((name) => name === reading.joint) ?? driven.at(-1);
  const demand = strides.length === 0 ? undefined : taskRead(strides, reading.task);
  return (
    <main className="control">
      <h1 className="ask">Does {leg.name} follow its wearer in swing, and bear them as a joint in stance?</h1>
      {demand === undefined ? (
        <NoCurve />
      ) : (
        <>
          <TaskChoice demands={strides} chosen={demand.task.id} onTask={reading.toTask} />
          <SwingByHand
            input={input}
            task={demand.task.id}
            title={demand.task.title}
            method={reading.method}
            onMethod={reading.toMethod}
          />
          <p className="caution">
            These are commands, not a leg. A leg that swings wrongly trips its wearer: unloaded on a bench
            with an emergency stop first, then in an overhead harness; the ethics board, local codes and a
            licensed prosthetist decide what is tried with a person.
          </p>
        </>
      )}
      {joint === undefined ? (
        <p className="empty">
          {leg.name} drives no joint: add <code>joints.knee</code> or <code>joints.ankle</code> to the leg
          file, and its stance stands here.
        </p>
      ) : (
        demand !== undefined && (
          <Stance {...props} joint={joint} driven={driven} demand={demand} key={joint} />
        )
      )}
      <Asked
        stage="control"
        head="Of the design as it stands, at the stated gains"
        empty={
          <>
            Nothing yet. Write a line into <code>requirements.yaml</code>, such as <code>swingHold</code> with{' '}
            <code>atMost: 0.001</code>.
          </>
        }
        {...{ ledger, known }}
        toRow={reading.toRow}
      />
    </main>
  );
}

interface StanceProps extends ControlProps {
  readonly joint: DrivenJoint;
  readonly driven: readonly DrivenJoint[];
  readonly demand: StrideDemand;
}

/** One joint: schedules, gains over their map, what is rendered, and the burden of tuning. */
function Stance({ drafting, result, reading, joint, driven, demand }: StanceProps) {
  const { input } = drafting.draft;
  const subphases = useMemo(() => stanceSchedule(input, result, joint), [input, result, joint]);
  const overPhase = useMemo(() => stanceOverPhase(input, result, joint), [input, result, joint]);
  const { setGains } = drafting;
  const gains = drafting.gains(joint);
  const onSet = useCallback((to: GainsOf) => setGains(joint, to), [setGains, joint]);
  useLinkedGains(gains, reading, onSet);
  return (
    <>
      <fieldset className="pick joint-pick">
        <legend>Joint</legend>
        <div className="words">
          {driven.map((name) => (
            <label key={name}>
              <input
                type="radio"
                name="joint"
                checked={joint === name}
                onChange={() => reading.toJoint(name)}
              />
              <span>{name}</span>
            </label>
          ))}
        </div>
      </fieldset>
      <Schedules {...{ input, joint, demand, subphases, overPhase }} hairline={reading.hairline} />
      <Gains input={input} joint={joint} schedule={subphases} gains={gains} onSet={onSet} />
      <Burden input={input} result={result} joint={joint} demand={demand} />
    </>
  );
}

/** Gains of a link become a step that can be undone; gains that are set go into the address. */
function useLinkedGains(gains: GainsOf, reading: Reading, set: (gains: GainsOf) => void): void {
  const { gains: told, linked, toGains } = reading;
  useEffect(() => {
    if (linked !== undefined) set(linked);
    if (linked !== undefined || told === undefined || !sameGains(told, gains)) toGains(linked ?? gains);
  }, [gains, told, linked, set, toGains]);
}
