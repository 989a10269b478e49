import {
  GRAVITY,
  type JointName,
  type LegPose,
  type LegSegments,
  legPose,
  type Point,
  posedStride,
  pressureAhead,
  type StrideDemand,
  shownMoment,
  type Wearer,
} from '@striderule/engine';
import { mark, round, toElement } from '../draw/mark.ts';
import { sampleAt, writeText } from '../hairline.ts';
import { fixed } from '../show/number.ts';
import { degrees } from '../show/unit.ts';
import { arrow, bar, type Plain, pointsText, turnArc } from './leg-parts.ts';

export const LEG_SIZE = { width: 384, height: 306 };
const SCALE = 246;
const HIP_X = 108;
const GROUND = 284;
const LABEL_X = 266;
/** px of arrow per body weight, and radians of arc per N·m/kg: chosen so that walking fills neither. */
const FORCE_LENGTH = 92;
export const ARC_PER_MOMENT = 2.6;

/** Which way a positive engine torque turns the segment below as seen: the knee's flexion turns the shank clockwise. */
export const SEEN: { readonly [joint in JointName]: 1 | -1 } = { hip: 1, knee: -1, ankle: 1 };
export const MOTION = {
  hip: ['flexion', 'extension'],
  knee: ['flexion', 'extension'],
  ankle: ['dorsiflexion', 'plantarflexion'],
} as const;
export const ACTION = {
  hip: ['extensor', 'flexor'],
  knee: ['extensor', 'flexor'],
  ankle: ['plantarflexor', 'dorsiflexor'],
} as const;

export interface LegDrawing {
  readonly move: (percent: number) => void;
  /** What is assumed in the picture, in words. */
  readonly note: string;
}

/** Draws the leg of a task once and gives the function that poses it. */
export function drawLeg(
  svg: SVGSVGElement,
  demand: StrideDemand,
  segments: LegSegments,
  wearer: Wearer,
): LegDrawing {
  const posed = posedStride(demand, segments);
  const weight = wearer.mass * GRAVITY;
  const path = (className: string) => toElement(mark('path', { class: className }));
  const parts = {
    thigh: path('wearer'),
    axis: path('axis'),
    shank: path('bone'),
    foot: path('bone'),
    arcs: path('moment'),
    heads: path('head'),
    force: path('moment'),
    forceHead: path('head'),
    leaders: path('leader'),
  };
  const pins = ['hip', 'knee', 'ankle'].map((joint) =>
    toElement(mark('circle', { class: 'pin', r: joint === 'hip' ? 6 : 9 })),
  );
  const block = (y: number, name: string) => {
    const title = toElement(mark('text', { class: 'name', x: LABEL_X, y }, name));
    const lines = [16, 32].map((dy) => toElement(mark('text', { class: 'label', x: LABEL_X, y: y + dy })));
    return { y, title, lines };
  };
  const blocks = {
    hip: block(26, 'Hip'),
    knee: block(96, 'Knee'),
    ankle: block(166, 'Ankle'),
    force: block(236, 'Ground force'),
  };
  const ground = toElement(
    mark('path', {
      class: 'tick0',
      d: `M8 ${GROUND + 0.5}H244${Array.from({ length: 40 }, (_, k) => `M${10 + 6 * k} ${GROUND + 5}l4 -4`).join('')}`,
    }),
  );
  svg.replaceChildren(
    ground,
    parts.leaders,
    parts.thigh,
    parts.axis,
    parts.shank,
    parts.foot,
    ...pins,
    parts.arcs,
    parts.heads,
    parts.force,
    parts.forceHead,
    ...Object.values(blocks).flatMap(({ title, lines }) => [title, ...lines]),
  );
  ground.setAttribute('visibility', posed === undefined ? 'hidden' : 'visible');

  const write = (key: keyof typeof blocks, first: string, second: string) => {
    const [a, b] = blocks[key].lines;
    if (a !== undefined) writeText(a, first);
    if (b !== undefined) writeText(b, second);
  };

  const move = (percent: number) => {
    const i = sampleAt(percent);
    const { hip, knee, ankle } = demand.joints;
    const pose: LegPose = posed?.poses[i] ?? legPose(segments, 0, 0, ankle?.angle[i] ?? 0);
    const hipHeight = posed?.hipHeight[i] ?? segments.thighLength + segments.shank.length + 0.1;
    const px = ({ x, z }: Point): Plain => [HIP_X + SCALE * x, GROUND - SCALE * (z + hipHeight)];
    const [h, k, a] = [px({ x: 0, z: 0 }), px(pose.knee), px(pose.ankle)];
    const sole = pose.sole.map(px);
    parts.thigh.setAttribute('d', posed === undefined ? '' : bar(h, k, 11));
    parts.axis.setAttribute(
      'd',
      posed === undefined ? `M${pointsText([k, a])}` : `M${pointsText([h, k, a])}`,
    );
    parts.shank.setAttribute('d', bar(k, a, 7));
    const heel = sole[0] ?? a;
    parts.foot.setAttribute('d', `M${pointsText([a, ...sole, a])}M${pointsText([a, heel])}`);
    for (const [n, pin] of pins.entries()) {
      const at = [h, k, a][n] as Plain;
      pin.setAttribute('cx', String(round(at[0])));
      pin.setAttribute('cy', String(round(at[1])));
      pin.setAttribute('visibility', posed === undefined && n < 2 ? 'hidden' : 'visible');
    }
    let lines = '';
    let heads = '';
    let leaders = '';
    for (const [joint, at, radius] of [
      ['hip', h, 15],
      ['knee', k, 19],
      ['ankle', a, 19],
    ] as const) {
      const own = { hip, knee, ankle }[joint];
      if (own === undefined) {
        write(joint, joint === 'hip' ? 'no angle published' : 'no angle published', '');
        continue;
      }
      const angle = degrees(own.angle[i] ?? Number.NaN);
      const moment = own.moment[i] ?? Number.NaN;
      const shown = shownMoment(moment);
      write(
        joint,
        `${fixed(Math.abs(angle), 0)}° ${MOTION[joint][angle < 0 ? 1 : 0]}`,
        Number.isNaN(moment)
          ? 'no moment published'
          : `${fixed(Math.abs(shown), 0)} N·m ${ACTION[joint][shown < 0 ? 1 : 0]}`,
      );
      if (posed === undefined && joint !== 'ankle') continue;
      leaders += `M${pointsText([
        [LABEL_X - 6, blocks[joint].y - 4],
        [LABEL_X - 18, blocks[joint].y - 4],
        [at[0] + radius + 8, at[1]],
      ])}`;
      if (Number.isNaN(moment)) continue;
      const drawn = turnArc(at, radius, (SEEN[joint] * moment * ARC_PER_MOMENT) / wearer.mass);
      lines += drawn.line;
      heads += drawn.head;
    }
    parts.arcs.setAttribute('d', lines);
    parts.heads.setAttribute('d', heads);
    parts.leaders.setAttribute('d', leaders);
    drawForce(i, pose, hipHeight, px);
  };

  const drawForce = (i: number, pose: LegPose, hipHeight: number, px: (p: Point) => Plain) => {
    const vertical = demand.groundForce.vertical[i] ?? Number.NaN;
    const foreAft = demand.groundForce.foreAft[i] ?? Number.NaN;
    if (Number.isNaN(vertical)) {
      write('force', 'none published', '');
      parts.force.setAttribute('d', '');
      parts.forceHead.setAttribute('d', '');
      return;
    }
    const size = Math.hypot(vertical, foreAft);
    write('force', `${fixed(size, 0)} N`, `${fixed(size / weight, 2)} of body weight`);
    const ahead = pressureAhead(demand, i, hipHeight + pose.ankle.z, weight);
    const point = pose.ankle.x + ahead;
    // human force on another foot: where it would stand beside the sole it is told, not drawn
    const beside = !pose.sole.some(({ x }) => x >= point) || !pose.sole.some(({ x }) => x <= point);
    if (Number.isNaN(ahead) || posed === undefined || beside) {
      if (!Number.isNaN(ahead) && posed !== undefined)
        write('force', `${fixed(size, 0)} N, beside the sole`, 'so not drawn');
      parts.force.setAttribute('d', '');
      parts.forceHead.setAttribute('d', '');
      return;
    }
    const [x, y] = px({ x: point, z: -hipHeight });
    const [dx, dy] = [(foreAft / weight) * FORCE_LENGTH, (-vertical / weight) * FORCE_LENGTH];
    const drawn = arrow([x, y], [dx, dy]);
    parts.force.setAttribute('d', drawn.line);
    parts.forceHead.setAttribute('d', drawn.head);
  };

  return {
    move,
    note:
      posed === undefined
        ? 'No thigh angle with this task: the shank is drawn upright and only the ankle moves.'
        : 'Hip height in swing is assumed for the drawing. The ground force stands where it balances the human ankle moment.',
  };
}
