import {
  type DrivenJoint,
  degFromRad,
  type JointPowerLoss,
  LANDS_BENT,
  type LegPackOpen,
  type LossState,
  type LossVerdict,
  type PhaseShort,
  type Rad,
  SLOW_YIELD,
  type TradeRow,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { degPerSecond } from './demand-summary.ts';
import { fixed, GAP, significant } from './number-text.ts';
import { paragraph } from './paragraph.ts';
import { table } from './table.ts';

type Unknown = { readonly openBecause: string };

/** Everything the verb tells. */
export interface LossReport {
  readonly joints: readonly (readonly [DrivenJoint, JointPowerLoss | Unknown])[];
  /** Id of the task that is looked at closely. */
  readonly closer: string | undefined;
  readonly trade: readonly TradeRow[] | Unknown;
  readonly packOpen: LegPackOpen | Unknown;
}

const MARKS: { readonly [verdict in LossVerdict]: string } = {
  holds: '·',
  yields: 'y',
  'gives way': 'X',
  straightens: 's',
  'swings through': '·',
  'lands bent': 'B',
  unknown: '?',
};
const BAD: readonly LossVerdict[] = ['gives way', 'lands bent'];

const speed = (radPerSecond: number): string => fixed(degPerSecond(radPerSecond), 0);
/** A yield speed; beyond the yardstick of a knee that nothing holds it has no meaning, only that bound. */
const gives = (radPerSecond: number, freeFold: number | undefined): string =>
  freeFold !== undefined && radPerSecond > freeFold ? `> ${speed(freeFold)}` : speed(radPerSecond);
const degrees = (angle: number | undefined): string =>
  angle === undefined ? GAP : fixed(degFromRad(angle as Rad), 0);
const shortText = (short: PhaseShort): string =>
  short === 'open' ? 'open' : short === 0 ? 'shorted' : `shorted through ${significant(short)} Ω each`;

/** One line first: how many of the instants looked at have no safe answer, and the bus. */
export function powerLossVerdict({ joints, packOpen }: LossReport): string {
  if (joints.length === 0) return 'This leg drives no joint: no power is lost.';
  const told = joints.map(([joint, loss]) => {
    if ('openBecause' in loss) return { bad: false, known: false, says: `${joint} not known` };
    const states = loss.tasks.flatMap(({ states: all }) => all);
    const counts = BAD.map(
      (verdict) => [verdict, states.filter((s) => s.verdict === verdict).length] as const,
    )
      .filter(([, count]) => count > 0)
      .map(([verdict, count]) => `${verdict} at ${count}`);
    const says =
      counts.length === 0 ? `none of ${states.length}` : `${counts.join(' and ')} of ${states.length}`;
    const known = states.every(({ verdict }) => verdict !== 'unknown');
    return { bad: counts.length > 0, known, says: `${joint} ${says} instants` };
  });
  const bus = busVerdict(packOpen);
  const word =
    told.some(({ bad }) => bad) || bus.bad
      ? 'Not safe at every instant'
      : told.every(({ known }) => known) && bus.known
        ? 'No instant looked at is past saving'
        : 'Not known at every instant';
  return `${word}: ${told.map(({ says }) => says).join('; ')}; ${bus.says}.`;
}

function busVerdict(open: LossReport['packOpen']): { bad: boolean; known: boolean; says: string } {
  const highest = 'tasks' in open ? open.tasks[0]?.bus.voltage : undefined;
  if ('openBecause' in open || highest === undefined || open.beyondReach.length > 0)
    return { bad: false, known: false, says: 'bus with the pack open not known' };
  const limit = open.overVoltage;
  return {
    bad: limit !== undefined && highest > limit,
    known: limit !== undefined,
    says: `bus with the pack open ${significant(highest)} V, limit ${limit === undefined ? 'unknown' : `${significant(limit)} V`}`,
  };
}

/** Each joint over the strides, one task closely, the trade, the pack; cautions once. */
export function powerLossText(report: LossReport): string {
  if (report.joints.length === 0) return 'A passive joint is compared in the demand: striderule demand show.';
  const knee = report.joints.find(([joint]) => joint === 'knee')?.[1];
  return [
    ...report.joints.map(([joint, loss]) =>
      'openBecause' in loss
        ? paragraph(`${joint}: not predicted, ${loss.openBecause}.`)
        : jointText(joint, loss, report.closer),
    ),
    knee === undefined
      ? ''
      : tradeText(report.trade, report.closer, 'tasks' in knee ? knee.freeFold : undefined),
    packText(report.packOpen),
    paragraph(
      'At unchanged thigh, hip and ankle motion, cold winding, steady currents. A knee that is easily back-driven collapses when power is cut in stance, and one that brakes well is locked in swing: cut the power at every part of the stride on a tethered bench, then in an overhead harness, before it happens by itself.',
    ),
    CAUTION,
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

const LEGEND: { readonly [joint in DrivenJoint]: string } = {
  knee: `· holds, or swings through; y yields, at ${speed(SLOW_YIELD)} °/s at most; X gives way, faster; s straightens to its stop; B lands bent, by more than ${degrees(LANDS_BENT)}° over the stride’s own flexion; ? not published; ┃ toe-off`,
  ankle:
    '· holds; y yields; X gives way: as fast as a falling body tips it, or faster; ? not published; ┃ toe-off',
};

function jointText(joint: DrivenJoint, loss: JointPowerLoss, closer: string | undefined): string {
  const peak =
    loss.peak === undefined
      ? 'nothing brakes but drag'
      : `they brake most, ${significant(loss.peak.torque)} N·m, at ${speed(loss.peak.speed)} °/s, and less beyond`;
  const yardstick =
    loss.freeFold === undefined
      ? ''
      : ` A knee that nothing holds folds at ${speed(loss.freeFold)} °/s under a falling body.`;
  const hurt =
    loss.demagnetisationCurrent === undefined
      ? 'above which current the magnets are hurt is not known: add `demagnetisationCurrent`'
      : `the magnets are hurt above ${significant(loss.demagnetisationCurrent)} A`;
  const current =
    loss.current === undefined
      ? ''
      : ` Settled, the short drives up to ${significant(loss.current)} A peak phase in these strides, more in its first milliseconds; ${hurt}.`;
  const wide = Math.max(...loss.tasks.map(({ id }) => id.length));
  const strips = loss.tasks.map(({ id, states, stance }) => {
    const marks = states.map(({ verdict }) => MARKS[verdict]);
    const off = states.filter(({ percent }) => percent <= 100 * stance).length;
    return `${id.padEnd(wide)}  ${marks.slice(0, off).join(' ')} ┃ ${marks.slice(off).join(' ')}`;
  });
  const near = loss.tasks.find(({ id }) => id === closer);
  return [
    paragraph(`${joint}: phases ${shortText(loss.short)}; ${peak}.${yardstick}${current}`),
    `Power lost at each 5 % of the stride\n${strips.join('\n')}\n${paragraph(LEGEND[joint])}`,
    loss.leftOut.length === 0 ? '' : paragraph(`Left out, no ${joint} curve: ${loss.leftOut.join('; ')}.`),
    near === undefined ? '' : `${near.title}, ${joint}\n${stateTable(joint, near.states, loss.freeFold)}`,
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

const WAY: { readonly [joint in DrivenJoint]: readonly [string, string] } = {
  knee: ['bends', 'straightens'],
  ankle: ['up', 'down'],
};

const stateTable = (joint: DrivenJoint, states: readonly LossState[], freeFold: number | undefined): string =>
  table(
    [
      { head: 'at', unit: '%' },
      { head: 'phase', align: 'left' },
      { head: 'load', unit: 'N·m' },
      { head: 'which', align: 'left' },
      { head: 'brakes', unit: 'N·m at its speed' },
      { head: 'gives', unit: '°/s' },
      ...(joint === 'knee' ? [{ head: 'left at contact', unit: '°, over its own' }] : []),
      { head: 'verdict', align: 'left' },
    ],
    states.map((s) => [
      fixed(s.percent, 0),
      s.phase,
      significant(Math.abs(s.load)),
      Number.isNaN(s.load) ? GAP : WAY[joint][s.load >= 0 ? 0 : 1],
      significant(s.brake),
      gives(s.yieldSpeed, freeFold),
      ...(joint === 'knee' ? [degrees(s.flexionLeft)] : []),
      s.verdict,
    ]),
  );

function tradeText(
  trade: LossReport['trade'],
  closer: string | undefined,
  freeFold: number | undefined,
): string {
  if ('openBecause' in trade)
    return paragraph(`Trade in the knee’s short: not predicted, ${trade.openBecause}.`);
  const both = trade.filter(({ servesStance, servesSwing }) => servesStance && servesSwing);
  const verdict =
    both.length === 0
      ? 'No single value serves both: what is safe depends on where in the stride power is lost.'
      : `Both are served by ${both.map(({ short }) => (short === 'open' ? 'open phases' : `${significant(short)} Ω`)).join(', ')}.`;
  const yes = (served: boolean): string => (served ? 'yes' : 'no');
  return [
    `Trade in the knee’s short, ${closer}: ${verdict}`,
    table(
      [
        { head: 'added', unit: 'Ω each phase' },
        { head: 'gives in stance', unit: '°/s' },
        { head: 'serves', unit: `≤ ${speed(SLOW_YIELD)} °/s` },
        { head: 'left at contact', unit: '°, over its own' },
        { head: 'lost at', unit: '%' },
        { head: 'serves', unit: `≤ ${degrees(LANDS_BENT)}°` },
        { head: 'extends in', unit: 's, from its deepest' },
      ],
      trade.map((row) => [
        row.short === 'open' ? 'open' : row.short === 0 ? '0' : significant(row.short),
        gives(row.yieldSpeed, freeFold),
        yes(row.servesStance),
        degrees(row.flexionLeft),
        fixed(row.lostAt, 0),
        yes(row.servesSwing),
        significant(row.extensionTime),
      ]),
    ),
    'Both thresholds are our own choice: half a second until the other foot is down, and a landing with 10° more flexion.',
  ].join('\n');
}

function packText(open: LossReport['packOpen']): string {
  if ('openBecause' in open) return paragraph(`Pack opening: not predicted, ${open.openBecause}.`);
  const sized =
    open.resistorFor === undefined
      ? ''
      : ` Any brake resistor up to ${significant(open.resistorFor)} Ω keeps the bus at its threshold in all of them.`;
  const left = [
    open.leftOut.length === 0 ? '' : `Left out, no moments of every joint: ${open.leftOut.join('; ')}.`,
    open.beyondReach.length === 0
      ? ''
      : `Not known, beyond what the motor gives: ${open.beyondReach.join('; ')}.`,
  ].filter((part) => part !== '');
  return [
    paragraph(
      `Pack opening while braking, both joints together, ${significant(1e3 * open.capacitance)} mF at ${significant(open.voltage)} V.${sized}`,
    ),
    table(
      [
        { head: 'task', align: 'left' },
        { head: 'opens', unit: '%' },
        { head: 'returned', unit: 'J' },
        { head: 'bus', unit: 'V' },
        { head: 'no resistor', unit: 'V' },
        { head: 'returned', unit: 'W at most' },
        { head: 'of the resistor’s', unit: '×' },
        { head: 'on', unit: '% of stride' },
      ],
      open.tasks.map(({ id, opensAt, bus, resistorLoad, resistorDuty }) => [
        id,
        fixed(opensAt, 0),
        significant(bus.energy),
        significant(bus.voltage),
        significant(bus.withoutResistor),
        significant(bus.peakReturn),
        significant(resistorLoad),
        fixed(resistorDuty === undefined ? undefined : 100 * resistorDuty, 1),
      ]),
    ),
    ...left.map((text) => paragraph(text)),
  ].join('\n');
}
