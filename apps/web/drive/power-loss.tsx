import type { DrivenJoint, StrideDemand, StudyInput } from '@striderule/engine';
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { workBeside } from '../design/beside.ts';
import type { LiveRatio, Moving } from '../design/live-ratio.ts';
import type { LossAnswer } from '../design/study-worker.ts';
import { DRIVEN } from '../design/use-draft.ts';
import { Instrument } from '../draw/instrument.tsx';
import type { Hairline } from '../hairline.ts';
import { Section } from '../sections/section.tsx';
import { drawLoss, type LossScene, lossHeight, THRESHOLDS } from './draw-power-loss.ts';

interface PowerLossProps {
  readonly joint: DrivenJoint;
  readonly live: LiveRatio;
  readonly saved: Moving;
  readonly demand: StrideDemand;
  readonly hairline: Hairline;
}

/** The answer at the ratio under the hand, a moment behind it, and the one as saved; worked out beside the page while it is seen. */
function useLoss(input: StudyInput, joint: DrivenJoint, task: string, live: LiveRatio, savedRatio: number) {
  const host = useRef<HTMLDivElement>(null);
  const [got, setGot] = useState<{ key: string; now?: LossAnswer; saved?: LossAnswer; lost?: true }>();
  const key = `${joint} ${task}`;
  useEffect(() => {
    const element = host.current;
    if (element === null) return;
    let busy = false;
    let asked = Number.NaN;
    let seen = false;
    const { ask, end } = workBeside<LossAnswer>(
      input,
      (answer) => {
        busy = false;
        setGot((was) => ({
          ...(was?.key === key && was),
          key,
          now: answer,
          ...(answer.ratio === savedRatio && { saved: answer }),
        }));
        next();
      },
      () => setGot({ key, lost: true }),
    );
    const put = (ratio: number) => {
      busy = true;
      asked = ratio;
      ask({ kind: 'loss', joint, ratio, task });
    };
    let first = true;
    const next = () => {
      if (busy || !seen) return;
      const { ratio } = live.at();
      // as saved first: the ghost
      if (first) put(savedRatio);
      else if (ratio !== asked) put(ratio);
      first = false;
    };
    const observer = new IntersectionObserver((entries) => {
      seen = entries.at(-1)?.isIntersecting ?? false;
      next();
    });
    observer.observe(element);
    const stop = live.follow(next);
    return () => {
      observer.disconnect();
      stop();
      end();
    };
  }, [input, joint, task, live, savedRatio, key]);
  return { host, got: got?.key === key ? got : undefined };
}

/** What happens when power is lost: the unpowered joint over stride and short, the bus when the pack opens. */
export function PowerLoss({ joint, live, saved, demand, hairline }: PowerLossProps) {
  const { input, design, ratio } = saved;
  const { host, got } = useLoss(input, joint, demand.task.id, live, ratio);
  const scene = useMemo((): LossScene => {
    const own = input.leg.joints[joint]?.lossOfPower?.resistance;
    return {
      joint,
      demand,
      threshold: input.leg.bus?.brakeResistor?.threshold,
      // those that are tried, the leg file's own, open phases
      lines: own === undefined ? 11 : 12,
      // those with moments of every driven joint
      tasks: Object.values(design.loads).filter((loads) =>
        DRIVEN.every(
          (name) => input.leg.joints[name] === undefined || Number.isFinite(loads[name]?.peakTorque),
        ),
      ).length,
    };
  }, [input, design, joint, demand]);
  const draw = useCallback(
    (width: number) => drawLoss(width, scene, got?.now, got?.saved, hairline.at()),
    [scene, got, hairline],
  );
  const follow = useCallback((again: () => void) => hairline.follow(again), [hairline]);
  const heightFor = useCallback((width: number) => lossHeight(width, scene), [scene]);
  return (
    <Section title={`Power lost, ${demand.task.title}`}>
      <div ref={host}>
        {got?.lost ? (
          <p className="empty">
            This browser runs nothing beside the page, so that it is not worked out here:{' '}
            <code>striderule drive powerloss</code> prints it.
          </p>
        ) : (
          <Instrument
            title={`Power lost in ${demand.task.title}: the ${joint} over resistances in its short`}
            what="the loss"
            fileName={`power-loss-${demand.task.id}-${joint}`}
            heightFor={heightFor}
            draw={draw}
            follow={follow}
          />
        )}
      </div>
      <p className="note facts">
        A dash holds, swings through or goes to its stop; a low bar yields, {THRESHOLDS.split(',')[0]}; a
        block gives way; slats land bent; lozenge: otherwise as saved. Served: it yields {THRESHOLDS}. Both
        thresholds are our own choice. Bare: the bus without its brake resistor. At unchanged thigh, hip and
        ankle motion, cold winding, steady currents.
      </p>
      <p className="caution facts">
        A knee that is easily back-driven collapses when power is cut in stance, and one that brakes well is
        locked in swing. Cut the power at every part of the stride on a tethered bench, then in an overhead
        harness, before it happens by itself.
      </p>
    </Section>
  );
}
