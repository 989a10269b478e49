import type { DrivenJoint, EnvelopeMargin, LegEnergy, NoEnergy, TaskReport } from '@striderule/engine';
import { busText } from './bus-text.ts';
import { CAUTION } from './caution.ts';
import { fixed, GAP, significant } from './number-text.ts';
import { list } from './paragraph.ts';
import { table } from './table.ts';

const joule = (value: number): string => fixed(value, 1);
/** Where in the stride a sample stands; a hold has no place. */
const at = ({ kind, energy }: TaskReport, index: number): string =>
  kind === 'hold' ? GAP : `${fixed((100 * index) / (energy.asked.length - 1), 1)} %`;
const known = (margin: EnvelopeMargin | NoEnergy | undefined): EnvelopeMargin | undefined =>
  margin === undefined || 'openBecause' in margin ? undefined : margin;
const margins = (task: TaskReport): readonly (readonly [DrivenJoint, EnvelopeMargin])[] =>
  (Object.keys(task.margins) as DrivenJoint[]).flatMap((joint) => {
    const margin = known(task.margins[joint]);
    return margin === undefined ? [] : [[joint, margin] as const];
  });

/** One line first: which limits of pack and envelope are broken, and where worst. */
export function energyVerdict(leg: LegEnergy | NoEnergy): string {
  if ('openBecause' in leg) return `Not known: ${leg.openBecause}.`;
  const { tasks, bus } = leg;
  if (tasks.length === 0) return 'Not known: no task has a curve with moments at every driven joint.';
  const most = (of: (task: TaskReport) => number): TaskReport => tasks.toSorted((a, b) => of(b) - of(a))[0]!;
  const broken: string[] = [];
  const drawnBy = ({ hot, drawnCurrent }: TaskReport): number =>
    Math.max(drawnCurrent.value, 'cells' in hot ? hot.drawnCurrent : 0);
  const drawn = most(drawnBy);
  if (bus.dischargeLimit !== undefined && drawnBy(drawn) > bus.dischargeLimit)
    broken.push(
      `${drawnBy(drawn) > drawn.drawnCurrent.value ? 'hot, ' : ''}the pack gives ${significant(drawnBy(drawn))} A of ${significant(bus.dischargeLimit)} A (${drawn.id})`,
    );
  const charged = most((task) => task.chargeCurrent.value);
  if (charged.chargeCurrent.value > bus.chargeLimit)
    broken.push(
      `the pack is charged with ${significant(charged.chargeCurrent.value)} A of ${significant(bus.chargeLimit)} A (${charged.id})`,
    );
  const full = most((task) => task.full.share);
  if (full.full.share > 1)
    broken.push(`with a full pack the windings cannot burn what the joints return (${full.id})`);
  const outside = tasks
    .flatMap((task) => margins(task).map(([joint, margin]) => ({ task, joint, margin })))
    .sort((a, b) => a.margin.torque - b.margin.torque)[0];
  if (outside !== undefined && outside.margin.torque < 1)
    broken.push(
      `hot, the ${outside.joint} has ${significant(outside.margin.torque)}× of the torque it needs (${outside.task.id})`,
    );
  const unknown = bus.dischargeLimit === undefined ? ' No discharge limit is known.' : '';
  return broken.length === 0
    ? `Within the limits of pack, bus and envelope, as far as tasks have curves.${unknown}`
    : `Beyond a limit: ${broken.join('; ')}.${unknown}`;
}

/** All tasks, or one in detail: energy, where it goes, margins on the sagging bus, what limits charging; cautions. */
export function energyText(leg: LegEnergy | NoEnergy, only: string | undefined): string {
  if ('openBecause' in leg) return CAUTION;
  const tasks = leg.tasks.filter(({ id }) => only === undefined || id === only);
  const left = leg.leftOut.filter(({ id }) => only === undefined || id === only);
  const strides = tasks.filter(({ kind }) => kind === 'stride');
  const holds = tasks.filter(({ kind }) => kind === 'hold');
  return [
    strides.length === 0 ? '' : strideTable(strides),
    strides.length === 0
      ? ''
      : `Where it goes, J a stride; the sum is what the cells give\n${balance(strides)}`,
    ...(only === undefined ? [] : strides.map(jointTable)),
    holds.length === 0 ? '' : holdText(holds),
    tasks.length === 0
      ? ''
      : `Envelope with winding and magnets at the winding’s limit, on the bus as it sags\n${envelope(tasks)}`,
    left.length === 0
      ? ''
      : `No energy:\n${list(left.map(({ title, openBecause }) => `${title}: ${openBecause}.`))}`,
    only === undefined ? scheduleText(leg) : '',
    busText(leg),
    CAUTION,
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

function strideTable(tasks: readonly TaskReport[]): string {
  return table(
    [
      { head: 'task', align: 'left' },
      { head: 'drawn', unit: 'J' },
      { head: 'returned', unit: 'J' },
      { head: 'net', unit: 'J' },
      { head: 'net, hot', unit: 'J' },
      { head: 'shared', unit: 'J' },
      { head: 'lowest bus', unit: 'V' },
      { head: 'at' },
      { head: 'out of pack', unit: 'A' },
      { head: 'hot', unit: 'A' },
      { head: 'into pack', unit: 'A' },
      { head: 'strides', unit: 'a charge' },
      { head: 'range', unit: 'km' },
    ],
    tasks.map((task) => [
      task.id,
      joule(task.energy.drawn),
      joule(task.energy.returned),
      joule(task.energy.cells),
      'cells' in task.hot ? joule(task.hot.cells) : GAP,
      joule(task.energy.given[0] + task.energy.given[1]),
      fixed(task.lowestVoltage.value, 1),
      at(task, task.lowestVoltage.index),
      fixed(task.drawnCurrent.value, 1),
      'cells' in task.hot ? fixed(task.hot.drawnCurrent, 1) : GAP,
      fixed(task.chargeCurrent.value, 1),
      fixed(task.strides, 0),
      fixed(task.range === undefined ? undefined : task.range / 1000, 1),
    ]),
  );
}

type Term = readonly [
  name: string,
  of: (energy: TaskReport['energy'], joints: TaskReport['energy']['joints']) => number,
];

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
const TERMS: readonly Term[] = [
  ['mechanical', (_, joints) => sum(joints.map((j) => j.mechanical))],
  ['stored', (_, joints) => sum(joints.map((j) => j.kinetic + j.spring))],
  ['copper', (_, joints) => sum(joints.map((j) => j.copper))],
  ['drag', (_, joints) => sum(joints.map((j) => j.drag))],
  ['mesh', (_, joints) => sum(joints.map((j) => j.mesh))],
  ['friction', (_, joints) => sum(joints.map((j) => j.outputFriction))],
  ['bridge', (_, joints) => sum(joints.map((j) => j.conduction + j.switching))],
  ['idle', (_, joints) => sum(joints.map((j) => j.quiescent))],
  ['pack', (energy) => energy.packResistance],
  ['resistor', (energy) => energy.brakeResistor],
  ['burnt', (energy) => energy.windings],
  ['cells', (energy) => energy.cells],
];

function balance(tasks: readonly TaskReport[]): string {
  return table(
    [
      { head: 'task', align: 'left' },
      ...TERMS.map(([head]) => ({ head })),
      { head: 'left over', unit: 'rounding' },
    ],
    tasks.map(({ id, energy }) => [
      id,
      ...TERMS.map(([, of]) => joule(of(energy, energy.joints))),
      significant(energy.residual, 1),
    ]),
  );
}

/** One task, joint by joint. */
function jointTable(task: TaskReport): string {
  const { energy } = task;
  const names = Object.keys(task.margins);
  const row = (name: string, of: (joint: TaskReport['energy']['joints'][number]) => number): string[] => [
    name,
    ...energy.joints.map((joint) => fixed(of(joint), 2)),
  ];
  const [there, back] = energy.given;
  const shared =
    names.length < 2
      ? ''
      : `\nThe ${names[0]} gives the ${names[1]} ${joule(there)} J and gets ${joule(back)} J: on buses of their own the joints would draw ${joule(sum(energy.joints.map((j) => j.drawn)))} J and return ${joule(sum(energy.joints.map((j) => j.returned)))} J.`;
  return `${task.id}, joint by joint, J\n${table(
    [{ head: '', align: 'left' }, ...names.map((head) => ({ head }))],
    [
      row('mechanical, delivered less taken', (j) => j.mechanical),
      row('rotor, gears and spring, stored', (j) => j.kinetic + j.spring),
      row('copper', (j) => j.copper),
      row('motor drag', (j) => j.drag),
      row('mesh', (j) => j.mesh),
      row('output friction', (j) => j.outputFriction),
      row('bridge, conducting', (j) => j.conduction),
      row('bridge, switching', (j) => j.switching),
      row('idle', (j) => j.quiescent),
      row('drawn from the bus', (j) => j.drawn),
      row('returned to the bus', (j) => j.returned),
      row('taken while braking', (j) => j.braking.taken),
      row('copper meanwhile', (j) => j.braking.copper),
    ],
  )}${shared}`;
}

const holdText = (tasks: readonly TaskReport[]): string =>
  tasks
    .map(
      ({ id, energy, hot }) =>
        `${id}: ${significant(energy.cells / energy.time)} W from the cells${'cells' in hot ? `, ${significant(hot.cells / energy.time)} W hot` : ''}, for ${fixed(energy.time / 60, 0)} min ${significant(energy.cells / 3600)} W·h.`,
    )
    .join('\n');

function envelope(tasks: readonly TaskReport[]): string {
  const rows = tasks.flatMap((task) =>
    margins(task).map(([joint, margin]) => [
      task.id,
      joint,
      significant(margin.torque),
      at(task, margin.torqueIndex),
      significant(margin.speed),
      at(task, margin.speedIndex),
      margin.outside === 0
        ? 'inside'
        : `${fixed(1000 * margin.outside * task.energy.time, 0)} ms, ${fixed(100 * margin.outside, 1)} %`,
    ]),
  );
  if (rows.length === 0) {
    const why = Object.values(tasks[0]!.margins).find(
      (margin) => margin !== undefined && 'openBecause' in margin,
    );
    return why !== undefined && 'openBecause' in why ? `Not known: ${why.openBecause}.` : 'Not known.';
  }
  return table(
    [
      { head: 'task', align: 'left' },
      { head: 'joint', align: 'left' },
      { head: 'torque margin', unit: 'at that speed' },
      { head: 'at' },
      { head: 'speed margin', unit: 'at that torque' },
      { head: 'at' },
      { head: 'outside', unit: 'of a stride' },
    ],
    rows.map((row, k) => (rows[k - 1]?.[0] === row[0] ? ['', ...row.slice(1)] : row)),
  );
}

function scheduleText({ schedule, charge }: LegEnergy): string {
  const { energy, time, leftOut } = schedule;
  if (time === 0) return '';
  const without = leftOut.length === 0 ? '' : `; without, no energy known: ${leftOut.join(', ')}`;
  const share = charge === undefined ? '' : `, ${fixed((100 * energy) / charge, 0)} % of one charge`;
  return `Schedule: ${significant(energy / 3600)} W·h over ${fixed(time / 60, 0)} min${share}${without}.`;
}
