import { type Proportion, type RequirementTolerance, shownUnit, type Tolerance } from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed, GAP, significant } from './number-text.ts';
import { list } from './paragraph.ts';
import { csv, table } from './table.ts';

const SURE = 0.95;
/** Below this the linear model leaves so much unexplained that its shares rank nothing. Our choice. */
const EXPLAINS = 0.8;
const SHOWN_SHARE = 0.03;
const SHOWN_TESTS = 8;

/** One line first: how many requirements hold in almost every leg, in some, in hardly any. */
export function toleranceVerdict({ requirements, draws }: Tolerance): string {
  if (requirements.length === 0) return 'No requirement is written yet: requirements.yaml is where they go.';
  const count = (keep: (met: Proportion) => boolean) =>
    requirements.filter(({ met }) => met !== null && keep(met)).length;
  const told = [
    [count(({ low }) => low >= SURE), 'hold in at least 95 of 100'],
    [count(({ low, high }) => low < SURE && high > 1 - SURE), 'in some'],
    [count(({ high }) => high <= 1 - SURE), 'in 5 or fewer'],
    [requirements.filter(({ met }) => met === null).length, 'not predicted'],
  ] as const;
  return `Of ${requirements.length} requirements over ${draws} drawn legs and people: ${told
    .filter(([n]) => n > 0)
    .map(([n, words]) => `${n} ${words}`)
    .join(', ')}.`;
}

const percent = (share: number): string => {
  // 100 % and 0 % only where every draw says so
  const rounded = Math.round(1000 * share) / 10;
  if (share > 0 && share < 1) return fixed(Math.min(99.9, Math.max(0.1, rounded)), 1);
  return fixed(rounded, 0);
};

/** An input without the part of its path that says nothing. */
const inputName = (path: string): string => path.replace(/^joints\./, '');

function dominant({ contributions, explained }: RequirementTolerance): string {
  if (contributions.length === 0) return GAP;
  if (!(explained >= EXPLAINS)) return 'not linear: see below';
  return contributions
    .filter(({ share }, k) => k === 0 || (k < 3 && share >= SHOWN_SHARE))
    .map(({ path, share }) => `${inputName(path)} ${fixed(100 * share, 0)} %`)
    .join(', ');
}

/** A row a requirement, then the tests worth doing, then what was drawn and what the reader must know. */
export function toleranceText(tolerance: Tolerance, demo: boolean): string {
  const { requirements } = tolerance;
  return [
    table(
      [
        { head: 'requirement', align: 'left' },
        { head: 'required' },
        { head: 'median' },
        { head: '5th–95th drawn' },
        { head: 'by linear propagation' },
        { head: 'unit', align: 'left' },
        { head: 'met in', unit: '%' },
        { head: '95 % interval', unit: '%' },
        { head: 'what its spread comes from', align: 'left' },
      ],
      requirements.map((r) => {
        const { requirement, met, percentiles, linear } = r;
        const { of, unit } = shownUnit(r.unit);
        const number = (x: number) => significant(of(x));
        return [
          requirement.id,
          `${requirement.bound.kind === 'at most' ? '≤' : '≥'} ${number(requirement.bound.value)}`,
          percentiles === null ? GAP : number(percentiles[1]),
          percentiles === null ? GAP : `${number(percentiles[0])} … ${number(percentiles[2])}`,
          linear === null ? GAP : `${number(linear.low)} … ${number(linear.high)}`,
          unit,
          met === null ? GAP : percent(met.share),
          met === null ? GAP : `${percent(met.low)} … ${percent(met.high)}`,
          dominant(r),
        ];
      }),
    ),
    testsText(tolerance),
    notesText(tolerance, demo),
    CAUTION,
  ].join('\n\n');
}

function testsText({ tests }: Tolerance): string {
  if (tests.length === 0)
    return 'No bench test would settle a requirement: each is met or missed as far as the spreads reach, or not predicted.';
  return `The next bench test that pays: how many open requirements its result would settle, on average\n${table(
    [
      { head: 'test', align: 'left' },
      { head: 'settles' },
      { head: 'which, with what chance', align: 'left' },
    ],
    tests
      .slice(0, SHOWN_TESTS)
      .map(({ test, expected, settles }) => [
        test,
        fixed(expected, 2),
        settles.map(({ id, chance }) => `${id} ${fixed(100 * chance, 0)} %`).join(', '),
      ]),
  )}`;
}

function notesText({ inputs, impossible, requirements, leftOut, seed }: Tolerance, demo: boolean): string {
  const from = (origin: string) => inputs.filter((input) => input.origin === origin).length;
  const bent = requirements.filter(
    ({ contributions, explained }) => contributions.length > 0 && !(explained >= EXPLAINS),
  );
  const again = Object.entries(impossible);
  return list([
    `${inputs.length} inputs drawn, each on its own, seed ${seed}: ${from('leg file')} as the leg file spreads them, ${from('typical')} with a spread typical of their kind (COMMON PRACTICE: measure them), ${from('people')} scores of how strong a person is, one a joint.`,
    'People are drawn around the mean person of the published strides: the coverage of the tasks is not used here, so a median may lie on the better side of the ledger’s prediction. Tasks without a published deviation, peaks and standing do not scatter.',
    'Inputs that go together, such as the two directions of one mesh, are drawn apart.',
    ...(leftOut.length === 0
      ? []
      : [`Not here, since walks judge them and drawn legs are not walked: ${leftOut.join(', ')}.`]),
    ...bent.map(
      ({ requirement, explained }) =>
        `${requirement.id}: the linear model explains ${Number.isNaN(explained) ? 'nothing' : `${fixed(100 * explained, 0)} %`} of its spread; go by the draws.`,
    ),
    ...requirements
      .filter(({ unknown, percentiles }) => unknown > 0 && percentiles !== null)
      .map(
        ({ requirement, unknown, unknownBecause }) =>
          `${requirement.id}: ${unknown} draws have no number and count as not met${unknownBecause === undefined ? '' : `, the first because ${unknownBecause}`}.`,
      ),
    ...requirements
      .filter(({ met }) => met === null)
      .map(({ requirement, openBecause }) => `${requirement.id}: ${openBecause ?? 'no draw has a number'}.`),
    ...again.map(
      ([path, count]) =>
        `${inputName(path)}: ${count} draws could not be and were drawn again; its spread is wide for its value.`,
    ),
    ...(demo
      ? ['These probabilities are of demo data: they say how the method works, not how a leg will do.']
      : []),
  ]);
}

/** A row a requirement, SI units. */
export function toleranceCsv({ requirements }: Tolerance): string {
  return csv(
    [
      'requirement',
      'joint',
      'task',
      'bound',
      'required',
      'unit',
      'nominal',
      '5th percentile',
      'median',
      '95th percentile',
      'linear 5th percentile',
      'linear 95th percentile',
      'met',
      'met, low',
      'met, high',
      'draws without a number',
      'explained by the linear model',
      'contributions',
    ],
    requirements.map((r) => [
      r.requirement.id,
      r.requirement.joint ?? '',
      r.requirement.task ?? '',
      r.requirement.bound.kind,
      r.requirement.bound.value,
      r.unit,
      r.nominal,
      ...(r.percentiles ?? [null, null, null]),
      r.linear?.low,
      r.linear?.high,
      r.met?.share,
      r.met?.low,
      r.met?.high,
      r.unknown,
      r.explained,
      r.contributions.map(({ path, share }) => `${path} ${share.toFixed(3)}`).join('; '),
    ]),
  );
}
