import { BURDEN_WITHIN, type StudyInput, type WalkReport } from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { heading } from './heading.ts';
import { longWork } from './long-work.ts';
import { quantityOption } from './number-option.ts';
import { fixed, GAP } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { json, out, strong } from './print.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import { csv, table } from './table.ts';
import type { Values } from './values.ts';
import { STEP, speedsOf, stridesOf, THIGHS, walked } from './walk-run.ts';
import { landingText } from './walk-table.ts';

interface LegWalk {
  readonly leg: string;
  readonly ratios: string;
  readonly report: WalkReport;
}

/** `walk compare`: the same walk on several legs of the study. Exit 1 where one fell. */
export async function walkCompare(legs: readonly string[], values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  const [speed] = speedsOf(values, [1.1]);
  const step = quantityOption(values, 'step', 'time') ?? STEP;
  const strides = stridesOf(values);
  const thighs = values.thigh === undefined ? THIGHS : [oneOf('--thigh', values.thigh as string, THIGHS)];
  const studies: { readonly leg: string; readonly input: StudyInput }[] = [];
  for (const leg of legs) studies.push({ leg, input: (await readStudy({ ...values, leg })).input });
  const walks = await longWork('Walking', async (signal, shown) => {
    const made: LegWalk[] = [];
    const all = studies.length * thighs.length;
    for (const { leg, input } of studies)
      for (const thigh of thighs) {
        const told = { signal, shown, from: made.length / all, share: 1 / all };
        const report = await walked(
          input,
          { speed: speed!, thigh, ground: 'treadmill' },
          { step, strides },
          told,
        );
        const ratio = (joint: 'knee' | 'ankle') =>
          String(Number((input.leg.joints[joint]?.transmission.ratio ?? Number.NaN).toPrecision(4)));
        const ratios = report.control === 'none' ? 'no drives' : `${ratio('knee')}/${ratio('ankle')}`;
        made.push({ leg, ratios, report });
      }
    return made;
  });
  const [first] = studies;
  if (values.json)
    out(
      json({
        study: first!.input.name,
        demo: studies.some(({ input }) => input.demo),
        units: 'SI: rad, m, s, N, N·m, J, W, K, A; engine signs; null where not known',
        walks,
      }),
    );
  else if (values.csv) out(compareCsv(walks));
  else out(`${strong(compareVerdict(walks))}\n${heading(first!.input)}\n\n${compareText(walks)}`);
  return walks.some(({ report }) => report.fell !== undefined) ? 1 : 0;
}

/** Which leg asks most and which least of the hip, with the thigh led in the same way. */
function compareVerdict(walks: readonly LegWalk[]): string {
  const { thigh } = walks[0]!.report;
  const of = walks.filter(({ report }) => report.thigh === thigh && report.steady !== undefined);
  if (of.length < 2) return 'Fewer than two legs came through: nothing to compare.';
  const work = ({ report }: LegWalk): number => report.steady!.hipPositiveWork;
  const least = of.reduce((a, b) => (work(b) < work(a) ? b : a));
  const most = of.reduce((a, b) => (work(b) > work(a) ? b : a));
  return paragraph(
    `Thigh ${thigh}: ${most.leg} asks ${fixed(work(most), 1)} J a stride of the hip, ${least.leg} ${fixed(work(least), 1)} J, ${motionText(of)}.`,
  );
}

/** Nobody walks otherwise because of the leg, but for one without drives. */
const motionText = (walks: readonly LegWalk[]): string =>
  walks.some(({ report }) => report.control === 'none')
    ? 'a leg without drives on a thigh motion of its own'
    : 'at unchanged thigh motion';

function compareText(walks: readonly LegWalk[]): string {
  return [
    `At ${fixed(walks[0]!.report.speed, 2)} m/s, ${motionText(walks)}; length of the stride: not predicted`,
    table(
      [
        { head: 'leg', align: 'left' },
        { head: 'knee/ankle', unit: ':1' },
        { head: 'thigh', align: 'left' },
        { head: 'hip gives', unit: 'J' },
        { head: 'takes', unit: 'J' },
        { head: 'pull-off', unit: 'W' },
        { head: 'flexes with', unit: 'N·m' },
        { head: 'socket moment', unit: 'N·m' },
        { head: 'impact', unit: 'N' },
        { head: 'push-off', unit: 'J' },
        { head: 'of scheduled', unit: 'J' },
        { head: 'forefoot', unit: 'mm' },
        { head: 'cells', unit: 'J' },
        { head: 'figures inside' },
      ],
      walks.map(({ leg, ratios, report }) => {
        const s = report.steady;
        const cells =
          s === undefined
            ? new Array<string>(10).fill(GAP)
            : [
                fixed(s.hipPositiveWork, 1),
                fixed(s.hipNegativeWork, 1),
                fixed(s.pullOff, 0),
                fixed(s.hipFlexion, 0),
                fixed(s.socketMoment, 0),
                fixed(s.impact, 0),
                fixed(s.pushOff, 1),
                fixed(s.scheduledPushOff, 1),
                fixed(1e3 * s.clearance, 0),
                fixed(s.cells, 1),
              ];
        const held = report.checks.filter(({ holds }) => holds).length;
        const inside = report.fell === undefined ? `${held} of ${report.checks.length}` : 'fell';
        return [leg, ratios, report.thigh, ...cells, inside];
      }),
    ),
    burdenText(walks),
    ...landingText(walks.map(({ report }) => report)),
    list([
      'Same wearer, same stride, same way of fitting stance and swing: what differs is the leg file. Where the segments’ masses do not follow the motors’, neither does the hip.',
      'Prescribed and led are a bracket: the wearer’s own hip lies between, as far as a model knows.',
      `Energy misses at most ${fixed(100 * Math.max(...walks.map(({ report }) => report.audit.share)), 3)} % of the work moved.`,
    ]),
    CAUTION,
  ].join('\n\n');
}

/** Whether the tuning burden that is told of each leg beforehand is what it has in the walk. */
function burdenText(walks: readonly LegWalk[]): string {
  const { absolute, share } = BURDEN_WITHIN;
  return [
    'Tuning burden in stance: what the drive adds to the torque asked, as a share of the stride’s own moment, RMS, predicted and walked',
    table(
      [
        { head: 'leg', align: 'left' },
        { head: 'knee/ankle', unit: ':1' },
        { head: 'thigh', align: 'left' },
        { head: 'knee told' },
        { head: 'walked' },
        { head: 'ankle told' },
        { head: 'walked' },
        { head: 'agree', align: 'left' },
      ],
      walks.map(({ leg, ratios, report }) => {
        const { burden, fell, strides } = report;
        const both = [burden?.knee, burden?.ankle];
        const cells = both.flatMap((one) => [fixed(one?.predicted, 3), fixed(one?.walked, 3)]);
        const apart = (['knee', 'ankle'] as const).filter((joint) => burden?.[joint]?.agree === false);
        const verdict =
          fell !== undefined
            ? `fell in stride ${strides.length + 1}`
            : both.every((one) => one === undefined)
              ? 'not known'
              : apart.length === 0
                ? 'yes'
                : `not at the ${apart.join(' and the ')}`;
        return [leg, ratios, report.thigh, ...cells, verdict];
      }),
    ),
    paragraph(
      `They agree within ${absolute} and ${100 * share} % of what was walked, our own line. Where the gait breaks, the prediction says nothing of it.`,
    ),
  ].join('\n\n');
}

function compareCsv(walks: readonly LegWalk[]): string {
  return csv(
    [
      'leg',
      'speed_m_s',
      'thigh',
      'hip_positive_J',
      'hip_negative_J',
      'pull_off_W',
      'socket_moment_Nm',
      'impact_N',
      'push_off_J',
      'scheduled_push_off_J',
      'clearance_m',
      'cells_J',
      'guide_N',
      'knee_burden_predicted',
      'knee_burden_walked',
      'ankle_burden_predicted',
      'ankle_burden_walked',
    ],
    walks.map(({ leg, report: { speed, thigh, steady: s, burden } }) => [
      leg,
      speed,
      thigh,
      s?.hipPositiveWork,
      s?.hipNegativeWork,
      s?.pullOff,
      s?.socketMoment,
      s?.impact,
      s?.pushOff,
      s?.scheduledPushOff,
      s?.clearance,
      s?.cells,
      s?.guide,
      burden?.knee?.predicted,
      burden?.knee?.walked,
      burden?.ankle?.predicted,
      burden?.ankle?.walked,
    ]),
  );
}
