import type { StrideDemand } from '@striderule/engine';
import { useCallback, useMemo } from 'react';
import type { LiveRatio, Moving } from '../design/live-ratio.ts';
import { Instrument } from '../draw/instrument.tsx';
import { Section } from '../sections/section.tsx';
import { drawEnergy, energyHeight, energyShown } from './draw-energy.ts';

interface EnergyProps {
  readonly live: LiveRatio;
  readonly saved: Moving;
  readonly demand: StrideDemand;
}

/** Where a stride's energy comes from and where it goes, both joints on one bus, as one drawing that adds up. */
export function Energy({ live, saved, demand }: EnergyProps) {
  const before = useMemo(() => energyShown(saved, demand), [saved, demand]);
  const draw = useCallback(
    (width: number) => drawEnergy(width, energyShown(live.at(), demand), before, demand),
    [live, before, demand],
  );
  const follow = useCallback((again: () => void) => live.follow(again), [live]);
  return (
    <Section title={`Energy of a stride, ${demand.task.title}`}>
      <Instrument
        title={`Energy of a stride, ${demand.task.title}`}
        what="the energy"
        fileName={`energy-${demand.task.id}`}
        heightFor={energyHeight}
        draw={draw}
        follow={follow}
      />
      <p className="note facts">
        Widths are joules. Full bands run from the cells towards the limb, striped ones back; grey is lost.
        What a joint returns goes to the other joint first, at the same instant, then into the cells up to
        their charge limit, then into the brake resistor where it is on, and the rest into the windings. Cold
        motors, both directions of the mesh. Every loss comes from its own formula, what the cells give from
        the bus, so that equal sums are a check.
      </p>
    </Section>
  );
}
