import type {
  DrivenJoint,
  JointDrive,
  RatioCandidate,
  RatioFact,
  RatioScan,
  StudyInput,
  Tightest,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed, GAP, significant } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { csv, table } from './table.ts';

/** One joint with the scan of each motor, and what its strides say of the ratio. */
export interface JointScan {
  readonly joint: DrivenJoint;
  readonly scans: RatioScan[];
  readonly optimum: RatioFact | undefined;
}

const ratioText = (ratio: number): string => `${significant(ratio)}:1`;
const placeOf = ({ limit, id }: Tightest): string => `${limit}, ${id}`;
/** `3.2 % of torque, walk-fast`: how much is lacking. */
const lacking = ({ limit, margin, id }: Tightest): string =>
  margin === 0 ? `all of ${limit}, ${id}` : `${significant((1 - margin) * 100, 2)} % of ${limit}, ${id}`;

/** The motor with the smallest ratio that carries every task, of those that have one. */
const bestOf = (scans: readonly RatioScan[]): RatioScan | undefined =>
  scans
    .filter(({ smallest }) => smallest?.candidate !== undefined)
    .sort((a, b) => a.smallest!.ratio - b.smallest!.ratio)[0];

/** One line first: the smallest ratio that carries every covered task, and what is tightest there. */
export function scanVerdict(joints: readonly JointScan[]): string {
  if (joints.length === 0) return 'This leg drives no joint: there is no ratio to choose.';
  const told = joints.map(({ joint, scans }) => {
    const best = bestOf(scans);
    const motor = scans.length > 1 && best !== undefined ? ` with ${best.motor}` : '';
    if (best?.smallest !== undefined)
      return `${joint} ${ratioText(best.smallest.ratio)}${motor}, tightest ${placeOf(best.smallest.tightest)}`;
    if (scans.every(({ smallest }) => smallest === undefined))
      return `${joint} not known, no task asks anything`;
    return `${joint} none${scans.length > 1 ? `, with any of ${scans.length} motors` : ''}`;
  });
  return `Smallest ratio that carries every covered task: ${told.join('; ')}.`;
}

/** Each joint: motors, ratios, near misses, heat, the optimum; notes and cautions once. */
export function scanText(input: StudyInput, joints: readonly JointScan[]): string {
  if (joints.length === 0) return 'A passive joint is compared in the demand: striderule demand show.';
  return [...joints.flatMap((joint) => jointParts(joint)), list(notes(input, joints)), CAUTION].join('\n\n');
}

function jointParts({ joint, scans, optimum }: JointScan): string[] {
  const best = bestOf(scans) ?? scans[0]!;
  const shown = best.smallest?.candidate ?? best.candidates.find(({ costs }) => costs.meshSpeed === 1);
  return [
    ...(scans.length > 1 ? [motorTable(joint, scans)] : []),
    ratioTable(joint, best),
    ...(shown === undefined ? [] : [taskTable(joint, best.motor, shown)]),
    missText(joint, scans),
    ...heatText(joint, best),
    ...(best.own && optimum !== undefined
      ? [
          paragraph(
            `${joint}: least rms torque without friction lies at ${ratioText(optimum.optimum)}. It is a fact of the strides and not the choice: rotors are light, so it is flat and high, where no hand moves the joint and no motor turns fast enough.`,
          ),
        ]
      : []),
    ...(best.unknown.length === 0
      ? []
      : [paragraph(`${joint}: nothing is asked by ${best.unknown.join('; ')}, as far as is published.`)]),
  ];
}

/** Every motor at its smallest ratio, or what it lacks. */
function motorTable(joint: string, scans: readonly RatioScan[]): string {
  const rows = [...scans].sort((a, b) => (a.smallest?.ratio ?? Infinity) - (b.smallest?.ratio ?? Infinity));
  return `${joint}: motors at the smallest ratio that carries every task\n${table(
    [
      { head: 'motor', align: 'left' },
      { head: 'ratio' },
      { head: 'tightest', align: 'left' },
      { head: 'winding', unit: 'limit ÷ rise' },
      { head: 'breakaway', unit: 'N·m' },
      { head: 'back-drive', unit: 'N·m' },
      { head: 'inertia', unit: 'kg·m²' },
      { head: 'copper', unit: 'W' },
      { head: 'gear speed', unit: '× the leg’s' },
    ],
    rows.map(({ motor, own, smallest }) => [
      own ? `${motor} (the leg’s)` : motor,
      smallest?.candidate === undefined ? 'none' : ratioText(smallest.ratio),
      smallest === undefined
        ? GAP
        : smallest.candidate !== undefined
          ? placeOf(smallest.tightest)
          : smallest.torqueFrom === Number.POSITIVE_INFINITY
            ? `no torque at any ratio, ${smallest.tightest.id}`
            : `at ${ratioText(smallest.torqueFrom)} lacks ${lacking(smallest.tightest)}`,
      ...(smallest?.candidate === undefined ? [GAP, GAP, GAP, GAP, GAP, GAP] : costCells(smallest.candidate)),
    ]),
  )}`;
}

const costCells = ({ winding, costs }: RatioCandidate): string[] => [
  winding === undefined ? GAP : winding.margin === 0 ? 'runaway' : significant(winding.margin, 2),
  fixed(costs.breakaway, 2),
  fixed(costs.backDrive, 2),
  significant(costs.reflectedInertia),
  significant(costs.copper),
  fixed(costs.meshSpeed, 2),
];

/** The ratios looked at, with the smallest that carries among them. */
function ratioTable(joint: string, { motor, candidates, smallest }: RatioScan): string {
  const exact = smallest?.candidate;
  const rows = [...candidates, ...(exact === undefined ? [] : [exact])].sort((a, b) => a.ratio - b.ratio);
  return `${joint}: ${motor} at each ratio\n${table(
    [
      { head: 'ratio' },
      { head: 'carries', align: 'left' },
      { head: 'least margin', unit: 'limit ÷ need' },
      { head: 'where', align: 'left' },
      { head: 'winding', unit: 'limit ÷ rise' },
      { head: 'breakaway', unit: 'N·m' },
      { head: 'back-drive', unit: 'N·m' },
      { head: 'inertia', unit: 'kg·m²' },
      { head: 'copper', unit: 'W' },
      { head: 'gear speed', unit: '× the leg’s' },
      { head: 'rms', unit: 'N·m motor' },
      { head: '', align: 'left' },
    ],
    rows.map((c) => [
      ratioText(c.ratio),
      c.tightest === undefined ? GAP : c.carries ? 'yes' : 'no',
      c.tightest === undefined ? GAP : fixed(c.tightest.margin, 2),
      c.tightest === undefined ? GAP : placeOf(c.tightest),
      ...costCells(c),
      significant(c.costs.rmsTorque),
      c === exact ? '← smallest' : c.costs.meshSpeed === 1 ? '← the leg' : '',
    ]),
  )}`;
}

/** The three that fail by least, over all motors, and by how much. */
function missText(joint: string, scans: readonly RatioScan[]): string {
  const misses = scans
    .flatMap(({ motor, candidates }) =>
      candidates.flatMap(({ ratio, carries, tightest }) =>
        carries || tightest === undefined ? [] : [{ motor, ratio, tightest }],
      ),
    )
    .sort((a, b) => b.tightest.margin - a.tightest.margin)
    .slice(0, 3);
  if (misses.length === 0) return `${joint}: no ratio looked at fails.`;
  const told = misses.map(
    ({ motor, ratio, tightest }) =>
      `${ratioText(ratio)}${scans.length > 1 ? ` with ${motor}` : ''} lacks ${lacking(tightest)}`,
  );
  return paragraph(`${joint}, nearest that fail: ${told.join('; ')}.`);
}

/** Whether a ratio that carries the tasks also bears each for ever. */
function heatText(joint: string, { candidates, forEver, heatOpen }: RatioScan): string[] {
  if (heatOpen !== undefined) return [paragraph(`${joint}: heat is not known, ${heatOpen}.`)];
  if (forEver !== undefined)
    return [
      paragraph(
        `${joint}, heat: from ${ratioText(forEver.ratio)} on a ratio that carries every task keeps the winding below its limit in each task of the schedule, were it done for ever.`,
      ),
    ];
  const [coolest] = candidates
    .filter(({ carries, winding }) => carries && winding !== undefined)
    .sort((a, b) => b.winding!.margin - a.winding!.margin);
  if (coolest === undefined) return [];
  const { margin, id } = coolest.winding!;
  const told =
    margin === 0
      ? 'at every ratio that carries every task the winding runs away in some task of the schedule, were it done for ever'
      : `no ratio looked at that carries every task bears each of the schedule for ever; nearest is ${ratioText(coolest.ratio)}, where ${id} has ${significant(margin, 2)} of the rise it needs`;
  return [
    paragraph(
      `${joint}, heat: ${told}. How long each is done, and what that heats, says striderule drive heat.`,
    ),
  ];
}

/** Limit ÷ need of every task at one ratio. */
function taskTable(joint: string, motor: string, { ratio, tasks }: RatioCandidate): string {
  const cell = (margin: number | undefined): string => (margin === undefined ? GAP : fixed(margin, 2));
  return `${joint}: ${motor} at ${ratioText(ratio)}, limit ÷ need task by task\n${table(
    [
      { head: 'task', align: 'left' },
      { head: 'torque' },
      { head: 'speed' },
      { head: 'gears' },
      { head: 'winding, for ever' },
    ],
    tasks.map(({ id, torque, speed, gears, winding }) => [
      id,
      cell(torque),
      cell(speed),
      cell(gears),
      winding === 0 ? 'runaway' : cell(winding),
    ]),
  )}`;
}

function notes(input: StudyInput, joints: readonly JointScan[]): string[] {
  const { leg, catalogue } = input;
  const gears = joints.map(({ joint }) => gearText(joint, leg.joints[joint]!)).join('; ');
  const leftOut = catalogue?.leftOut ?? [];
  return [
    `The same gears at every ratio, those of the leg file: ${gears}. Real gears change with ratio and stages: judge the chosen ratio again with its own.`,
    leg.bus?.resistance === undefined
      ? 'The bus is taken stiff: the leg file gives no `resistance` of it.'
      : `The bus sags from ${significant(leg.busVoltage)} V behind ${significant(leg.bus.resistance)} Ω under this joint’s own power; the other joint and the electronics’ losses are not in it.`,
    'Torque is that of the motor at the current allowed: torque and current are one limit here. Nothing is kept in hand; the ledger’s requirements may ask for more.',
    'Winding: allowed rise ÷ steady rise in the hottest task of the schedule, done for ever. Gear noise goes with gear speed: the same teeth mesh that many times as often.',
    ...(joints.some(({ scans }) => scans.some(({ own }) => !own))
      ? [
          'Motors of the catalogue come with its drag and heat path, and with the leg’s electronics: their mass is not in the demand.',
        ]
      : []),
    ...(leftOut.length === 0
      ? []
      : [
          `Motors that the catalogue does not tell enough of: ${leftOut.map(({ name, lacks }) => `${name} (${lacks.join(', ')})`).join('; ')}.`,
        ]),
  ];
}

const gearText = (joint: string, { transmission: t }: JointDrive): string =>
  `${joint} mesh ${fixed(100 * t.drivingEfficiency, 1)} % driving and ${fixed(100 * t.backDrivenEfficiency, 1)} % back-driven, ${significant(t.inputInertia)} kg·m² on the motor side, ${significant(t.outputCoulomb)} N·m output friction`;

/** One row a candidate, SI. */
export function scanCsv(joints: readonly JointScan[]): string {
  return csv(
    [
      'joint',
      'motor',
      'ratio',
      'carries',
      'margin',
      'limit',
      'where',
      'winding_margin',
      'winding_where',
      'breakaway_Nm',
      'backdrive_Nm',
      'reflected_inertia_kgm2',
      'rms_motor_torque_Nm',
      'copper_W',
      'drawn_W',
      'returned_W',
      'motor_speed_rad_per_s',
      'gear_speed_of_leg',
      'least_bus_voltage_V',
    ],
    joints.flatMap(({ joint, scans }) =>
      scans.flatMap(({ motor, candidates, smallest }) =>
        [...candidates, ...(smallest?.candidate === undefined ? [] : [smallest.candidate])]
          .sort((a, b) => a.ratio - b.ratio)
          .map(({ ratio, carries, tightest, winding, costs }) => [
            joint,
            motor,
            ratio,
            carries ? 'yes' : 'no',
            tightest?.margin,
            tightest?.limit,
            tightest?.id,
            winding?.margin,
            winding?.id,
            costs.breakaway,
            costs.backDrive,
            costs.reflectedInertia,
            costs.rmsTorque,
            costs.copper,
            costs.drawn,
            costs.returned,
            costs.motorSpeed,
            costs.meshSpeed,
            costs.busVoltage,
          ]),
      ),
    ),
  );
}
