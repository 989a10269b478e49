import {
  Fault,
  type FaultData,
  type FaultRow,
  openFaultMap,
  openPowerCut,
  openWalkPrice,
  type PowerCut,
  type StudyInput,
  type WalkChoice,
  type WalkPrice,
} from '@striderule/engine';

// Hundreds of walks, away from the page: what is found is told as it is found.

/** Every fault at every one of `places`, shares of the stride, speed by speed. */
export interface FaultsAsk {
  readonly kind: 'faults';
  readonly input: StudyInput;
  readonly thigh: 'prescribed' | 'led';
  /** s */
  readonly step: number;
  /** m/s */
  readonly speeds: readonly number[];
  readonly places: readonly number[];
}

/** All power lost at every one of `places`. */
export interface CutsAsk {
  readonly kind: 'cuts';
  readonly input: StudyInput;
  readonly choice: WalkChoice;
  readonly step: number;
  readonly places: readonly number[];
}

/** What everything costs the hip. */
export interface PriceAsk {
  readonly kind: 'price';
  readonly input: StudyInput;
  readonly choice: Pick<WalkChoice, 'speed' | 'ground'>;
  readonly step: number;
  readonly strides: number;
}

export type LongAsk = FaultsAsk | CutsAsk | PriceAsk;

/** One speed of the map as far as it is known, and why there is none. */
export interface SpeedMap {
  readonly speed: number;
  readonly faults: readonly FaultRow[];
  /** Share of the stride, of the one that is walked. */
  readonly stance?: number;
  readonly noneBecause?: string;
}

/** What is found, part by part: a map of one speed takes the place of the one before, a cut is added, a price list replaced. */
export interface LongParts {
  readonly faults: SpeedMap;
  readonly cuts: { readonly cut: PowerCut; readonly stance: number };
  readonly price: WalkPrice;
}

export type LongAnswer<K extends LongAsk['kind'] = LongAsk['kind']> =
  | {
      readonly kind: 'part';
      readonly part: LongParts[K];
      /** Of so many, and what was worked at, in words. */
      readonly done: number;
      readonly of: number;
      readonly said: string;
    }
  | { readonly kind: 'end'; readonly took: number }
  | { readonly kind: 'open'; readonly because: string }
  | { readonly kind: 'faults'; readonly faults: readonly FaultData[] };

type Tell = (answer: LongAnswer) => void;

export function answerLong(ask: LongAsk, tell: Tell): void {
  const begun = performance.now();
  try {
    const because =
      ask.kind === 'faults' ? faults(ask, tell) : ask.kind === 'cuts' ? cuts(ask, tell) : price(ask, tell);
    tell(
      because === undefined
        ? { kind: 'end', took: (performance.now() - begun) / 1000 }
        : { kind: 'open', because },
    );
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    tell({ kind: 'faults', faults: error.faults });
  }
}

const percent = (share: number): string => `${Math.round(100 * share)} % of the stride`;

function faults({ input, thigh, step, speeds, places }: FaultsAsk, tell: Tell): undefined {
  const of = speeds.length * places.length;
  for (const [k, speed] of speeds.entries()) {
    const map = openFaultMap(input, { speed, thigh }, { step, places });
    const none =
      'openBecause' in map ? map.openBecause : map.fell && `the leg falls without any fault: ${map.fell}`;
    if ('openBecause' in map || none !== undefined) {
      const part = { speed, faults: [], ...(none !== undefined && { noneBecause: none }) };
      tell({ kind: 'part', part, done: (k + 1) * places.length, of, said: `${speed} m/s` });
      continue;
    }
    for (const [i, place] of places.entries()) {
      map.place();
      const said = `${speed} m/s, at ${percent(place)}`;
      tell({
        kind: 'part',
        part: { speed, faults: map.rows(), stance: map.stance },
        done: k * places.length + i + 1,
        of,
        said,
      });
    }
  }
}

function cuts({ input, choice, step, places }: CutsAsk, tell: Tell): string | undefined {
  const open = openPowerCut(input, choice, step);
  if ('openBecause' in open) return open.openBecause;
  for (const [k, place] of places.entries())
    tell({
      kind: 'part',
      part: { cut: open.at(place), stance: open.stance },
      done: k + 1,
      of: places.length,
      said: `at ${percent(place)}`,
    });
  return undefined;
}

function price({ input, choice, step, strides }: PriceAsk, tell: Tell): string | undefined {
  const run = openWalkPrice(input, choice, { step, strides });
  if ('openBecause' in run) return run.openBecause;
  for (const [k, { title }] of run.levers.entries()) {
    run.next();
    tell({ kind: 'part', part: run.result(), done: k + 1, of: run.levers.length, said: title });
  }
  return undefined;
}
