import {
  type LegSegments,
  LOG,
  LOG_WIDTH,
  type Point,
  type StrideRange,
  shownMoment,
  type WalkRecord,
  walkPose,
} from '@striderule/engine';
import { type Mark, mark, round, toElement } from '../draw/mark.ts';
import { writeText } from '../hairline.ts';
import { ACTION, ARC_PER_MOMENT, SEEN } from '../leg/draw-leg.ts';
import { arrow, bar, type Plain, pointsText, turnArc } from '../leg/leg-parts.ts';
import { fixed } from '../show/number.ts';
import type { WalkFrame } from './walk-frame.ts';

/** m of arrow per body weight: walking does not reach the knee by much. */
const FORCE_LENGTH = 0.36;
/** m: radius of the arcs that show torque, half widths of thigh and shank, radii of pins. */
const SIZE = { arc: 0.055, thigh: 0.034, shank: 0.02, pin: 0.024, hip: 0.014 } as const;

const path = (points: readonly Plain[]): string => `M${pointsText(points)}`;

/** All that lies on the ground: its ruler, poses, paths of hip, knee and ankle; then what holds still where the ground goes by. */
export function drawWalkGround(frame: WalkFrame, belt: string, wrong?: WrongMark): readonly [Mark, Mark] {
  const { x0, ground, scale, axis, poses, left, right, narrow, over, level, foot, stretch } = frame;
  const at = (hip: Point, { x, z }: Point): Plain => [x0 + scale * (hip.x + x), ground - scale * (hip.z + z)];
  const zero = { x: 0, z: 0 };
  let [thin, bold, feet] = ['', '', ''];
  const paths: { hip: Plain[]; knee: Plain[]; ankle: Plain[] } = { hip: [], knee: [], ankle: [] };
  for (const { percent, pose } of poses) {
    const { hip, leg } = pose;
    const [h, k, a] = [at(hip, zero), at(hip, leg.knee), at(hip, leg.ankle)];
    if (percent % 10 === 0) {
      bold += path([h, k, a]);
      feet += `${path([a, ...leg.sole.map((p) => at(hip, p)), a])}`;
    } else thin += path([h, k, a]);
    paths.hip.push(h);
    paths.knee.push(k);
    paths.ankle.push(a);
  }
  const profile: Plain[] = [];
  if (!level)
    for (let x = left; x <= right; x += 4) profile.push([x, ground - scale * over((x - x0) / scale)]);
  const wrongMarks: Mark[] = [];
  if (wrong !== undefined) {
    const x = Math.round(x0 + axis * wrong.share) + 0.5;
    const back = wrong.share > 0.6;
    wrongMarks.push(
      mark('path', { class: 'limit', d: `M${x} 10V${ground}` }),
      mark(
        'text',
        { class: 'label strong halo', x: back ? x - 6 : x + 6, y: 16, 'text-anchor': back ? 'end' : 'start' },
        wrong.words,
      ),
    );
  }
  const ticks: Mark[] = [];
  let ruler = '';
  // numerals each half metre, or each metre where they would touch
  const numbered = 0.5 * scale < 48 ? 10 : 5;
  for (let tenth = 0; x0 + (tenth / 10) * scale <= right; tenth++) {
    const x = Math.round(x0 + (tenth / 10) * scale) + 0.5;
    ruler += `M${x} ${foot + 1}v${tenth % 5 === 0 ? 9 : 5}`;
    if (tenth % numbered === 0)
      ticks.push(
        mark(
          'text',
          { class: 'numeral', 'text-anchor': tenth === 0 && narrow ? 'start' : 'middle', x, y: foot + 23 },
          `${fixed(tenth / 10, 1)}${tenth === 0 ? ' m' : ''}`,
        ),
      );
  }
  const names = (['hip', 'knee', 'ankle'] as const).map((name) => {
    const [x, y] = paths[name].at(-1) ?? [0, 0];
    return mark(
      'text',
      { class: 'label halo', x: round(x + 8), y: round(y + (name === 'ankle' ? -8 : 4)) },
      name,
    );
  });
  const lies = [
    mark('path', { class: 'pose', d: thin }),
    mark('path', { class: 'pose tenth', d: bold + feet }),
    ...Object.values(paths).flatMap((points) =>
      points.length === 0 ? [] : [mark('path', { class: 'trace', d: path(points) })],
    ),
    level
      ? mark('path', { class: 'edge crisp', d: `M${left} ${ground + 0.5}H${right}` })
      : mark('path', { class: 'edge', d: path(profile) }),
    ...(level ? [] : [mark('path', { class: 'seam crisp', d: `M${left} ${foot + 0.5}H${right}` })]),
    mark('path', { class: 'tick2 crisp', d: ruler }),
    ...ticks,
    ...(narrow || stretch || poses.length === 0 ? [] : names),
  ];
  const unit = mark('text', { class: 'unit', x: narrow ? 8 : x0, y: foot + 39 }, belt);
  return [mark('g', {}, ...lies), mark('g', {}, ...wrongMarks, unit)];
}

/** Where in the stride something goes wrong, and what. */
export interface WrongMark {
  readonly share: number;
  readonly words: string;
}

/** Another leg at the same walk, and which of its strides. */
export interface Beside {
  readonly name: string;
  readonly record: WalkRecord;
  readonly segments: LegSegments;
  readonly range: StrideRange;
}

/** Draws the leg of the stride itself into a frame of its poses; what it gives poses it at a place, per cent. */
export function drawReferenceLeg(svg: SVGSVGElement, { x0, ground, scale, axis, poses, height }: WalkFrame) {
  const own = toElement(mark('path', { class: 'own' }));
  const line = toElement(mark('path', { class: 'accent crisp', d: `M0.5 10V${height - FOOT_OF_LINE}` }));
  svg.append(line, own);
  return (percent: number): void => {
    const { hip, leg } = poses[Math.round((percent * (poses.length - 1)) / 100)]!.pose;
    const at = ({ x, z }: Point): Plain => [x0 + scale * (hip.x + x), ground - scale * (hip.z + z)];
    const ankle = at(leg.ankle);
    own.setAttribute(
      'd',
      path([at({ x: 0, z: 0 }), at(leg.knee), ankle]) + path([ankle, ...leg.sole.map(at), ankle]),
    );
    line.setAttribute('transform', `translate(${Math.round(x0 + (axis * percent) / 100)} 0)`);
  };
}

export interface WalkDrawing {
  /** Poses the leg at a tick of its stride, and says by how much the ground has gone by under it, px. */
  readonly move: (tick: number) => number;
}

/** Draws the leg that moves, once, and gives what poses it. */
export function drawWalkingLeg(
  svg: SVGSVGElement,
  frame: WalkFrame,
  record: WalkRecord,
  segments: LegSegments,
  range: StrideRange,
  ticks: number,
  beside?: Beside,
): WalkDrawing {
  const { x0, ground, scale, axis, narrow, over, width, whole } = frame;
  const part = (className: string) => toElement(mark('path', { class: className }));
  const own = part('own');
  const ownName = toElement(mark('text', { class: 'label in-thin halo' }, 'reference'));
  const other = part('thin dash-a');
  const otherName = toElement(mark('text', { class: 'label in-thin halo' }, beside?.name ?? ''));
  const line = toElement(
    mark('path', { class: 'accent crisp', d: `M0.5 10V${frame.height - FOOT_OF_LINE}` }),
  );
  const parts = {
    thigh: part('wearer'),
    axis: part('axis'),
    shank: part('bone'),
    foot: part('bone filled'),
    arcs: part('moment'),
    heads: part('head'),
    force: part('moment'),
    forceHead: part('head'),
  };
  const pins = [SIZE.hip, SIZE.pin, SIZE.pin].map((r) =>
    toElement(mark('circle', { class: 'pin', r: round(Math.max(3, r * scale)) })),
  );
  const words = (anchor: 'start' | 'end') =>
    toElement(mark('text', { class: 'label strong halo', 'text-anchor': anchor }));
  const texts = { knee: words('start'), ankle: words('end'), force: words('start') };
  const scene = toElement(mark('g'));
  svg.replaceChildren(line, scene);
  scene.append(
    own,
    ownName,
    other,
    otherName,
    parts.thigh,
    parts.axis,
    parts.shank,
    parts.foot,
    ...pins,
    parts.arcs,
    parts.heads,
    parts.force,
    parts.forceHead,
    ...Object.values(texts),
  );
  const { log, weight, mass } = record;
  const put = (text: SVGElement, [x, y]: Plain, words: string) => {
    text.setAttribute('x', String(round(x)));
    text.setAttribute('y', String(round(y)));
    writeText(text, words);
  };
  let gone = 0;
  /** To the right of a point, or to its left where the drawing ends before the words do. */
  const putBeside = (text: SVGElement, [x, y]: Plain, away: number, words: string) => {
    const left = x - gone + away + LETTER * words.length > width;
    text.setAttribute('text-anchor', left ? 'end' : 'start');
    put(text, [left ? x - away : x + away, y], words);
  };
  const move = (tick: number) => {
    const row = Math.min(log.rows - 1, range.from + tick);
    const y = (place: number): number => log.table[row * LOG_WIDTH + place] ?? Number.NaN;
    const pose = walkPose(record, segments, range, row);
    const at = (hip: Point, { x, z }: Point): Plain => [
      x0 + scale * (hip.x + x),
      ground - scale * (hip.z + z),
    ];
    const zero = { x: 0, z: 0 };
    const { hip, leg, ownHip, ownLeg } = pose;
    const [h, k, a] = [at(hip, zero), at(hip, leg.knee), at(hip, leg.ankle)];
    gone = Math.round(Math.min(whole - width, Math.max(0, h[0] - width / 2)));
    scene.setAttribute('transform', `translate(${-gone} 0)`);
    line.setAttribute('transform', `translate(${Math.round(x0 + (axis * tick) / ticks)} 0)`);
    parts.thigh.setAttribute('d', bar(h, k, SIZE.thigh * scale));
    parts.axis.setAttribute('d', path([h, k, a]));
    parts.shank.setAttribute('d', bar(k, a, SIZE.shank * scale));
    parts.foot.setAttribute('d', `${path([a, ...leg.sole.map((p) => at(hip, p)), a])}Z`);
    for (const [n, point] of [h, k, a].entries()) {
      pins[n]!.setAttribute('cx', String(round(point[0])));
      pins[n]!.setAttribute('cy', String(round(point[1])));
    }
    const [oh, ok, oa] = [at(ownHip, zero), at(ownHip, ownLeg.knee), at(ownHip, ownLeg.ankle)];
    // where nothing was published the reference stands nowhere
    const known = Number.isFinite(oa[0]);
    own.setAttribute('visibility', known ? 'visible' : 'hidden');
    // named only where it stands clear of the leg
    const clear = known && Math.hypot(oa[0] - a[0], oa[1] - a[1]) > 16;
    ownName.setAttribute('visibility', clear && !narrow ? 'visible' : 'hidden');
    if (known) {
      own.setAttribute('d', path([oh, ok, oa]) + path([oa, ...ownLeg.sole.map((p) => at(ownHip, p)), oa]));
      put(ownName, [oa[0] - 14, oa[1] - 12], 'reference');
      ownName.setAttribute('text-anchor', 'end');
    }
    if (beside !== undefined) {
      const { range: own, record: its } = beside;
      const then = own.from + Math.round((tick * log.period) / its.log.period);
      const there = then < its.log.rows;
      other.setAttribute('visibility', there ? 'visible' : 'hidden');
      otherName.setAttribute('visibility', there ? 'visible' : 'hidden');
      if (there) {
        const { hip, leg } = walkPose(its, beside.segments, own, then);
        const [h, k, a] = [at(hip, zero), at(hip, leg.knee), at(hip, leg.ankle)];
        other.setAttribute('d', path([h, k, a]) + path([a, ...leg.sole.map((p) => at(hip, p)), a]));
        put(otherName, [k[0] + 14, k[1] - 16], beside.name);
      }
    }
    let [lines, heads] = ['', ''];
    for (const [joint, point, torque] of [
      ['knee', k, y(LOG.kneeTorque)],
      ['ankle', a, y(LOG.ankleTorque)],
    ] as const) {
      const drawn = turnArc(
        point,
        Math.max(12, SIZE.arc * scale),
        (SEEN[joint] * torque * ARC_PER_MOMENT) / mass,
      );
      lines += drawn.line;
      heads += drawn.head;
      const shown = shownMoment(torque);
      const beyond = Math.max(12, SIZE.arc * scale) + 10;
      const words = `${fixed(Math.abs(shown), 0)} N·m${narrow ? '' : ` ${ACTION[joint][shown < 0 ? 1 : 0]}`}`;
      if (joint === 'knee') putBeside(texts.knee, [point[0], point[1] + 4], beyond, words);
      else put(texts.ankle, [point[0] - beyond, point[1] - 6], words);
    }
    parts.arcs.setAttribute('d', lines);
    parts.heads.setAttribute('d', heads);
    const [up, forward, ahead] = [y(LOG.up), y(LOG.forward), y(LOG.pressure)];
    const length = (FORCE_LENGTH * scale) / weight;
    if (Number.isNaN(ahead) || Math.hypot(up, forward) * length < 9) {
      parts.force.setAttribute('d', '');
      parts.forceHead.setAttribute('d', '');
      writeText(texts.force, '');
      return gone;
    }
    const acts = hip.x + leg.ankle.x + ahead;
    const under = ground - scale * over(acts);
    const from: Plain = [x0 + scale * acts, under];
    const drawn = arrow(from, [forward * length, -up * length]);
    parts.force.setAttribute('d', drawn.line);
    parts.forceHead.setAttribute('d', drawn.head);
    putBeside(
      texts.force,
      [from[0] + forward * length, under - up * length + 4],
      9,
      `${fixed(Math.hypot(up, forward), 0)} N`,
    );
    return gone;
  };
  return { move };
}

/** px of a letter of a label, about. */
const LETTER = 6;
/** px below which the hairline ends in this drawing: the ground's ruler stands there. */
const FOOT_OF_LINE = 34;
