import type { DrivenJoint } from '@striderule/engine';
import { useCallback } from 'react';
import type { LiveRatio } from '../design/live-ratio.ts';
import { Instrument } from '../draw/instrument.tsx';
import type { Metrics } from '../read-study.ts';
import { drawWindows, windowsHeight } from './draw-windows.ts';
import { RatioHandle } from './ratio-handle.tsx';
import type { RatioWindows } from './use-ratio-windows.ts';

interface WindowsProps {
  readonly joint: DrivenJoint;
  readonly metrics: Metrics;
  readonly live: LiveRatio;
  readonly saved: number;
  readonly windows: RatioWindows;
  readonly onSet: (ratio: number) => void;
}

/** What the study asks, over the ratio, on the slide's scale: what pushes the ratio up, what holds it down, and where most is met. */
export function Windows({ joint, metrics, live, saved, windows, onSet }: WindowsProps) {
  const draw = useCallback(
    (width: number) => drawWindows(width, windows, metrics, { now: live.at().ratio, saved, joint }),
    [windows, metrics, live, saved, joint],
  );
  const follow = useCallback((again: () => void) => live.follow(again), [live]);
  const heightFor = useCallback(
    (width: number) => windowsHeight(width, windows.asked.length),
    [windows.asked.length],
  );
  const open = windows.found.filter(({ openBecause }) => openBecause !== undefined);
  return (
    <>
      <Instrument
        title={`${joint}: what the study asks, over the ratio`}
        what="what is met over the ratio"
        fileName={`ratio-windows-${joint}`}
        heightFor={heightFor}
        draw={draw}
        follow={follow}
        over={(width) => <RatioHandle width={width} live={live} onSet={onSet} />}
      />
      <p className="note facts">
        A bar is where the value that is predicted keeps its bound, dashed while the ratio under the hand lies
        outside it; near its end the interval reaches over the bound, and the ledger says open. Every
        requirement counts as one: which may be let go is for those who wrote them. The other joint stays as
        it is, the gears are the leg file’s at every ratio, and what walks judge is not among them.
        {open.map(({ requirement, openBecause }) => ` ${requirement.id} is not known: ${openBecause}.`)}
      </p>
    </>
  );
}
