import { FAULT_MAP_NOTES, type LedgerRow, mappedFaults, type StudyInput } from '@striderule/engine';
import type { WorkDesign } from '@striderule/wire';
import { type Ref, useCallback, useMemo, useState } from 'react';
import type { LongAsk } from '../design/long-work.ts';
import type { Known } from '../design/use-ledger.ts';
import { useLong } from '../design/use-long.ts';
import { Instrument } from '../draw/instrument.tsx';
import type { Hairline } from '../hairline.ts';
import { Prose } from '../sections/prose.tsx';
import { Section } from '../sections/section.tsx';
import { fixed, written } from '../show/number.ts';
import { drawFaultMap, faultGrid, mapSaid } from './draw-fault-map.ts';
import { GridKnob } from './grid-knob.tsx';
import { LongActs } from './long-acts.tsx';
import { NamedHazards } from './named-hazards.tsx';
import { Pick } from './pick.tsx';
import { speedMaps } from './speed-maps.ts';
import { useHazards } from './use-hazards.ts';
import { WALK_SPEEDS, type WalkPlace } from './walk-place.ts';

interface FaultMapProps {
  readonly input: StudyInput;
  readonly design: WorkDesign;
  readonly walk: WalkPlace;
  readonly hairline: Hairline;
  readonly ledger: readonly LedgerRow[];
  readonly known: Known;
  readonly ref: Ref<HTMLElement>;
  /** Walks one cell of the map, at m/s and per cent of the stride. */
  readonly onPick: (speed: number, fault: { readonly name: string; readonly percent: number }) => void;
}

/** Every so many per cent of the stride. */
const EVERY = 2;
const COLUMNS = 100 / EVERY;
const PLACES = Array.from({ length: COLUMNS }, (_, k) => k / COLUMNS);
/** The middle speed first. */
const SPEEDS: readonly number[] = [1.1, 0.8, 1.4];

/** Every fault at every place of the stride, as a picture to be walked through by keys and clicked. */
export function FaultMap({ input, design, walk, hairline, ledger, known, ref, onPick }: FaultMapProps) {
  const { step, speed: walked, fault } = walk;
  const ask = useMemo(
    (): LongAsk<'faults'> => ({
      design,
      ask: { kind: 'faults', thigh: 'led', step, speeds: SPEEDS, places: PLACES },
    }),
    [design, step],
  );
  const work = useLong(ask);
  const faults = useMemo(() => mappedFaults(input.leg), [input]);
  const [picked, setPicked] = useState<number>();
  const shown = picked ?? (SPEEDS.includes(walked) ? walked : 1.1);
  const parts = useMemo(() => speedMaps(input.leg, work.parts), [input, work.parts]);
  const map = parts.find(({ speed }) => speed === shown);
  const begun = parts.length > 0 || work.going !== undefined;
  const { hazards, unknown } = useHazards(begun);
  const titles = useMemo(() => faults.map(({ title }) => title), [faults]);
  const draw = useCallback(
    (width: number) => drawFaultMap(width, map ?? { speed: shown, faults: [] }, titles, COLUMNS),
    [map, shown, titles],
  );
  const named = (id: string): string => {
    if (hazards === undefined) return '';
    const ids = hazards.filter(({ evidence }) =>
      evidence.some(({ kind, name }) => kind === 'fault' && name === id),
    );
    return ids.length === 0
      ? '; no hazard names it'
      : `; named by ${ids.map((hazard) => hazard.id).join(', ')}`;
  };
  const told = (row: number, column: number): string => {
    const { id = '', title = '', openBecause } = faults[row] ?? {};
    const where = `${title} at ${EVERY * column} % of the stride, ${fixed(shown, 2)} m/s`;
    if (openBecause !== undefined) return `${title}: open, ${openBecause}`;
    const trial = map?.faults.find((each) => each.id === id)?.trials[column];
    if (trial === undefined) return `${where}: not tried yet${named(id)}`;
    const { outcome, why, after, noticedBy } = trial;
    const how = why === undefined ? outcome : `${outcome}, ${why} ${fixed(after, 2)} s after`;
    return `${where}: ${how}; ${noticedBy === undefined ? 'nothing notices it' : `noticed by ${noticedBy}`}${named(id)}`;
  };
  const at = useMemo((): readonly [number, number] => {
    const row = faults.findIndex(({ id }) => id === fault?.name);
    return row < 0 ? [0, 0] : [row, Math.min(COLUMNS - 1, Math.floor((fault?.percent ?? 0) / EVERY))];
  }, [faults, fault]);
  const title = 'Fault map';
  return (
    <Section title={title} ref={ref}>
      <p className="note">
        {faults.length} faults, each set off at every {EVERY} % of the stride at {SPEEDS.length} speeds under
        the study’s own controller with the thigh led, to its next two contacts:{' '}
        {(faults.length * COLUMNS * SPEEDS.length).toLocaleString('en-GB')} short walks, half a minute on the
        server. Any of them can then be walked again on the picture above.
      </p>
      <LongActs work={work} start="Set off every fault" what="Breaking it" demo={input.demo} />
      {begun ? (
        <>
          <Pick
            legend="Map at"
            name="map-speed"
            chosen={String(shown)}
            onPick={setPicked}
            options={WALK_SPEEDS.map((speed) => ({
              key: String(speed),
              value: speed,
              text: `${fixed(speed, 1)} m/s`,
            }))}
          />
          {map?.noneBecause === undefined ? (
            <Instrument
              title={`${title}, ${input.leg.name}, ${fixed(shown, 2)} m/s`}
              what="this map"
              fileName={`fault-map-${input.leg.name.toLowerCase()}-${written(shown)}`}
              heightFor={(width) => faultGrid(width, titles.length, COLUMNS).height}
              draw={draw}
              over={(width) => (
                <GridKnob
                  grid={faultGrid(width, titles.length, COLUMNS)}
                  label={`${title}: faults down, places of the stride across`}
                  {...{ at, told, hairline }}
                  onPick={(row, column) => {
                    const { id, openBecause } = faults[row] ?? {};
                    if (id !== undefined && openBecause === undefined)
                      onPick(shown, { name: id, percent: EVERY * column });
                  }}
                />
              )}
            />
          ) : (
            <p className="empty">
              No map at {fixed(shown, 2)} m/s: {map.noneBecause}. Choose another speed, or look at the walk
              under the study’s own controller first.
            </p>
          )}
          {parts.length > 1 && <p className="strong all-maps">{mapSaid(parts)}</p>}
          {hazards === undefined ? (
            <p>
              <Prose text={unknown ?? 'Reading the hazards …'} />
            </p>
          ) : (
            <NamedHazards {...{ hazards, ledger, known }} maps={parts} />
          )}
          <ul className="notes">
            {FAULT_MAP_NOTES.map((note) => (
              <li key={note}>{note}</li>
            ))}
          </ul>
        </>
      ) : null}
    </Section>
  );
}
