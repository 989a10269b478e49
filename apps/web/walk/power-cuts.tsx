import { POWER_CUT_NOTES, type StudyInput } from '@striderule/engine';
import type { WorkDesign } from '@striderule/wire';
import { type Ref, useCallback, useMemo } from 'react';
import type { LongAsk } from '../design/long-work.ts';
import { useLong } from '../design/use-long.ts';
import { Instrument } from '../draw/instrument.tsx';
import type { Hairline } from '../hairline.ts';
import { Section } from '../sections/section.tsx';
import { fixed, written } from '../show/number.ts';
import { CUT_COLUMNS, cutSaid, cutsGrid, cutsKnob, drawCuts } from './draw-cuts.ts';
import { GridKnob } from './grid-knob.tsx';
import { LongActs } from './long-acts.tsx';
import type { WalkPlace } from './walk-place.ts';

interface PowerCutsProps {
  readonly input: StudyInput;
  readonly design: WorkDesign;
  readonly walk: WalkPlace;
  readonly hairline: Hairline;
  readonly ref: Ref<HTMLElement>;
  /** Walks one cut, at per cent of the stride. */
  readonly onPick: (percent: number) => void;
}

const PLACES = Array.from({ length: CUT_COLUMNS }, (_, k) => k / CUT_COLUMNS);

/** Power lost at every part of the stride, and what the knee, the hip and the walk make of it. */
export function PowerCuts({ input, design, walk, hairline, ref, onPick }: PowerCutsProps) {
  const { speed, ground, thigh, control, step, cut } = walk;
  const ask = useMemo(
    (): LongAsk<'cuts'> => ({
      design,
      ask: { kind: 'cuts', choice: { speed, ground, thigh, control }, step, places: PLACES },
    }),
    [design, speed, ground, thigh, control, step],
  );
  const work = useLong(ask);
  const { parts } = work;
  const draw = useCallback(
    (width: number) => {
      const [first] = parts;
      return drawCuts(width, {
        cuts: parts.map((part) => part.cut),
        ...(first !== undefined && { stance: first.stance }),
      });
    },
    [parts],
  );
  const told = (_: number, column: number): string => {
    const found = parts[column]?.cut;
    const where = `Power lost at ${fixed((100 * column) / CUT_COLUMNS, 0)} % of the stride`;
    return found === undefined ? `${where}: not tried yet` : `${where}, ${cutSaid(found)}`;
  };
  const at = useMemo(
    (): readonly [number, number] => [0, Math.floor(((cut ?? 0) * CUT_COLUMNS) / 100)],
    [cut],
  );
  const title = 'Power lost at every 5 % of the stride';
  return (
    <Section title={title} ref={ref}>
      <p className="note">
        Both joints without power after three strides, as walked above: {fixed(speed, 2)} m/s, thigh {thigh},{' '}
        {control === 'clock' ? 'springs fitted to this stride' : 'the study’s own controller'}. How far the
        knee bends before toe-off, how soon it is at 60°, where it lands. {CUT_COLUMNS} walks, a few seconds.
      </p>
      <LongActs work={work} start="Lose power everywhere" what="Losing power" demo={input.demo} />
      {parts.length > 0 || work.going !== undefined ? (
        <>
          <Instrument
            title={`${title}, ${input.leg.name}, ${fixed(speed, 2)} m/s, thigh ${thigh}`}
            what="these cuts"
            fileName={`power-cuts-${input.leg.name.toLowerCase()}-${written(speed)}-${thigh}`}
            heightFor={(width) => cutsGrid(width).height}
            draw={draw}
            over={(width) => (
              <GridKnob
                grid={cutsKnob(width)}
                label={`${title}: places of the stride across`}
                {...{ at, told, hairline }}
                onPick={(_, column) => onPick((100 * column) / CUT_COLUMNS)}
              />
            )}
          />
          <ul className="notes">
            {POWER_CUT_NOTES.map((note) => (
              <li key={note}>{note.replaceAll('`', '')}</li>
            ))}
          </ul>
        </>
      ) : null}
    </Section>
  );
}
