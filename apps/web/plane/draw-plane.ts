import {
  type DesignResult,
  type DrivenJoint,
  type EnvelopePoint,
  envelopeConditions,
  jointEnvelope,
  type PeaksDemand,
  type StrideDemand,
  type StudyInput,
} from '@striderule/engine';
import { type Mark, mark, round } from '../draw/mark.ts';
import { strideDemands } from '../rule/rule-model.ts';
import { spreadLabels } from '../show/labels.ts';
import { fixed } from '../show/number.ts';
import { numerals } from '../show/ticks.ts';
import { degrees } from '../show/unit.ts';

/** px */
export interface PlaneSize {
  readonly width: number;
  readonly height: number;
}

const LEFT = 44;
const TOP = 30;
const FOOT = 40;

export const peaksDemands = (result: DesignResult): PeaksDemand[] =>
  Object.values(result.demands).filter((demand) => demand.kind === 'peaks');

/** Peaks-only tasks that say something of a joint, with the letter each is named by. */
export function peaksOf(result: DesignResult, joint: DrivenJoint) {
  return peaksDemands(result).flatMap((demand, k) => {
    const own = demand.joints[joint];
    return own?.moment === undefined && own?.speed === undefined
      ? []
      : [{ letter: String(k + 1), title: demand.task.title, moment: own.moment, speed: own.speed }];
  });
}

/** The part of an edge up to a joint speed in degrees per second, cut there on the straight line to the next point. */
function upTo(points: readonly EnvelopePoint[], most: number): EnvelopePoint[] {
  const beyond = points.findIndex(({ speed }) => degrees(speed) > most);
  const [a, b] = [points[beyond - 1], points[beyond]];
  if (a === undefined || b === undefined) return [...points];
  const share = (most - degrees(a.speed)) / (degrees(b.speed) - degrees(a.speed));
  return [
    ...points.slice(0, beyond),
    { speed: a.speed + share * (b.speed - a.speed), torque: a.torque + share * (b.torque - a.torque) },
  ];
}

function loopPath(
  demand: StrideDemand,
  joint: DrivenJoint,
  x: (v: number) => number,
  y: (v: number) => number,
): string {
  const own = demand.joints[joint];
  if (own === undefined || Number.isNaN(own.moment[0])) return '';
  return `M${Array.from(own.moment, (moment, i) => {
    const speed = degrees(Math.abs(own.velocity[i] ?? 0)) * ((own.power[i] ?? 0) < 0 ? -1 : 1);
    return `${round(x(speed))} ${round(y(Math.abs(moment)))}`;
  }).join('L')}`;
}

/**
 * Joint torque (magnitude) against joint speed; to the right the joint drives, to the left it brakes. Loops of the tasks with a curve,
 * ranges of the tasks with peaks only, and what motor and gears can deliver.
 */
export function drawPlane(
  { width, height }: PlaneSize,
  input: StudyInput,
  result: DesignResult,
  joint: DrivenJoint,
  chosen: string,
): Mark[] {
  const drive = input.leg.joints[joint];
  const envelope =
    drive === undefined ? undefined : jointEnvelope(drive, envelopeConditions(input.leg, joint));
  const edges = envelope === undefined ? [] : [...envelope.braking, ...envelope.driving];
  const peaks = peaksOf(result, joint);
  const loops = strideDemands(result).filter((d) => !Number.isNaN(d.joints[joint]?.moment[0] ?? Number.NaN));
  const right = width - 74;
  const base = height - FOOT;
  const speeds = [
    ...(envelope?.driving ?? []).map(({ speed }) => degrees(speed)),
    ...peaks.map(({ speed }) => degrees(speed?.high ?? 0)),
    ...strideDemands(result).map((d) => degrees(d.joints[joint]?.peak.speed ?? 0)),
  ].filter(Number.isFinite);
  const torques = [
    ...edges.map(({ torque }) => torque),
    ...peaks.map(({ moment }) => moment?.high ?? 0),
    ...loops.map((d) => d.joints[joint]?.peak.moment ?? 0),
  ].filter(Number.isFinite);
  const most = Math.max(1, ...speeds) * 1.04;
  const braking = 0.62 * most;
  const top = Math.max(1, ...torques) * 1.06;
  const x = (speed: number) => LEFT + ((speed + braking) / (most + braking)) * (right - LEFT);
  const y = (torque: number) => base - (torque / top) * (base - TOP);
  const marks: Mark[] = [
    mark(
      'text',
      { class: 'name', x: 0, y: 13 },
      `${joint === 'knee' ? 'Knee' : 'Ankle'} torque`,
      mark('tspan', { class: 'unit', dx: 6, 'font-weight': 400 }, 'N·m, magnitude'),
    ),
    mark('path', { class: 'edge crisp', d: `M${LEFT + 0.5} ${TOP}V${base + 0.5}H${right}` }),
    mark('path', { class: 'zero crisp', d: `M${Math.round(x(0)) + 0.5} ${TOP}V${base}` }),
  ];
  for (const value of numerals(0, top, 5)) {
    marks.push(
      mark(
        'text',
        { class: 'numeral', 'text-anchor': 'end', x: LEFT - 9, y: round(y(value) + 4) },
        fixed(value, 0),
      ),
      mark('path', { class: 'tick2 crisp', d: `M${LEFT - 5} ${Math.round(y(value)) + 0.5}h5` }),
    );
  }
  for (const value of numerals(-braking, most, 6)) {
    marks.push(
      mark(
        'text',
        { class: 'numeral', 'text-anchor': 'middle', x: round(x(value)), y: base + 18 },
        fixed(Math.abs(value), 0),
      ),
      mark('path', { class: 'tick2 crisp', d: `M${Math.round(x(value)) + 0.5} ${base}v5` }),
    );
  }
  marks.push(
    mark(
      'text',
      { class: 'unit', 'text-anchor': 'middle', x: round((LEFT + right) / 2), y: base + 35 },
      `brakes ← ${joint} speed, °/s → drives`,
    ),
  );
  if (envelope !== undefined) {
    const along = (points: readonly EnvelopePoint[], side: 1 | -1): string =>
      points.map(({ speed, torque }) => `${round(x(side * degrees(speed)))} ${round(y(torque))}`).join('L');
    const [slowest, held] = [envelope.braking[0], envelope.driving[0]];
    const path = `M${along(upTo(envelope.braking, braking).toReversed(), -1)}L${along(envelope.driving, 1)}`;
    marks.push(mark('path', { class: 'edge', d: path }));
    for (const [at, point] of [
      [LEFT, slowest],
      [x(0), held],
    ] as const)
      marks.push(
        mark(
          'text',
          { class: 'numeral', x: round(at + 5), y: round(y(point?.torque ?? 0)) - 5 },
          `limit ${fixed(point?.torque, 0)}`,
        ),
      );
  }
  for (const demand of loops.toSorted(
    (a, b) => Number(a.task.id === chosen) - Number(b.task.id === chosen),
  )) {
    const own = demand.task.id === chosen;
    marks.push(
      mark('path', { class: own ? `curve ${joint}` : 'thin', d: `${loopPath(demand, joint, x, y)}Z` }),
    );
  }
  return [...marks, ...rangeMarks(peaks, x, y, right, base, most)];
}

/** A box where torque and speed are published, a bar where only one of them is. */
function rangeMarks(
  peaks: ReturnType<typeof peaksOf>,
  x: (v: number) => number,
  y: (v: number) => number,
  right: number,
  base: number,
  most: number,
): Mark[] {
  const marks: Mark[] = [];
  const heights = peaks.map(({ moment }) =>
    moment === undefined ? base - 8 : (y(moment.low) + y(moment.high)) / 2,
  );
  const places = spreadLabels(heights, 13, TOP + 6, base - 4);
  peaks.forEach(({ letter, moment, speed }, k) => {
    const [y1, y2] =
      moment === undefined ? [base, base - 3] : [y(Math.max(0, moment.low)) + 1.5, y(moment.high) - 1.5];
    const [x1, x2] =
      speed === undefined ? [x(0), x(most)] : [x(degrees(speed.low)) - 1.5, x(degrees(speed.high)) + 1.5];
    const box = { x: round(x1), y: round(y2), width: round(x2 - x1), height: round(y1 - y2) };
    // without a published speed the box has no sides: a dotted band
    marks.push(mark('rect', { class: speed === undefined ? 'box-open' : 'box', ...box }));
    marks.push(
      mark('path', {
        class: 'leader',
        d: `M${round(x2)} ${round((y1 + y2) / 2)}L${right + 8} ${round(places[k] ?? 0)}`,
      }),
      mark('text', { class: 'label', x: right + 12, y: round((places[k] ?? 0) + 4) }, `peaks ${letter}`),
    );
  });
  return marks;
}
