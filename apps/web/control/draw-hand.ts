import {
  HAND,
  HAND_THIGH,
  type HandSwing,
  type LegSegments,
  legPose,
  type Point,
  SWING,
} from '@striderule/engine';
import { type Mark, mark, round, toElement } from '../draw/mark.ts';
import { writeText } from '../hairline.ts';
import { fixed } from '../show/number.ts';
import { degrees } from '../show/unit.ts';
import { type HandRun, recordedNow } from './hand-run.ts';

export const HAND_SIZE = { width: 440, height: 424 };
const HIP: readonly [number, number] = [188, 58];
/** px per m; px of the protractor's radius. */
const SCALE = 338;
const ARC = 116;

type Plain = readonly [x: number, y: number];
const px = ({ x, z }: Point): Plain => [HIP[0] + SCALE * x, HIP[1] - SCALE * z];
const line = (points: readonly Plain[]): string =>
  `M${points.map(([x, y]) => `${round(x)} ${round(y)}`).join('L')}`;

/** Degrees that the thigh can be led over: some way beyond toe-off and peak of its stride, to whole fives. */
export function thighReach({ ownWay }: HandSwing): { readonly low: number; readonly high: number } {
  const [on, peak] = [degrees(ownWay[0] ?? 0), degrees(ownWay.at(-1) ?? 0)];
  return { low: 5 * Math.floor((on - 18) / 5), high: 5 * Math.ceil((peak + 14) / 5) };
}

/** A point on the protractor, degrees forward of straight down. */
function onArc(angle: number, radius: number): Plain {
  const a = (angle * Math.PI) / 180;
  return [HIP[0] + radius * Math.sin(a), HIP[1] + radius * Math.cos(a)];
}
const arc = (from: number, to: number, radius: number): string => {
  const [a, b] = [onArc(from, radius), onArc(to, radius)];
  return `M${round(a[0])} ${round(a[1])}A${radius} ${radius} 0 0 0 ${round(b[0])} ${round(b[1])}`;
};

/** Angle of the thigh that points from the hip to a place in the drawing, degrees. */
export const angleTowards = (x: number, y: number): number =>
  (Math.atan2(x - HIP[0], Math.max(1, y - HIP[1])) * 180) / Math.PI;

/** What holds still: the vertical, the protractor, where this stride's thigh leaves the ground, leads no more, and turns; and numerals that the thigh passes under. */
function ground(of: HandSwing): { readonly lies: Mark[]; readonly numerals: Mark[] } {
  const { low, high } = thighReach(of);
  const paths = ['', '', ''];
  const numerals: Mark[] = [];
  for (let angle = low; angle <= high; angle++) {
    const rank = angle % 10 === 0 ? 2 : angle % 5 === 0 ? 1 : 0;
    paths[rank] += line([onArc(angle, ARC), onArc(angle, ARC - [4, 6, 9][rank]!)]);
    if (rank !== 2) continue;
    const [x, y] = onArc(angle, ARC - 20);
    numerals.push(
      mark(
        'text',
        { class: 'numeral halo', 'text-anchor': 'middle', x: round(x), y: round(y + 4) },
        fixed(angle, 0),
      ),
    );
  }
  const { map } = of;
  const marks = [
    { name: 'toe-off', angle: degrees(of.ownWay[0] ?? 0), at: [84, 22] as Plain, end: true },
    { name: 'peak', angle: degrees(of.ownWay.at(-1) ?? 0), at: [330, 40] as Plain, end: false },
    ...(of.method === 'latch'
      ? [{ name: 'leads no more', angle: degrees(map.full), at: [330, 22] as Plain, end: false }]
      : []),
  ];
  const lies = [
    mark('path', { class: 'axis', d: `M${HIP[0] + 0.5} ${HIP[1]}V${HAND_SIZE.height - 8}` }),
    mark('path', { class: 'seam', d: arc(low, high, ARC) }),
    ...paths.map((d, rank) => mark('path', { class: rank === 2 ? 'tick2' : 'tick0', d })),
    ...marks.flatMap(({ name, angle, at, end }) => [
      mark('path', {
        class: 'leader',
        d: line([[at[0] + (end ? 4 : -4), at[1] - 4], onArc(angle, ARC + 2)]),
      }),
      mark('path', { class: 'edge', d: line([onArc(angle, ARC - 9), onArc(angle, ARC + 5)]) }),
      mark(
        'text',
        { class: 'label', x: at[0], y: at[1], ...(end && { 'text-anchor': 'end' }) },
        `${name} ${fixed(angle, 1)}°`,
      ),
    ]),
  ];
  return { lies, numerals };
}

export interface HandDrawing {
  readonly pose: (run: HandRun) => void;
  /** Where the thigh's handle stands, px. */
  readonly handle: (run: HandRun) => Plain;
}

/** Draws the leg that hangs from its hip once, and gives what poses it. */
export function drawHand(svg: SVGSVGElement, of: HandSwing, segments: LegSegments): HandDrawing {
  const path = (className: string) => toElement(mark('path', { class: className }));
  const own = { shank: path('thin'), foot: path('thin') };
  const parts = { thigh: path('wearer'), hair: path('accent'), shank: path('bone'), foot: path('bone') };
  const play = path('reach');
  const hip = toElement(mark('circle', { class: 'pin', r: 6, cx: HIP[0], cy: HIP[1] }));
  const [knee, ankle] = [9, 7].map((r) => toElement(mark('circle', { class: 'pin', r })));
  const knurl = path('tick2');
  const recorded = toElement(mark('text', { class: 'label in-thin' }, 'recorded'));
  const lost = toElement(mark('text', { class: 'name', 'text-anchor': 'middle', x: HIP[0], y: 16 }));
  const { lies, numerals } = ground(of);
  svg.replaceChildren(
    ...lies.map(toElement),
    own.shank,
    own.foot,
    recorded,
    parts.thigh,
    ...numerals.map(toElement),
    parts.shank,
    parts.foot,
    parts.hair,
    play,
    hip,
    knee!,
    ankle!,
    knurl,
    lost,
  );
  const place = (element: SVGElement | undefined, [x, y]: Plain) => {
    element?.setAttribute('cx', String(round(x)));
    element?.setAttribute('cy', String(round(y)));
  };
  const bars = ([x1, y1]: Plain, [x2, y2]: Plain, half: number): string => {
    const length = Math.hypot(x2 - x1, y2 - y1);
    const [nx, ny] = [(-(y2 - y1) / length) * half, ((x2 - x1) / length) * half];
    return (
      line([
        [x1 + nx, y1 + ny],
        [x2 + nx, y2 + ny],
      ]) +
      line([
        [x1 - nx, y1 - ny],
        [x2 - nx, y2 - ny],
      ])
    );
  };
  const foot = (a: Plain, sole: readonly Plain[]): string => line([a, ...sole, a]);
  return {
    pose(run) {
      const thigh = run.thigh[HAND_THIGH.angle] ?? Number.NaN;
      const { says, swing } = run.state;
      const pose = legPose(segments, thigh, says[HAND.knee] ?? Number.NaN, says[HAND.ankle] ?? Number.NaN);
      const [k, a] = [px(pose.knee), px(pose.ankle)];
      parts.thigh.setAttribute('d', bars(HIP, k, 12));
      parts.hair.setAttribute('d', line([HIP, k]));
      parts.shank.setAttribute('d', bars(k, a, 7));
      parts.foot.setAttribute('d', foot(a, pose.sole.map(px)));
      place(knee, k);
      place(ankle, a);
      knurl.setAttribute('d', [-3, 0, 3].map((dx) => `M${round(k[0] + dx)} ${round(k[1] - 4)}v8`).join(''));
      const was = recordedNow(run);
      const ghost = legPose(segments, thigh, was.knee, was.ankle);
      const ghostAnkle = px(ghost.ankle);
      own.shank.setAttribute('d', line([px(ghost.knee), ghostAnkle]));
      own.foot.setAttribute('d', foot(ghostAnkle, ghost.sole.map(px)));
      // named only where it stands clear of the leg
      const apart = Math.hypot(ghostAnkle[0] - a[0], ghostAnkle[1] - a[1]) > 24;
      recorded.setAttribute('visibility', apart ? 'visible' : 'hidden');
      recorded.setAttribute('x', String(round(ghostAnkle[0] + (ghostAnkle[0] > a[0] ? 8 : -60))));
      recorded.setAttribute('y', String(round(ghostAnkle[1] - 10)));
      const u = swing[SWING.play] ?? 0;
      const way = of.map.full - (swing[SWING.on] ?? 0);
      const at = (share: number) => degrees((swing[SWING.on] ?? 0) + share * way);
      play.setAttribute(
        'd',
        of.method === 'latch' && says[HAND.fault] !== 2 ? arc(at(u - of.map.play), at(u), ARC + 10) : '',
      );
      writeText(lost, run.plugged ? '' : 'sensor unplugged: the leg waits');
    },
    handle: ({ thigh }) => px(legPose(segments, thigh[HAND_THIGH.angle] ?? 0, 0, 0).knee),
  };
}
