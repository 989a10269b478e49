import { setImmediate } from 'node:timers/promises';
import {
  FAULT_MAP_NOTES,
  Fault,
  type FaultRow,
  faultRows,
  type MappedTrial,
  openFaultMap,
} from '@striderule/engine';
import { evidenceOf, type OpenedStudy } from '@striderule/store';
import { CAUTION } from './caution.ts';
import { heading } from './heading.ts';
import { longWork } from './long-work.ts';
import { numberOption, quantityOption } from './number-option.ts';
import { fixed } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { json, out, strong } from './print.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import { csv } from './table.ts';
import type { Values } from './values.ts';
import { walkMend } from './walk-mend.ts';
import { SPEEDS, STEP, speedsOf, THIGHS } from './walk-run.ts';

/** Every so many % of the stride. */
const EVERY = 2;

/** One speed of the map. */
interface SpeedMap {
  readonly speed: number;
  readonly faults: readonly FaultRow[];
}

/** `walk faults`: every fault at every place of the stride under the study's controller, to the next two contacts. */
export async function walkFaults(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  const speeds = speedsOf(values, SPEEDS);
  const thigh = values.thigh === undefined ? 'led' : oneOf('--thigh', values.thigh as string, THIGHS);
  const step = quantityOption(values, 'step', 'time') ?? STEP;
  const places = placesOf(values);
  const study = await readStudy(values);
  const { input } = study;
  const maps = await longWork('Breaking it', async (signal, shown) => {
    const made: SpeedMap[] = [];
    for (const [k, speed] of speeds.entries()) {
      const map = openFaultMap(input, { speed, thigh }, step);
      if ('openBecause' in map)
        throw new Fault({
          code: 'walk.not-told',
          what: `No fault map at ${speed} m/s: ${map.openBecause}`,
          mend: walkMend(input),
        });
      if (map.fell !== undefined)
        throw new Fault({
          code: 'walk.fell',
          what: `At ${speed} m/s the leg falls without any fault: ${map.fell}`,
          mend: 'Choose another speed, or see `walk run --control study` first',
        });
      const found: MappedTrial[] = [];
      for (const [i, place] of places.entries()) {
        signal.throwIfAborted();
        found.push(...map.at(place));
        shown.to(
          (k + (i + 1) / places.length) / speeds.length,
          `${speed} m/s, at ${fixed(100 * place, 0)} % of the stride`,
        );
        await setImmediate();
      }
      made.push({ speed, faults: faultRows(input.leg, found) });
    }
    return made;
  });
  if (values.json)
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: m/s, s, V; place a share of the stride',
        thigh,
        maps,
      }),
    );
  else if (values.csv) out(mapCsv(maps));
  else out(`${strong(mapVerdict(maps))}\n${heading(input)}\n\n${mapText(maps, study, thigh)}`);
  return 0;
}

function placesOf(values: Values): readonly number[] {
  const every = numberOption(values, 'every') ?? EVERY;
  const count = 100 / every;
  if (Number.isInteger(count) && count >= 2 && count <= 100)
    return Array.from({ length: count }, (_, k) => k / count);
  throw new Fault({
    code: 'cli.number',
    what: `--every ${every} does not part the stride evenly`,
    mend: 'Give a part of 100, from 1 to 50',
  });
}

const MARKS = { survived: '·', stumbled: 's', fell: 'F' } as const;
const count = ({ trials }: FaultRow, outcome: keyof typeof MARKS): number =>
  trials.filter((trial) => trial.outcome === outcome).length;

function mapVerdict(maps: readonly SpeedMap[]): string {
  const rows = maps.flatMap(({ faults }) => faults);
  const of = (outcome: keyof typeof MARKS): number => rows.reduce((sum, row) => sum + count(row, outcome), 0);
  const [survived, stumbled, fell] = [of('survived'), of('stumbled'), of('fell')];
  const falls = new Map<string, number>();
  for (const row of rows) falls.set(row.title, (falls.get(row.title) ?? 0) + count(row, 'fell'));
  const [worst] = [...falls].sort((a, b) => b[1] - a[1]);
  return paragraph(
    `Of ${survived + stumbled + fell} faults set off ${survived} are survived, ${stumbled} stumble and ${fell} fall${
      worst !== undefined && worst[1] > 0 ? `; most falls: ${worst[0]}, ${worst[1]}` : ''
    }.`,
  );
}

function mapText(maps: readonly SpeedMap[], { hazards }: OpenedStudy, thigh: string): string {
  const width = Math.max(...maps.flatMap(({ faults }) => faults.map(({ title }) => title.length)));
  const pictures = maps.map(({ speed, faults }) => {
    const cells = Math.max(...faults.map(({ trials }) => trials.length));
    const ruler = `${'0 %'.padEnd(cells / 2)}${'50 %'.padEnd(cells / 2)}`.slice(0, Math.max(cells, 8));
    return [
      `${speed} m/s, thigh ${thigh}: where in the stride the fault begins, from contact on`,
      `${' '.repeat(width)}  ${ruler}  noticed by`,
      ...faults.map((row) => {
        const picture = row.trials.map(({ outcome }) => MARKS[outcome]).join('');
        const by = [...new Set(row.trials.flatMap(({ noticedBy }) => noticedBy ?? []))].join(', ');
        return row.openBecause === undefined
          ? `${row.title.padEnd(width)}  ${picture.padEnd(ruler.length)}  ${by || '–'}`.trimEnd()
          : `${row.title.padEnd(width)}  open: ${row.openBecause}`;
      }),
    ].join('\n');
  });
  const shown = hazards.flatMap(({ id, shownBy }) => {
    const faults = evidenceOf(shownBy).filter(({ kind }) => kind === 'fault');
    if (faults.length === 0) return [];
    const told = faults.map(({ name }) => {
      const rows = maps.flatMap((map) => map.faults.filter((row) => row.id === name));
      const all = rows.reduce((sum, row) => sum + row.trials.length, 0);
      const stands = rows.reduce((sum, row) => sum + count(row, 'survived'), 0);
      const falls = rows.reduce((sum, row) => sum + count(row, 'fell'), 0);
      return `${name} survived ${stands}, fell ${falls} of ${all}`;
    });
    return [`${id}: ${told.join('; ')}`];
  });
  return [
    '· survived   s stumbled   F fell, each to its next two contacts and a fifth of a stride beyond',
    ...pictures,
    ...(shown.length === 0 ? [] : [`Hazards of the study that name a fault\n${list(shown)}`]),
    list(FAULT_MAP_NOTES),
    CAUTION,
  ].join('\n\n');
}

function mapCsv(maps: readonly SpeedMap[]): string {
  return csv(
    ['speed_mps', 'fault', 'place', 'outcome', 'why', 'after_s', 'noticed_by', 'bus_V'],
    maps.flatMap(({ speed, faults }) =>
      faults.flatMap(({ id, trials }) =>
        trials.map((trial) => [
          speed,
          id,
          trial.place,
          trial.outcome,
          trial.why,
          trial.after,
          trial.noticedBy,
          trial.bus,
        ]),
      ),
    ),
  );
}
