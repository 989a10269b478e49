import {
  type AskedImpedance,
  askedImpedance,
  type DrivenJoint,
  type Gains as GainsOf,
  loadsOf,
  type StanceSchedule,
  type StudyInput,
  sampledDrive,
  stableStiffness,
} from '@striderule/engine';
import { useCallback, useMemo, useState } from 'react';
import { Section } from '../sections/section.tsx';
import { significant, written } from '../show/number.ts';
import { FieldFigure } from './field-figure.tsx';
import { GainSlide } from './gain-slide.tsx';
import { GainVerdict } from './gain-verdict.tsx';
import { renderedFields } from './rendered-model.ts';

interface GainsProps {
  readonly input: StudyInput;
  readonly joint: DrivenJoint;
  readonly schedule: StanceSchedule | { readonly openBecause: string };
  readonly gains: GainsOf;
  /** A gesture has ended: these gains are a step that can be undone. */
  readonly onSet: (gains: GainsOf) => void;
}

/** Stiffness and damping asked of a joint: slid over a map of what the loop bears, and what comes of them. */
export function Gains({ input, joint, schedule, gains, onSet }: GainsProps) {
  const sampled = useMemo(() => {
    const of = sampledDrive(input, joint);
    return 'openBecause' in of ? undefined : of;
  }, [input, joint]);
  const [moving, setMoving] = useState<GainsOf>();
  const now = moving ?? gains;
  const asked = useMemo(() => askedImpedance(input, joint, now), [input, joint, now]);
  const loads = useMemo(() => loadsOf(input, joint), [input, joint]);
  const { damping } = now;
  const limit = useMemo(
    () => (sampled === undefined ? Number.NaN : stableStiffness(sampled, loads, damping).joint.stiffness),
    [sampled, loads, damping],
  );
  const set = useCallback(
    (to: GainsOf) => {
      setMoving(undefined);
      onSet(to);
    },
    [onSet],
  );
  if (sampled === undefined) {
    const why = sampledDrive(input, joint);
    return (
      <Section title={`The ${joint} as a spring and a damper`}>
        <p className="empty">Not predicted: {'openBecause' in why ? why.openBecause : ''}.</p>
      </Section>
    );
  }
  return (
    <Section title={`The ${joint} as a spring and a damper`}>
      <p className="note">
        Slide the stiffness, or take the cross on the map: what software, delay, filter, gears and motor make
        of the spring and the damper that are asked follows. Ratio{' '}
        {written(input.leg.joints[joint]?.transmission.ratio ?? Number.NaN)} : 1; gains are no part of the leg
        file and nothing is saved of them.
      </p>
      <div className="cols gains">
        <div className="col">
          <GainSlide
            {...{ input, joint, schedule, now, limit, asked, sampled, loads }}
            onMove={setMoving}
            onSet={set}
          />
        </div>
        <div className="col">
          <GainVerdict joint={joint} now={now} asked={asked} limit={limit} />
        </div>
      </div>
      {!('openBecause' in asked) && <Rendered of={asked} joint={joint} />}
    </Section>
  );
}

function Rendered({ of, joint }: { readonly of: AskedImpedance; readonly joint: DrivenJoint }) {
  const fields = useMemo(() => renderedFields(of, joint), [of, joint]);
  const upTo = of.stiffnessBandwidth;
  const words = `Stiffness, damping and inertia of the ${joint} over frequency. Asked ${written(of.requested.stiffness)} newton metres per radian and ${written(of.requested.damping)} newton metre seconds per radian; the stiffness is within ten per cent ${upTo === 0 ? 'nowhere' : `up to ${significant(upTo)} hertz`}.`;
  return (
    <div className="rendered">
      <h3>Rendered against requested</h3>
      <FieldFigure
        title={`Rendered against requested, ${joint}`}
        words={words}
        fields={fields}
        band={150}
        fileName={`rendered-${joint}`}
        step={10}
      />
      <p className="note">
        Moved by ±5.7°, dry friction and mesh loss in it by their first harmonic; play of the gears,
        saturation, socket and flesh are not. Swing asks for about 6 Hz, heel strike for 10 Hz and more
        (COMMON PRACTICE).
      </p>
    </div>
  );
}
