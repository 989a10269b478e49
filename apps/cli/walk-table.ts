import {
  degFromRad,
  landingVerdict,
  type Rad,
  type WalkCheck,
  type WalkReport,
  type WalkSteady,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed, GAP } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { csv, table } from './table.ts';

const degrees = (x: number, digits = 1): string => fixed(degFromRad(x as Rad), digits);
const name = ({ speed, thigh }: WalkReport): string => `${fixed(speed, 2)} m/s, thigh ${thigh}`;

/** One line: how many walks held, what did not, how well the energy balances. */
export function walkVerdict(reports: readonly WalkReport[]): string {
  const fell = reports.filter((report) => report.fell !== undefined);
  const checks = reports.flatMap((report) => report.checks);
  const held = checks.filter(({ holds }) => holds).length;
  const worst = Math.max(...reports.map(({ audit }) => audit.share));
  const walks = reports.length === 1 ? 'The walk' : `Of ${reports.length} walks`;
  const ended =
    fell.length === 0
      ? `${reports.length === 1 ? 'held' : 'none fell'}`
      : `${reports.length === 1 ? 'ended' : `${fell.length} ended`} before ${reports.length === 1 ? 'its' : 'their'} time`;
  return paragraph(
    `${walks} ${ended}; ${held} of ${checks.length} figures lie where published ones or our lines say; the energy misses at most ${fixed(100 * worst, 3)} % of the work moved.`,
  );
}

/** The walks, what they do to the wearer, what was set against outside, notes, cautions. */
export function walkText(reports: readonly WalkReport[]): string {
  return [
    walkTable(reports),
    wearerTable(reports),
    energyTable(reports),
    ...playTable(reports),
    checkTable(reports),
    ...landingText(reports),
    notes(reports),
    CAUTION,
  ].join('\n\n');
}

const WALK = [
  { head: 'walk', align: 'left' },
  { head: 'strides' },
  { head: 'stride', unit: 's' },
  { head: 'knee off', unit: '° RMS' },
  { head: 'trails', unit: 'ms' },
  { head: 'ankle off', unit: '° RMS' },
  { head: 'trails', unit: 'ms' },
  { head: 'ground', unit: 'N' },
  { head: 'impact', unit: 'N' },
  { head: 'forefoot', unit: 'mm' },
  { head: 'guide', unit: '% weight' },
  { head: 'energy misses', unit: '%' },
] as const;

function walkTable(reports: readonly WalkReport[]): string {
  return [
    'Means of the strides from the third on; off and trails against the stride itself',
    table(
      WALK,
      reports.map((report) => {
        const { steady, audit, weight } = report;
        return [
          name(report),
          report.fell === undefined ? String(steady?.count ?? 0) : `fell at ${fixed(report.fell.time, 1)} s`,
          ...row(steady, (s) => [
            fixed(s.duration, 3),
            degrees(s.kneeError),
            fixed(1e3 * s.kneeLag, 0),
            degrees(s.ankleError),
            fixed(1e3 * s.ankleLag, 0),
            fixed(s.up, 0),
            fixed(s.impact, 0),
            fixed(1e3 * s.clearance, 0),
            fixed((100 * s.guide) / weight, 1),
          ]),
          fixed(100 * audit.share, 3),
        ];
      }),
    ),
  ].join('\n');
}

/** Cells of a walk's means, dashes where it has none. */
const row = (steady: WalkSteady | undefined, cells: (steady: WalkSteady) => string[]): string[] =>
  steady === undefined ? new Array<string>(WALK.length - 3).fill(GAP) : cells(steady);

function wearerTable(reports: readonly WalkReport[]): string {
  return [
    'What it does to the wearer, at unchanged thigh motion; length of the stride: not predicted',
    table(
      [
        { head: 'walk', align: 'left' },
        { head: 'hip gives', unit: 'J' },
        { head: 'takes', unit: 'J' },
        { head: 'flexes with', unit: 'N·m' },
        { head: 'extends with', unit: 'N·m' },
        { head: 'pull-off', unit: 'W' },
        { head: 'socket along', unit: 'N' },
        { head: 'moment', unit: 'N·m' },
        { head: 'push-off', unit: 'J' },
        { head: 'of scheduled', unit: 'J' },
        { head: 'early exits' },
      ],
      reports.map((report) => [
        name(report),
        ...row(report.steady, (s) => [
          fixed(s.hipPositiveWork, 1),
          fixed(s.hipNegativeWork, 1),
          fixed(s.hipFlexion, 0),
          fixed(-s.hipExtension, 0),
          fixed(s.pullOff, 0),
          fixed(s.socketAlong, 0),
          fixed(s.socketMoment, 0),
          fixed(s.pushOff, 1),
          fixed(s.scheduledPushOff, 1),
          Number.isNaN(s.earlyExits) ? GAP : `${s.earlyExits} of ${s.count}`,
        ]),
      ]),
    ),
  ].join('\n');
}

function energyTable(reports: readonly WalkReport[]): string {
  return [
    'Work at the joints, current and energy, a stride',
    table(
      [
        { head: 'walk', align: 'left' },
        { head: 'ankle gives', unit: 'J' },
        { head: 'takes', unit: 'J' },
        { head: 'knee gives', unit: 'J' },
        { head: 'takes', unit: 'J' },
        { head: 'knee current', unit: 'A peak' },
        { head: 'ankle current', unit: 'A peak' },
        { head: 'at a limit', unit: '% time' },
        { head: 'cells', unit: 'J' },
        { head: 'returned', unit: 'J' },
        { head: 'shared', unit: 'J' },
        { head: 'hottest winding', unit: '°C' },
      ],
      reports.map((report) => {
        const last = report.strides.at(-1);
        return [
          name(report),
          ...row(report.steady, (s) => [
            fixed(s.anklePositiveWork, 1),
            fixed(s.ankleNegativeWork, 1),
            fixed(s.kneePositiveWork, 1),
            fixed(s.kneeNegativeWork, 1),
          ]).slice(0, 4),
          last === undefined ? GAP : fixed(last.knee.peakCurrent, 1),
          last === undefined ? GAP : fixed(last.ankle.peakCurrent, 1),
          last === undefined
            ? GAP
            : fixed(
                100 *
                  Math.max(
                    last.knee.atCurrentLimit + last.knee.atBusLimit,
                    last.ankle.atCurrentLimit + last.ankle.atBusLimit,
                  ),
                1,
              ),
          ...row(report.steady, (s) => [fixed(s.cells, 1), fixed(s.returned, 1), fixed(s.shared, 1)]).slice(
            0,
            3,
          ),
          last === undefined ? GAP : fixed(Math.max(last.knee.winding, last.ankle.winding) - 273.15, 1),
        ];
      }),
    ),
  ].join('\n');
}

/** Legs whose gears have no play, and legs without drives, have no row. */
function playTable(reports: readonly WalkReport[]): string[] {
  const rows = reports.flatMap((report) => {
    const { steady } = report;
    if (steady === undefined || (Number.isNaN(steady.kneeMeeting) && Number.isNaN(steady.ankleMeeting)))
      return [];
    return [
      [
        name(report),
        fixed(steady.kneeFlankChanges, 1),
        fixed(steady.kneeMeeting, 1),
        fixed(steady.ankleFlankChanges, 1),
        fixed(steady.ankleMeeting, 1),
      ],
    ];
  });
  if (rows.length === 0) return [];
  return [
    [
      'Play of the gears, a stride: how often the load goes over to the other flank, and what the speed of the hardest meeting of flanks can add to it',
      table(
        [
          { head: 'walk', align: 'left' },
          { head: 'knee changes' },
          { head: 'meets', unit: 'N·m' },
          { head: 'ankle changes' },
          { head: 'meets', unit: 'N·m' },
        ],
        rows,
      ),
    ].join('\n'),
  ];
}

const between = ({ value, low, high, unit, source }: WalkCheck): string =>
  `${fixed(value, 2)} ${unit}, between ${fixed(low, 2)} and ${fixed(high, 2)} (${source})`;

function checkTable(reports: readonly WalkReport[]): string {
  const missed = reports.flatMap((report) =>
    report.checks
      .filter(({ holds }) => !holds)
      .map((check) => `DOES NOT HOLD at ${name(report)}: ${check.what} ${between(check)}.`),
  );
  const first = reports[0]?.checks ?? [];
  return [
    'Set against outside',
    list([
      ...missed,
      ...(missed.length === 0 ? ['All figures lie inside.'] : []),
      ...first.map(({ what, source }) => `${what}: ${source}.`),
    ]),
  ].join('\n');
}

function notes(reports: readonly WalkReport[]): string {
  const fell = reports.flatMap((report) =>
    report.fell === undefined
      ? []
      : [
          `${name(report)}: after ${fixed(report.fell.time, 2)} s ${report.fell.why}; what came before is in --json.`,
        ],
  );
  return list([
    ...fell,
    ...new Set(reports.flatMap((report) => report.notes)),
    'Thigh prescribed: it does what the stride does, whatever it takes, so the hip is as strong as it must be. Thigh led: a spring and damper of the hip lead it there. The wearer’s own hip lies between, as far as a model knows.',
    'The other leg’s force is the reference’s own, half a stride away, and a weak guide keeps the height of the hip: nobody’s hand does that on the street.',
    reports[0]?.control === 'none'
      ? 'This leg has no controller: stance is told from swing by its load, for the record alone. Knee and foot are our own linear model; the thigh goes as it does for any other leg.'
      : reports[0]?.control === 'study'
        ? 'The controller is the one that the study names, as data, its faults live; elastic gears with their play, no socket that gives.'
        : 'The controller here paces stance by a clock and knows no faults: --control study walks with the study’s own. Elastic gears with their play, no socket that gives.',
    `Same study, same bytes: ${reports.map((report) => report.fingerprint).join(' ')}.`,
  ]);
}

/** Whether the walks of legs without drives land on what was published of users: a line a walk. Nothing for legs that are driven. */
export function landingText(reports: readonly WalkReport[]): string[] {
  const told = reports.flatMap((report) => landingVerdict(report) ?? []);
  return told.length === 0
    ? []
    : [
        list(told),
        list([
          'A leg without drives has no current, heat, battery, schedule or controller: a dash there is not zero.',
        ]),
      ];
}

/** One row a stride, SI units. */
export function walkCsv(reports: readonly WalkReport[]): string {
  return csv(
    [
      'speed_m_s',
      'thigh',
      'stride',
      'time_s',
      'duration_s',
      'knee_error_rad',
      'ankle_error_rad',
      'up_N',
      'impact_N',
      'clearance_m',
      'socket_along_N',
      'socket_moment_Nm',
      'hip_positive_J',
      'hip_negative_J',
      'pull_off_W',
      'push_off_J',
      'exit_phase',
      'ankle_positive_J',
      'cells_J',
      'returned_J',
      'guide_N',
    ],
    reports.flatMap(({ speed, thigh, strides }) =>
      strides.map((s, k) => [
        speed,
        thigh,
        k + 1,
        s.time,
        s.duration,
        s.knee.error,
        s.ankle.error,
        s.up,
        s.impact,
        s.clearance,
        s.socketAlong,
        s.socketMoment,
        s.hip.positiveWork,
        s.hip.negativeWork,
        s.hip.pullOff,
        s.pushOff.work,
        s.pushOff.phase,
        s.ankle.positiveWork,
        s.energy.cells,
        s.energy.returned,
        s.guide,
      ]),
    ),
  );
}
