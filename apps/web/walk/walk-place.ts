/** What is walked on Walk, and which of its strides is read. */
export interface WalkPlace {
  /** Name of a leg file of the study; left out: the study's own leg as it stands on the page. */
  readonly leg?: string;
  /** m/s */
  readonly speed: number;
  readonly ground: 'treadmill' | 'overground';
  readonly thigh: 'prescribed' | 'led';
  /** clock: springs fitted to this stride, paced by time; study: the controller that the study names. */
  readonly control: 'clock' | 'study';
  /** s */
  readonly step: number;
  /** From 1; left out: the last, or the one in which something goes wrong. */
  readonly stride?: number;
  /** At most one of these. A scenario of the study by its id: speed, ground, thigh and control are then its own. */
  readonly scenario?: string;
  /** A fault of the map that sets out at so many per cent of the stride; the controller is then the study's. */
  readonly fault?: { readonly name: string; readonly percent: number };
  /** All power is lost at so many per cent of the stride. */
  readonly cut?: number;
  /** Name of a leg that is drawn beside the walking one, at the same instant after contact. */
  readonly beside?: string;
}

/** The walk of every day in the place of a scenario, a fault or a power cut, and none of its strides chosen. */
export function plainWalk({
  stride: _,
  scenario: __,
  fault: ___,
  cut: ____,
  ...plain
}: WalkPlace): WalkPlace {
  return plain;
}

/** Slow, brisk and fast walking of most adults, m/s. Our choice. */
export const WALK_SPEEDS = [0.8, 1.1, 1.4] as const;
export const GROUNDS = ['treadmill', 'overground'] as const;
export const THIGHS = ['prescribed', 'led'] as const;
export const CONTROLS = ['clock', 'study'] as const;
/** s; the largest is there to be refused where the energy says so. Our choice. */
export const WALK_STEPS = [1e-4, 2.5e-4, 5e-4, 1e-3] as const;

export const FIRST_WALK: WalkPlace = {
  speed: 1.1,
  ground: 'treadmill',
  thigh: 'prescribed',
  control: 'clock',
  step: 2.5e-4,
};

const KEYS = [
  'leg',
  'speed',
  'ground',
  'thigh',
  'control',
  'step',
  'stride',
  'scenario',
  'fault',
  'cut',
  'beside',
] as const;

/**
 * Reads `leg=tern-100&speed=1.1&ground=overground&thigh=led&control=study&step=0.25&stride=7`, the step in ms, and one of `scenario=step-15`,
 * `fault=knee-stuck&from=34` and `cut=45`, per cent of the stride; undefined where nothing of it is named.
 */
export function readWalk(fields: URLSearchParams, otherwise: WalkPlace | undefined): WalkPlace | undefined {
  if (!KEYS.some((key) => fields.has(key))) return otherwise;
  const { leg: _, beside: __, ...kept } = plainWalk(otherwise ?? FIRST_WALK);
  const speed = Number(fields.get('speed') ?? Number.NaN);
  const step = WALK_STEPS.find((s) => Math.abs(1e3 * s - Number(fields.get('step'))) < 1e-9);
  const stride = Number(fields.get('stride') ?? Number.NaN);
  const [leg, beside] = [fields.get('leg'), fields.get('beside')];
  return {
    ...(leg !== null && leg !== '' && { leg }),
    // no faster than anybody runs; the engine says what it has strides for
    speed: speed > 0 && speed < 10 ? speed : kept.speed,
    ground: GROUNDS.find((name) => name === fields.get('ground')) ?? kept.ground,
    thigh: THIGHS.find((name) => name === fields.get('thigh')) ?? kept.thigh,
    control: CONTROLS.find((name) => name === fields.get('control')) ?? kept.control,
    step: step ?? kept.step,
    ...(Number.isInteger(stride) && stride >= 1 && { stride }),
    ...insteadOf(fields),
    ...(beside !== null && beside !== '' && { beside }),
  };
}

function insteadOf(fields: URLSearchParams): Pick<WalkPlace, 'scenario' | 'fault' | 'cut'> {
  const percent = (key: string): number => {
    const value = fields.get(key) === null ? Number.NaN : Number(fields.get(key));
    return value >= 0 && value < 100 ? value : Number.NaN;
  };
  const [scenario, name] = [fields.get('scenario'), fields.get('fault')];
  if (scenario !== null && scenario !== '') return { scenario };
  if (name !== null && name !== '' && !Number.isNaN(percent('from')))
    return { fault: { name, percent: percent('from') } };
  return Number.isNaN(percent('cut')) ? {} : { cut: percent('cut') };
}

/** The same as fields of an address. */
export const walkFields = ({
  leg,
  speed,
  ground,
  thigh,
  control,
  step,
  stride,
  scenario,
  fault,
  cut,
  beside,
}: WalkPlace): [string, string][] => [
  ...named('leg', leg),
  ['speed', String(speed)],
  ['ground', ground],
  ['thigh', thigh],
  ['control', control],
  ['step', String(Number((1e3 * step).toPrecision(6)))],
  ...named('stride', stride),
  ...named('scenario', scenario),
  ...named('fault', fault?.name),
  ...named('from', fault?.percent),
  ...named('cut', cut),
  ...named('beside', beside),
];

const named = (key: string, value: string | number | undefined): [string, string][] =>
  value === undefined ? [] : [[key, String(value)]];
