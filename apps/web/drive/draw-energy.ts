import {
  type DrivenJoint,
  type EnergyBands,
  energyBands,
  type JointBands,
  type NoEnergy,
  type StrideDemand,
  taskEnergy,
} from '@striderule/engine';
import type { Moving } from '../design/live-ratio.ts';
import type { Drawn } from '../draw/instrument.tsx';
import { type Mark, mark, round } from '../draw/mark.ts';
import type { Cell } from '../show/csv.ts';
import { spreadLabels } from '../show/labels.ts';
import { fixed } from '../show/number.ts';

/** A stride's energy, and by which joint each of its `joints` is meant. */
export interface EnergyShown extends EnergyBands {
  readonly names: readonly DrivenJoint[];
  readonly lowest: number;
}

/** Energy of one task of a design, cold motors; or why it is not known. */
export function energyShown({ input, design }: Moving, demand: StrideDemand): EnergyShown | NoEnergy {
  const task = taskEnergy(input, design, demand.task.id, 'cold');
  if ('openBecause' in task) return task;
  return {
    ...energyBands(task.energy),
    names: task.known.joints.map(({ joint }) => joint),
    lowest: Math.min(...task.energy.flow.voltage),
  };
}

/** One band at a face of a node: joules, what it is called, and whether energy runs towards the limb or towards the pack. */
interface Band {
  readonly key: string;
  readonly name: string;
  readonly joules: number;
  readonly back: boolean;
}

const out = (key: string, name: string, joules: number): Band => ({ key, name, joules, back: false });
const back = (key: string, name: string, joules: number): Band => ({ key, name, joules, back: true });

/** Where a joint's energy goes at the limb's side, biggest matters first. */
const limbBands = (b: JointBands): Band[] => [
  out('delivered', 'to the limb', b.delivered),
  back('taken', 'from the limb', b.taken),
  out('copper', 'copper', b.copper),
  out('drag', 'drag, iron', b.drag),
  out('mesh', 'mesh', b.mesh),
  out('friction', 'friction', b.friction),
  out('bridge', 'inverter', b.bridge),
  out('idle', 'idle', b.idle),
];

const busBands = (b: JointBands): Band[] => [
  out('fromCells', 'from the cells', b.fromCells),
  out('fromOther', 'from the other joint', b.fromOther),
  back('toOther', 'to the other joint', b.toOther),
  back('toPack', 'towards the pack', b.toPack),
];

const packLosses = (e: EnergyBands): Band[] => [
  out('packResistance', 'pack’s resistance', e.packGiving + e.packTaking),
  out('brakeResistor', 'brake resistor', e.brakeResistor),
  out('windings', 'burnt in windings', e.windings),
];

const sum = (bands: readonly Band[], keep: (band: Band) => boolean = () => true): number =>
  bands.filter(keep).reduce((total, { joules }) => total + joules, 0);

/** Less than this has no width to be seen, J. */
const UNSEEN = 0.05;
const GAP_PX = 3;
const HEAD = 42;
const TOP = 22;
const BETWEEN = 46;
export const energyHeight = (width: number): number => (width < 640 ? 620 : 452);

interface Columns {
  readonly cells: number;
  readonly pack: number;
  readonly bus: number;
  readonly joint: number;
  readonly end: number;
  readonly label: number;
}

const columnsFor = (width: number): Columns =>
  width < 640
    ? { cells: 0, pack: 40, bus: 92, joint: 158, end: 206, label: 211 }
    : { cells: 140, pack: 210, bus: 380, joint: 600, end: 706, label: 714 };

/** px of a face: its bands one under the other, each with a gap. */
const faceHeight = (bands: readonly Band[], scale: number): number =>
  bands.reduce((total, { joules }) => total + (joules < UNSEEN ? 0 : joules * scale + GAP_PX), -GAP_PX);

/** Middle of each band of a face that begins at `top`. */
function stack(bands: readonly Band[], top: number, scale: number): Readonly<Record<string, number>> {
  const at: Record<string, number> = {};
  let y = top;
  for (const { key, joules } of bands) {
    const tall = Math.max(joules, 0) * scale;
    at[key] = y + tall / 2;
    y += joules < UNSEEN ? 0 : tall + GAP_PX;
  }
  return at;
}

/** px of a slat and its gap: how a band is striped. */
const SLAT = 7;

/** One band as wide as its joules between two faces; in slats where it runs back towards the pack. */
function ribbon(
  [x1, y1]: readonly [number, number],
  [x2, y2]: readonly [number, number],
  band: Band,
  scale: number,
  tint: string,
): Mark[] {
  if (band.joules < UNSEEN) return [];
  const half = Math.max(0.4, (band.joules * scale) / 2);
  const edge = (t: number, side: number): string => {
    // the cubic with both controls half-way: level at its ends
    const s = 3 * t * t - 2 * t * t * t;
    const x = x1 + (x2 - x1) * (1.5 * t - 1.5 * t * t + t * t * t);
    return `${round(x)} ${round(y1 + (y2 - y1) * s + side * half)}`;
  };
  const pieces = band.back ? Math.max(2, Math.round((x2 - x1) / SLAT)) : 1;
  const steps = band.back ? 1 : y1 === y2 ? 1 : 24;
  let d = '';
  for (let k = 0; k < pieces; k++) {
    const [from, to] = [k / pieces, (k + (band.back ? 0.66 : 1)) / pieces];
    const at = Array.from({ length: steps + 1 }, (_, i) => from + ((to - from) * i) / steps);
    const upper = at.map((t) => edge(t, -1));
    const lower = at.toReversed().map((t) => edge(t, 1));
    d += `M${[...upper, ...lower].join('L')}Z`;
  }
  return [mark('path', { class: `band ${tint}`, d })];
}

/** The whole stride from cells to limb: widths are joules on one scale, each node has as much in as out. */
export function drawEnergy(
  width: number,
  shown: EnergyShown | NoEnergy,
  saved: EnergyShown | NoEnergy,
  demand: StrideDemand,
): Drawn {
  if ('openBecause' in shown) {
    const said = `The energy of ${demand.task.title} is open: ${shown.openBecause}.`;
    return {
      marks: [mark('text', { class: 'gap', x: 0, y: TOP + 20 }, 'Not known: see above.')],
      said,
      rows: () => [['energy'], [said]],
    };
  }
  const narrow = width < 640;
  const height = energyHeight(width);
  const c = columnsFor(width);
  const before = 'openBecause' in saved ? undefined : saved;
  const scaleOf = (e: EnergyShown): number => {
    const most = e.joints.reduce(
      (total, joint) => total + Math.max(sum(busBands(joint)), sum(limbBands(joint))),
      0,
    );
    const bands = e.joints.length * 8;
    return (height - TOP - HEAD * e.joints.length - BETWEEN - bands * GAP_PX - (narrow ? 70 : 20)) / most;
  };
  // one scale for what is and what was saved, as long as both fit
  const scale = Math.min(scaleOf(shown), before === undefined ? Number.POSITIVE_INFINITY : scaleOf(before));
  const marks: Mark[] = [];
  const labels: { y: number; from: number; text: string; was: string; strong: boolean }[] = [];
  const nodes: Mark[] = [];
  let top = TOP + HEAD;
  const faces = shown.joints.map((bands, k) => {
    const [bus, limb] = [busBands(bands), limbBands(bands)];
    const tall = Math.max(faceHeight(bus, scale), faceHeight(limb, scale), 14 * limb.length - 8);
    const own = {
      bands,
      name: shown.names[k]!,
      bus,
      limb,
      top,
      tall,
      atBus: stack(bus, top, scale),
      atLimb: stack(limb, top, scale),
    };
    top += tall + HEAD;
    return own;
  });
  const losses = packLosses(shown);
  // the pack's face towards the joints: for each what goes and what comes
  const packFace: Band[] = faces.flatMap(({ name, bands }) => [
    out(`${name} out`, '', bands.fromCells),
    back(`${name} back`, '', bands.toPack),
  ]);
  const packTop = TOP + HEAD;
  const atPack = stack(packFace, packTop, scale);
  const cellsFace: Band[] = [
    out('give', 'cells give', shown.cellsGive),
    back('take', 'cells take', shown.cellsTake),
    ...losses,
  ];
  const atCells = stack(cellsFace, packTop, scale);
  const packTall = Math.max(faceHeight(packFace, scale), faceHeight(cellsFace, scale), 8);
  for (const band of cellsFace) {
    const lost = band.key !== 'give' && band.key !== 'take';
    const from = lost ? c.pack - (c.pack - c.cells) / 2 : c.cells;
    const y = atCells[band.key]!;
    marks.push(...ribbon([from, y], [c.pack, y], band, scale, lost ? 'in-thin' : 'in-ink'));
  }
  for (const { name, bus, atBus, limb, atLimb } of faces) {
    for (const [key, end] of [
      ['fromCells', 'out'],
      ['toPack', 'back'],
    ] as const) {
      const band = bus.find((each) => each.key === key)!;
      marks.push(
        ...ribbon([c.pack + 5, atPack[`${name} ${end}`]!], [c.joint, atBus[key]!], band, scale, `in-${name}`),
      );
    }
    for (const band of limb) {
      const y = atLimb[band.key]!;
      const work = band.key === 'delivered' || band.key === 'taken';
      marks.push(...ribbon([c.joint + 5, y], [c.end, y], band, scale, work ? `in-${name}` : 'in-thin'));
    }
  }
  // what one joint gives the other turns round at the bus
  faces.forEach(({ name, bus, atBus }, k) => {
    const other = faces[1 - k];
    const band = bus.find(({ key }) => key === 'toOther')!;
    if (other === undefined || band.joules < UNSEEN) return;
    const [y1, y2] = [atBus.toOther!, other.atBus.fromOther!];
    const reach = c.bus - (c.joint - c.bus) * 0.15;
    marks.push(
      mark('path', {
        class: `turn ${name}`,
        'stroke-width': round(Math.max(0.75, band.joules * scale)),
        d: `M${c.joint} ${round(y1)}C${round(reach)} ${round(y1)} ${round(reach)} ${round(y2)} ${c.joint} ${round(y2)}`,
      }),
    );
  });
  const node = (x: number, y: number, tall: number) =>
    mark('rect', { class: 'lack crisp', x, y: round(y), width: 5, height: round(tall) });
  nodes.push(node(c.pack, packTop, packTall), ...faces.map(({ top: y, tall }) => node(c.joint, y, tall)));
  const title = (
    x: number,
    y: number,
    name: string,
    into: number,
    outOf: number,
    anchor: 'start' | 'middle' = 'middle',
  ) => [
    mark('text', { class: 'name halo', x, y: y - 18, 'text-anchor': anchor }, name),
    mark(
      'text',
      { class: 'unit halo', x, y: y - 5, 'text-anchor': anchor },
      narrow ? `${fixed(into, 1)} = ${fixed(outOf, 1)} J` : `in ${fixed(into, 1)} = out ${fixed(outOf, 1)} J`,
    ),
  ];
  const packIn = shown.cellsGive + shown.joints.reduce((total, { toPack }) => total + toPack, 0);
  const packOut =
    shown.cellsTake + shown.joints.reduce((total, { fromCells }) => total + fromCells, 0) + sum(losses);
  nodes.push(
    ...title(
      narrow ? 0 : c.pack,
      packTop,
      narrow ? 'Pack' : 'Pack and bus',
      packIn,
      packOut,
      narrow ? 'start' : 'middle',
    ),
  );
  faces.forEach(({ name, bands, bus, limb, top: y, atLimb }, k) => {
    const into = sum(bus, (b) => !b.back) + bands.taken;
    const outOf = sum(bus, (b) => b.back) + sum(limb, (b) => !b.back) + bands.stored;
    nodes.push(...title(c.joint + 2, y, name[0]!.toUpperCase() + name.slice(1), into, outOf));
    const was = before?.joints[k];
    const earlier = was === undefined ? [] : limbBands(was);
    limb.forEach(({ key, name: label, joules }, i) => {
      const then = earlier[i]?.joules ?? joules;
      labels.push({
        y: atLimb[key]! + 4,
        from: atLimb[key]!,
        text: `${label} ${fixed(joules, 1)}`,
        was: Math.abs(then - joules) >= UNSEEN ? fixed(then, 1) : '',
        strong: key === 'delivered' || key === 'taken',
      });
    });
  });
  const spots = spreadLabels(
    labels.map(({ y }) => y),
    14,
    TOP + HEAD + 6,
    height - (narrow ? 66 : 16),
  );
  labels.forEach(({ from, text, was, strong }, k) => {
    const y = round(spots[k]!);
    nodes.push(
      mark('path', { class: 'leader', d: `M${c.end} ${round(from)}L${c.label - 2} ${y - 4}` }),
      mark(
        'text',
        { class: strong ? 'label strong' : 'label', x: c.label, y },
        text,
        ...(was === '' || narrow
          ? []
          : [mark('tspan', { class: 'in-thin', dx: 6, 'font-weight': 400 }, `saved ${was}`)]),
      ),
    );
  });
  const old =
    before === undefined
      ? []
      : [before.cellsGive, before.cellsTake, ...packLosses(before).map(({ joules }) => joules)];
  const told = cellsFace.map((band, k) => ({ ...band, was: old[k] ?? band.joules }));
  const foot = height - 14 - Math.max(16, round(10 * scale));
  if (narrow) {
    // no room beside the bands: in two lines at the foot
    const [give, take, ...lost] = told.map(({ name, joules }) => `${name} ${fixed(joules, 1)}`);
    nodes.push(
      mark('text', { class: 'label strong', x: 0, y: foot - 16 }, `${give}, ${take}`),
      mark('text', { class: 'label', x: 0, y: foot }, lost.join(', ')),
    );
  } else {
    const seen = told.filter(({ key, joules }) => key === 'give' || key === 'take' || joules >= UNSEEN);
    const heights = spreadLabels(
      seen.map(({ key }) => atCells[key]! + 4),
      33,
      packTop + 6,
      foot - 24,
    );
    seen.forEach(({ key, name, joules, was }, k) => {
      const lost = key !== 'give' && key !== 'take';
      const y = round(heights[k]!);
      nodes.push(
        mark('path', {
          class: 'leader',
          d: `M${lost ? c.pack - (c.pack - c.cells) / 2 : c.cells} ${round(atCells[key]!)}L${c.cells - 14} ${y - 4}`,
        }),
        mark(
          'text',
          { class: lost ? 'label halo' : 'label strong halo', x: 0, y },
          `${name} ${fixed(joules, 1)}`,
          ...(Math.abs(was - joules) < UNSEEN
            ? []
            : [
                mark(
                  'tspan',
                  { class: 'in-thin', x: 0, dy: 14, 'font-weight': 400 },
                  `saved ${fixed(was, 1)}`,
                ),
              ]),
        ),
      );
    });
  }
  const ten = 10 * scale;
  nodes.push(
    mark('text', { class: 'unit', x: c.label, y: TOP + HEAD - 5 }, 'J a stride'),
    ...(narrow ? [] : [mark('text', { class: 'unit', x: 0, y: TOP + HEAD - 5 }, 'J a stride')]),
    mark('path', {
      class: 'edge crisp',
      d: `M4.5 ${height - 6}v${-round(ten)}M0.5 ${height - 5.5}h8M0.5 ${round(height - 5.5 - ten)}h8`,
    }),
    mark('text', { class: 'unit', x: 14, y: height - 6 }, '10 J, the width of a band'),
  );
  return {
    marks: [...marks, ...nodes],
    said: energySaid(shown, demand),
    rows: () => energyRows(shown, before),
  };
}

function energySaid(shown: EnergyShown, demand: StrideDemand): string {
  const [first, second] = shown.joints;
  const shared =
    first === undefined || second === undefined
      ? ''
      : ` The ${shown.names[0]} gives the ${shown.names[1]} ${fixed(first.toOther, 1)} J and gets ${fixed(second.toOther, 1)} J.`;
  const copper = shown.joints.reduce((total, joint) => total + joint.copper, 0);
  return `${demand.task.title}, a stride: the cells give ${fixed(shown.cellsGive, 1)} J and take back ${fixed(shown.cellsTake, 1)} J; copper costs ${fixed(copper, 1)} J.${shared} Lowest bus ${fixed(shown.lowest, 1)} V. In and out agree at every node to ${shown.residual < 1e-6 ? 'rounding' : `${fixed(shown.residual, 3)} J`}.`;
}

function energyRows(shown: EnergyShown, before: EnergyShown | undefined): Cell[][] {
  const pack = (e: EnergyShown): readonly (readonly [string, number])[] => [
    ['cells give', e.cellsGive],
    ['cells take', -e.cellsTake],
    ['pack’s resistance', e.packGiving + e.packTaking],
    ['brake resistor', e.brakeResistor],
    ['burnt in windings', e.windings],
  ];
  const old = before === undefined ? [] : pack(before);
  return [
    ['where', 'what', 'J a stride', 'saved, J'],
    ...pack(shown).map(([what, joules], k): Cell[] => ['pack', what, joules, old[k]?.[1]]),
    ...shown.joints.flatMap((joint, k) => {
      const was = before?.joints[k];
      const then = was === undefined ? [] : [...busBands(was), ...limbBands(was)];
      return [
        ...[...busBands(joint), ...limbBands(joint)].map(({ name, joules, back: returned }, i): Cell[] => [
          shown.names[k],
          name,
          returned ? -joules : joules,
          then[i] === undefined ? null : returned ? -then[i].joules : then[i].joules,
        ]),
        [shown.names[k], 'stored at the stride’s end', joint.stored, was?.stored] satisfies Cell[],
      ];
    }),
    ['all', 'largest gap between in and out', shown.residual, before?.residual],
  ];
}
