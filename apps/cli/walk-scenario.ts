import { setImmediate } from 'node:timers/promises';
import {
  degFromRad,
  drivesNothing,
  Fault,
  faultPeriods,
  LOG,
  LOG_COLUMNS,
  LOG_WIDTH,
  openScenario,
  type Rad,
  SCENARIO_NOTES,
  type Scenario,
  type StudyInput,
  type WalkLog,
  type WalkReport,
  type WalkStride,
  walkLogRow,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { heading } from './heading.ts';
import { longWork } from './long-work.ts';
import { quantityOption } from './number-option.ts';
import { fixed } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { json, out, strong } from './print.ts';
import type { Progress } from './progress.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import { csv, table } from './table.ts';
import type { Values } from './values.ts';
import { STEP } from './walk-run.ts';

/** One scenario as it was walked. */
interface Walked {
  readonly scenario: Scenario;
  readonly log: WalkLog;
  readonly strides: readonly WalkStride[];
  readonly weight: number;
  readonly mass: number;
  readonly notes: readonly string[];
  readonly passed?: WalkReport['passed'];
}

/** `walk scenario`: the walks that the study keeps, or those that are named. Exit 1 where one fell. */
export async function walkScenario(names: readonly string[], values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  const step = quantityOption(values, 'step', 'time') ?? STEP;
  const { input } = await readStudy(values);
  const all = input.scenarios ?? [];
  if (all.length === 0)
    throw new Fault({
      code: 'walk.no-scenario',
      what: 'The study keeps no scenarios',
      mend: 'Write one as `scenarios/<name>.yaml`',
    });
  const ids = all.map(({ id }) => id);
  const chosen =
    names.length === 0 ? all : names.map((name) => all[ids.indexOf(oneOf('the scenario', name, ids))]!);
  if (values.csv && chosen.length !== 1)
    throw new Fault({
      code: 'cli.one-log',
      what: `--csv prints the log of one walk, and ${chosen.length} were asked for`,
      mend: 'Name one scenario',
    });
  const walks = await longWork('Walking', async (signal, shown) => {
    const made: Walked[] = [];
    for (const [k, scenario] of chosen.entries())
      made.push(
        await walked(input, scenario, step, {
          signal,
          shown,
          from: k / chosen.length,
          share: 1 / chosen.length,
        }),
      );
    return made;
  });
  if (values.json)
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: rad, m, s, N, N·m, J, W, K, A; engine signs; null where not known',
        scenarios: walks.map(({ scenario, log, strides, weight, passed }) => ({
          scenario,
          passed: passed ?? null,
          weight,
          fell: log.fell ?? null,
          audit: { residual: log.residual, moved: log.moved },
          strides,
        })),
      }),
    );
  else if (values.csv) out(logCsv(walks[0]!.log));
  else out(`${strong(verdict(walks))}\n${heading(input)}\n\n${textOf(walks)}`);
  return walks.some(({ log }) => log.fell !== undefined) ? 1 : 0;
}

async function walked(
  input: StudyInput,
  scenario: Scenario,
  step: number,
  told: {
    readonly signal: AbortSignal;
    readonly shown: Progress;
    readonly from: number;
    readonly share: number;
  },
): Promise<Walked> {
  const walk = openScenario(input, scenario, step);
  if ('openBecause' in walk)
    throw new Fault({
      code: 'walk.not-told',
      what: `No walk \`${scenario.id}\`: ${walk.openBecause}`,
      mend: drivesNothing(input.leg)
        ? 'Choose a leg with drives'
        : 'Add what is missing, or change the scenario',
    });
  for (let k = 0; k < scenario.strides; k++) {
    told.signal.throwIfAborted();
    const stands = walk.stride();
    told.shown.to(
      told.from + (told.share * (k + 1)) / scenario.strides,
      `${scenario.id}, stride ${k + 1} of ${scenario.strides}`,
    );
    if (!stands) break;
    await setImmediate();
  }
  const { strides, weight, mass, notes, passed } = walk.report();
  return { scenario, log: walk.record().log, strides, weight, mass, notes, ...(passed && { passed }) };
}

function verdict(walks: readonly Walked[]): string {
  const fell = walks.filter(({ log }) => log.fell !== undefined);
  const of = walks.length === 1 ? `Walked: ${walks[0]!.scenario.title}` : `Of ${walks.length} walks`;
  const told =
    fell.length === 0
      ? 'none fell'
      : `${fell.length} fell: ${fell.map(({ scenario, log }) => `${scenario.id} after ${fixed(log.fell!.time, 2)} s, ${log.fell!.why}`).join('; ')}`;
  return paragraph(`${of}${walks.length === 1 ? ';' : ''} ${told}.`);
}

/** What is not there is no number, and a dash. */
const range = (all: readonly number[], digits: number): string => {
  const values = all.filter((value) => !Number.isNaN(value));
  return values.length === 0
    ? '–'
    : `${fixed(Math.min(...values), digits)} … ${fixed(Math.max(...values), digits)}`;
};
const degrees = (x: number): string => fixed(degFromRad(x as Rad), 0);

function textOf(walks: readonly Walked[]): string {
  const parts = [
    table(
      [
        { head: 'scenario', align: 'left' },
        { head: '', align: 'left' },
        { head: 'strides' },
        { head: 'peak force', unit: 'body weights' },
        { head: 'clearance', unit: 'mm' },
        { head: 'faults told', unit: 'periods' },
        { head: 'energy off', unit: '%' },
        { head: 'then', align: 'left' },
      ],
      walks.map(({ scenario, log, strides, weight }) => [
        scenario.id,
        scenario.title,
        String(strides.length),
        range(
          strides.map(({ up }) => up / weight),
          2,
        ),
        range(
          strides.map(({ clearance }) => 1e3 * clearance),
          0,
        ),
        String(faultPeriods(log)),
        fixed((100 * log.residual) / log.moved, 2),
        log.fell === undefined ? 'stands' : `${log.fell.why} after ${fixed(log.fell.time, 2)} s`,
      ]),
    ),
  ];
  if (walks.length === 1) {
    const { scenario, strides, weight } = walks[0]!;
    if (scenario.hangs !== undefined) parts.push(...followed(strides));
    else if (walks[0]!.log.stretch) parts.push(...stretched(walks[0]!));
    else
      parts.push(
        table(
          [
            { head: 'contact', unit: 's' },
            { head: 'stride', unit: 's' },
            { head: 'stance', unit: '%' },
            { head: 'peak force', unit: 'body weights' },
            { head: 'knee bends', unit: '°' },
            { head: 'clearance', unit: 'mm' },
            { head: 'push-off', unit: 'J' },
          ],
          strides.map((stride) => [
            fixed(stride.time, 2),
            fixed(stride.duration, 2),
            fixed(100 * stride.stance, 0),
            fixed(stride.up / weight, 2),
            degrees(stride.knee.highestAngle),
            fixed(1e3 * stride.clearance, 0),
            fixed(stride.pushOff.work, 1),
          ]),
        ),
      );
  }
  const own = walks.every(({ scenario }) => scenario.hangs !== undefined) ? [] : SCENARIO_NOTES;
  parts.push(list([...new Set(walks.flatMap(({ notes }) => notes)), ...own]), CAUTION);
  return parts.join('\n\n');
}

/** How the joints of a leg that hangs follow, and what that takes; of its last stride. */
function followed(strides: readonly WalkStride[]): string[] {
  const last = strides.at(-1);
  if (last === undefined) return [];
  const { cells, returned, shared } = last.energy;
  return [
    table(
      [
        { head: 'joint', align: 'left' },
        { head: 'off, RMS', unit: '°' },
        { head: 'late', unit: 'ms' },
        { head: 'torque', unit: 'N·m' },
        { head: 'fastest', unit: '°/s' },
        { head: 'peak', unit: 'A' },
        { head: 'RMS', unit: 'A' },
        { head: 'at current limit', unit: '%' },
        { head: 'at bus limit', unit: '%' },
        { head: 'gives', unit: 'J' },
        { head: 'takes', unit: 'J' },
      ],
      (['knee', 'ankle'] as const).map((name) => {
        const joint = last[name];
        return [
          name,
          fixed(degFromRad(joint.error as Rad), 1),
          fixed(1e3 * joint.lag, 0),
          `${fixed(joint.lowestTorque, 0)} … ${fixed(joint.highestTorque, 0)}`,
          degrees(joint.fastest),
          fixed(joint.peakCurrent, 1),
          fixed(joint.rmsCurrent, 1),
          fixed(100 * joint.atCurrentLimit, 0),
          fixed(100 * joint.atBusLimit, 0),
          fixed(joint.positiveWork, 1),
          fixed(-joint.negativeWork, 1),
        ];
      }),
    ),
    paragraph(
      `The last stride of ${strides.length}: ${fixed(cells, 1)} J out of the cells, what comes back taken off; ${fixed(returned, 1)} J back; ${fixed(shared, 1)} J from one joint to the other.`,
    ),
  ];
}

/** One stretch: what each joint gave, what the other leg and the guide carried, and the states of the controller. */
function stretched({ strides, mass, weight, log, passed }: Walked): string[] {
  const [whole] = strides;
  if (whole === undefined) return [];
  const other = carried(log);
  return [
    table(
      [
        { head: 'joint', align: 'left' },
        { head: 'torque', unit: 'N·m/kg' },
        { head: 'bends to', unit: '°' },
        { head: 'off, RMS', unit: '°' },
        { head: 'gives', unit: 'J/kg' },
        { head: 'takes', unit: 'J/kg' },
        { head: 'peak', unit: 'A' },
        { head: 'at a limit', unit: '%' },
      ],
      (['knee', 'ankle'] as const).map((name) => {
        const joint = whole[name];
        return [
          name,
          `${fixed(joint.lowestTorque / mass, 2)} … ${fixed(joint.highestTorque / mass, 2)}`,
          degrees(joint.highestAngle),
          fixed(degFromRad(joint.error as Rad), 1),
          fixed(joint.positiveWork / mass, 2),
          fixed(-joint.negativeWork / mass, 2),
          fixed(joint.peakCurrent, 1),
          fixed(100 * (joint.atCurrentLimit + joint.atBusLimit), 0),
        ];
      }),
    ),
    paragraph(
      `On this leg at most ${fixed(whole.up / weight, 2)} body weights; the other leg gives up to ${fixed(other.most / weight, 2)}, and the guide, which is nobody’s leg, between ${fixed(other.guideLeast / weight, 2)} and ${fixed(other.guideMost / weight, 2)}, ${fixed(whole.guide / weight, 2)} RMS. The hip does ${fixed(whole.hip.positiveWork, 0)} J.`,
    ),
    ...(passed === undefined ? [] : [statesTable(passed, log, mass, weight)]),
  ];
}

/** What the knee did in each state, and what the other leg and the guide had to carry meanwhile. */
function statesTable(
  passed: NonNullable<Walked['passed']>,
  log: WalkLog,
  mass: number,
  weight: number,
): string {
  const y = (row: number, place: number): number => log.table[row * LOG_WIDTH + place]!;
  return table(
    [
      { head: 'state', align: 'left' },
      { head: 'from', unit: 's' },
      { head: 'knee', unit: '°' },
      { head: 'knee torque', unit: 'N·m/kg' },
      { head: 'this leg', unit: 'body weights' },
      { head: 'other leg', unit: 'body weights' },
      { head: 'guide', unit: 'body weights' },
    ],
    passed.map(({ state, time }, k) => {
      const from = Math.round(time / log.period);
      const to = Math.min(log.rows, Math.round((passed[k + 1]?.time ?? Infinity) / log.period));
      const of = (place: number, by: number, digits: number): string =>
        range(
          Array.from({ length: Math.max(0, to - from) }, (_, i) => y(from + i, place) / by),
          digits,
        );
      return [
        state,
        fixed(time, 2),
        of(LOG.knee, Math.PI / 180, 0),
        of(LOG.kneeTorque, mass, 2),
        of(LOG.up, weight, 2),
        of(LOG.other, weight, 2),
        of(LOG.guide, weight, 2),
      ];
    }),
  );
}

/** N: most that the other leg gives, and what the guide does, over all rows. */
function carried({ table: rows, rows: count }: WalkLog) {
  let [most, guideLeast, guideMost] = [0, 0, 0];
  for (let i = 0; i < count; i++) {
    most = Math.max(most, rows[i * LOG_WIDTH + LOG.other]!);
    guideLeast = Math.min(guideLeast, rows[i * LOG_WIDTH + LOG.guide]!);
    guideMost = Math.max(guideMost, rows[i * LOG_WIDTH + LOG.guide]!);
  }
  return { most, guideLeast, guideMost };
}

function logCsv(log: WalkLog): string {
  return csv(
    LOG_COLUMNS,
    Array.from({ length: log.rows }, (_, i) => walkLogRow(log, i)),
  );
}
