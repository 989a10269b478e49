import { type DrivenJoint, motorEnvelope, type StrideDemand } from '@striderule/engine';
import type { Moving } from '../design/live-ratio.ts';
import { mark, round, toElement } from '../draw/mark.ts';
import { sampleAt, writeText } from '../hairline.ts';
import type { PlaneSize } from '../plane/draw-plane.ts';
import { fixed, significant } from '../show/number.ts';
import { numerals } from '../show/ticks.ts';

const LEFT = 34;
const TOP = 66;
const FOOT = 40;
const RPM = 60 / (2 * Math.PI);

const tenth = (px: number): number => Math.round(10 * px) / 10;

/** The tightest point of all tasks, of torque or of speed. */
export interface Tightest {
  readonly kind: 'torque' | 'speed';
  readonly task: string;
  readonly title: string;
  readonly index: number;
  readonly factor: number;
  readonly percent: number;
}

/** Over every task with a curve: the least of each margin and where it is. */
export function tightest({ design }: Moving, joint: DrivenJoint): Tightest[] {
  const found: Partial<Record<Tightest['kind'], Tightest>> = {};
  for (const [task, demand] of Object.entries(design.demands)) {
    const load = design.loads[task]?.[joint];
    if (load === undefined || demand.kind !== 'stride') continue;
    for (const [kind, factor, index] of [
      ['torque', load.torqueMargin, load.peakTorqueIndex],
      ['speed', load.speedMargin, load.speedMarginIndex],
    ] as const) {
      const least = found[kind]?.factor ?? Number.POSITIVE_INFINITY;
      const percent = demand.percent[index] ?? Number.NaN;
      if (factor < least) found[kind] = { kind, task, title: demand.task.title, index, factor, percent };
    }
  }
  return [found.torque, found.speed].filter((point) => point !== undefined);
}

export interface MotorPlaneDrawing {
  readonly move: (moving: Moving) => void;
  readonly at: (percent: number) => void;
}

/**
 * Motor torque (magnitude) against motor speed, braking to the left. The motor's limits hold still; the loops of the tasks move with
 * the ratio. The chosen task is bold, as saved behind it; the rest thin.
 */
export function drawMotorPlane(
  svg: SVGSVGElement,
  { width, height }: PlaneSize,
  saved: Moving,
  joint: DrivenJoint,
  chosen: StrideDemand,
): MotorPlaneDrawing {
  const drive = saved.input.leg.joints[joint]!;
  const { driving, braking } = motorEnvelope(drive, saved.input.leg.busVoltage);
  const ids = Object.keys(saved.design.loads).filter((id) => {
    const load = saved.design.loads[id]?.[joint];
    return load !== undefined && !Number.isNaN(load.motorTorque[0]);
  });
  const unloaded = (driving.at(-1)?.speed ?? 1) * RPM;
  const most = 1.16 * unloaded;
  const braked = 0.8 * unloaded;
  const top = 1.5 * (driving[0]?.torque ?? 1);
  const right = width - 8;
  const base = height - FOOT;
  const x = (speed: number) => LEFT + ((speed + braked) / (most + braked)) * (right - LEFT);
  const y = (torque: number) => base - (torque / top) * (base - TOP);
  const line = (points: readonly { speed: number; torque: number }[], sign: 1 | -1) =>
    points.map(({ speed, torque }) => `${round(x(sign * speed * RPM))} ${round(y(torque))}`).join('L');
  const window = { x: LEFT, y: TOP - 6, width: right - LEFT, height: base - TOP + 6 };
  const clip = () =>
    toElement(
      mark('svg', {
        class: 'clip',
        ...window,
        viewBox: `${window.x} ${window.y} ${window.width} ${window.height}`,
      }),
    );
  const ground = [
    mark(
      'text',
      { class: 'name', x: 0, y: 13 },
      'Motor torque',
      mark('tspan', { class: 'unit', dx: 6, 'font-weight': 400 }, 'N·m, magnitude, tasks with a curve'),
    ),
    mark('path', { class: 'edge crisp', d: `M${LEFT + 0.5} ${TOP - 6}V${base + 0.5}H${right}` }),
    mark('path', { class: 'zero crisp', d: `M${Math.round(x(0)) + 0.5} ${TOP}V${base}` }),
    ...numerals(0, top, 6).flatMap((value) => [
      mark(
        'text',
        { class: 'numeral', 'text-anchor': 'end', x: LEFT - 9, y: round(y(value) + 4) },
        fixed(value, Number.isInteger(value) ? 0 : 1),
      ),
      mark('path', { class: 'tick2 crisp', d: `M${LEFT - 5} ${Math.round(y(value)) + 0.5}h5` }),
    ]),
    ...numerals(-braked, most, 6).flatMap((value) => [
      mark(
        'text',
        { class: 'numeral', 'text-anchor': 'middle', x: round(x(value)), y: base + 18 },
        fixed(Math.abs(value), 0),
      ),
      mark('path', { class: 'tick2 crisp', d: `M${Math.round(x(value)) + 0.5} ${base}v5` }),
    ]),
    mark(
      'text',
      { class: 'unit', 'text-anchor': 'middle', x: round((LEFT + right) / 2), y: base + 35 },
      'brakes ← motor speed, rpm → drives',
    ),
  ].map(toElement);
  const limits = clip();
  limits.append(
    ...[
      mark('path', { class: 'edge', d: `M${line(driving, 1)}` }),
      mark('path', { class: 'edge', d: `M${line(braking, -1)}` }),
    ].map(toElement),
  );
  const limitName = toElement(
    mark(
      'text',
      {
        class: 'numeral',
        'text-anchor': 'end',
        x: round(x((driving[1]?.speed ?? 0) * RPM)),
        y: round(y(driving[0]?.torque ?? 0) - 5),
      },
      `limit ${fixed(driving[0]?.torque, 2)}`,
    ),
  );
  const path = (name: string) => toElement(mark('path', { class: name }));
  const order = ids.toSorted((a, b) => Number(a === chosen.task.id) - Number(b === chosen.task.id));
  const loops = order.map((id) => ({ id, path: path(id === chosen.task.id ? `curve ${joint}` : 'thin') }));
  const ghost = path('second dash-a in-none ghost-line');
  const curves = clip();
  curves.append(ghost, ...loops.map(({ path: drawn }) => drawn));
  const marks = (['torque', 'speed'] as const).map((kind, k) => ({
    kind,
    // told apart by form: a square for torque, a lozenge for speed
    form: toElement(
      mark('path', {
        class: 'pin',
        d: kind === 'torque' ? 'M-4 -4h8v8h-8z' : 'M0 -5.5l5.5 5.5l-5.5 5.5l-5.5 -5.5z',
      }),
    ),
    key: toElement(
      mark('path', {
        class: 'pin',
        d:
          kind === 'torque' ? `M1 ${23 + 17 * k}h8v8h-8z` : `M5 ${21.5 + 17 * k}l5.5 5.5l-5.5 5.5l-5.5 -5.5z`,
      }),
    ),
    text: toElement(mark('text', { class: 'label', x: 16, y: 31 + 17 * k })),
  }));
  const bead = toElement(mark('circle', { class: 'bead', r: 3.5 }));
  svg.replaceChildren(
    ...ground,
    limits,
    limitName,
    curves,
    ...marks.flatMap(({ form, key, text }) => [form, key, text]),
    bead,
  );

  const pointOf = (moving: Moving, id: string, index: number): readonly [number, number] | undefined => {
    const load = moving.design.loads[id]?.[joint];
    const [torque, speed] = [load?.motorTorque[index] ?? Number.NaN, load?.motorSpeed[index] ?? Number.NaN];
    if (Number.isNaN(torque)) return undefined;
    const drives = torque * speed >= 0 ? 1 : -1;
    return [x(drives * Math.abs(speed) * RPM), y(Math.abs(torque))];
  };
  /** Thin loops take every second sample: there are many, and they are drawn anew each frame. */
  const loopOf = (moving: Moving, id: string): string => {
    const n = moving.design.loads[id]?.[joint]?.motorTorque.length ?? 0;
    const step = id === chosen.task.id ? 1 : 2;
    let d = '';
    for (let i = 0; i < n; i += step) {
      const point = pointOf(moving, id, i);
      if (point !== undefined) d += `${d === '' ? 'M' : 'L'}${tenth(point[0])} ${tenth(point[1])}`;
    }
    return d;
  };
  const inWindow = ([px, py]: readonly [number, number]): boolean =>
    px >= window.x && px <= window.x + window.width && py >= window.y && py <= base;
  const place = (element: SVGElement, point: readonly [number, number] | undefined): void => {
    const seen = point !== undefined && inWindow(point);
    element.setAttribute('visibility', seen ? 'visible' : 'hidden');
    if (seen) element.setAttribute('transform', `translate(${point[0].toFixed(1)} ${point[1].toFixed(1)})`);
  };

  ghost.setAttribute('d', loopOf(saved, chosen.task.id));
  let now = saved;
  let percent = 0;
  return {
    move(moving) {
      now = moving;
      ghost.setAttribute('visibility', moving.ratio === saved.ratio ? 'hidden' : 'visible');
      for (const loop of loops) loop.path.setAttribute('d', loopOf(moving, loop.id));
      const points = tightest(moving, joint);
      for (const { kind, form, key, text } of marks) {
        const point = points.find((p) => p.kind === kind);
        for (const element of [key, text])
          element.setAttribute('visibility', point === undefined ? 'hidden' : 'visible');
        place(form, point && pointOf(moving, point.task, point.index));
        if (point !== undefined)
          writeText(
            text,
            `tightest ${kind} ×${significant(point.factor)}: ${point.title}, ${fixed(point.percent, 0)} %`,
          );
      }
      place(bead, pointOf(now, chosen.task.id, sampleAt(percent)));
    },
    at(next) {
      percent = next;
      place(bead, pointOf(now, chosen.task.id, sampleAt(percent)));
    },
  };
}
