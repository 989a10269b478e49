import { type HandSwing, sampleCurve } from '@striderule/engine';
import { type Mark, mark, round, toElement } from '../draw/mark.ts';
import { writeText } from '../hairline.ts';
import { spreadLabels } from '../show/labels.ts';
import { fixed } from '../show/number.ts';
import { limitsOf, numerals } from '../show/ticks.ts';
import { degrees } from '../show/unit.ts';
import { thighReach } from './draw-hand.ts';
import { type HandRun, STRIP_SECONDS, type Strip } from './hand-run.ts';

/** One lane of the strip: what it shows of the run, in the unit people read. */
interface Lane {
  readonly key: keyof Strip;
  readonly own?: keyof Strip;
  readonly name: string;
  readonly unit: string;
  readonly note: string;
  readonly tone: 'hip' | 'force' | 'knee' | 'ankle';
  readonly low: number;
  readonly high: number;
  readonly decimals: number;
  readonly of: (value: number) => number;
}

/** px */
export interface StripFrame {
  readonly narrow: boolean;
  readonly width: number;
  readonly height: number;
  readonly x0: number;
  readonly axis: number;
}

const TOP = 10;
const BAND = 82;
const FOOT = 24;

export function stripFrame(available: number): StripFrame {
  const narrow = available < 560;
  const [x0, right] = narrow ? [0, 0] : [124, 92];
  return { narrow, width: available, height: TOP + 4 * BAND + FOOT, x0, axis: available - x0 - right };
}

function lanes({ plan }: HandSwing, reach: { readonly low: number; readonly high: number }): readonly Lane[] {
  const own = (curve: typeof plan.own.knee) => limitsOf(sampleCurve(curve).value.map(degrees));
  return [
    {
      ...{ key: 'thigh', name: 'Thigh', unit: '°', note: 'forward +', tone: 'hip' },
      ...{ ...reach, decimals: 1, of: degrees },
    },
    {
      ...{ key: 'phase', name: 'Phase', unit: '%', note: 'of the stride', tone: 'force' },
      ...{ low: -4, high: 104, decimals: 1, of: (s: number) => 100 * s },
    },
    {
      ...{ key: 'knee', own: 'ownKnee', name: 'Knee', unit: '°', note: 'flexion +', tone: 'knee' },
      ...{ ...own(plan.own.knee), decimals: 1, of: degrees },
    },
    {
      ...{ key: 'ankle', own: 'ownAnkle', name: 'Ankle', unit: '°', note: 'dorsiflexion +', tone: 'ankle' },
      ...{ ...own(plan.own.ankle), decimals: 1, of: degrees },
    },
  ] as const;
}

export interface StripDrawing {
  readonly show: (run: HandRun) => void;
}

/** Draws the strip's ground once and gives what writes its curves: newest at the right. */
export function drawStrip(svg: SVGSVGElement, frame: StripFrame, of: HandSwing): StripDrawing {
  const { narrow, x0, axis } = frame;
  const drawn = lanes(of, thighReach(of));
  const yAt = (k: number, { low, high }: Lane, value: number): number =>
    TOP + k * BAND + (narrow ? 20 : 8) + (BAND - (narrow ? 26 : 14)) * (1 - (value - low) / (high - low));
  const foot = TOP + drawn.length * BAND;
  const still: Mark[] = drawn.flatMap((lane, k): Mark[] => {
    const base = TOP + (k + 1) * BAND - 0.5;
    const marks: Mark[] = [
      mark('path', { class: 'seam crisp', d: `M${x0} ${base}H${x0 + axis + 1}` }),
      narrow
        ? mark(
            'text',
            { class: 'name', x: 4, y: base - BAND + 15 },
            lane.name,
            mark('tspan', { class: 'unit', dx: 5, 'font-weight': 400 }, `${lane.unit}, ${lane.note}`),
          )
        : mark('text', { class: 'name', x: 0, y: base - BAND + 26 }, lane.name),
    ];
    if (!narrow)
      marks.push(mark('text', { class: 'unit', x: 0, y: base - BAND + 42 }, `${lane.unit}, ${lane.note}`));
    for (const value of numerals(lane.low, lane.high, narrow ? 3 : 4)) {
      const y = Math.round(yAt(k, lane, value)) + 0.5;
      if (Math.abs(value) < 1e-9)
        marks.push(mark('path', { class: 'zero crisp', d: `M${x0} ${y}H${x0 + axis}` }));
      if (narrow) continue;
      marks.push(
        mark('text', { class: 'numeral', 'text-anchor': 'end', x: x0 - 9, y: y + 3.5 }, fixed(value, 0)),
        mark('path', { class: 'tick2 crisp', d: `M${x0 - 6} ${y}H${x0}` }),
      );
    }
    const leads: readonly [string, number][] =
      lane.key === 'phase' && of.method === 'latch'
        ? [
            ['toe-off', 100 * of.map.toeOff],
            ['by time', 100 * of.map.fullPhase],
          ]
        : [];
    for (const [, value] of leads) {
      const y = Math.round(yAt(k, lane, value)) + 0.5;
      marks.push(mark('path', { class: 'limit', d: `M${x0} ${y}H${x0 + axis}` }));
    }
    const places = spreadLabels(
      leads.map(([, value]) => yAt(k, lane, value)),
      13,
      TOP + k * BAND,
      base,
    );
    if (!narrow)
      leads.forEach(([name], n) => {
        marks.push(mark('text', { class: 'unit', x: x0 + axis + 8, y: round((places[n] ?? 0) + 4) }, name));
      });
    return marks;
  });
  const seconds = Array.from({ length: STRIP_SECONDS + 1 }, (_, s) => s);
  const tick = (s: number) => Math.round(x0 + (axis * s) / STRIP_SECONDS) + 0.5;
  still.push(
    mark('path', { class: 'tick2 crisp', d: seconds.map((s) => `M${tick(s)} ${foot}v6`).join('') }),
    ...seconds.map((s) =>
      mark(
        'text',
        {
          class: 'numeral',
          x: tick(s),
          y: foot + 19,
          'text-anchor': narrow && s === 0 ? 'start' : narrow && s === STRIP_SECONDS ? 'end' : 'middle',
        },
        s === STRIP_SECONDS ? 'now' : `${fixed(s - STRIP_SECONDS, 0)} s`,
      ),
    ),
  );
  const curves = drawn.map((lane) => ({
    own: toElement(mark('path', { class: 'thin' })),
    main: toElement(mark('path', { class: `curve ${lane.tone}` })),
    reading: toElement(mark('text', { class: 'reading halo' })),
  }));
  const unheard = toElement(
    mark('text', { class: 'gap halo', 'text-anchor': 'end', x: x0 + axis - 6, y: TOP + (narrow ? 34 : 20) }),
  );
  svg.replaceChildren(
    ...still.map(toElement),
    ...curves.flatMap(({ own, main, reading }) => [own, main, reading]),
    unheard,
  );
  const path = (values: Float64Array, k: number, lane: Lane): string => {
    let d = '';
    let before = Number.NaN;
    const last = values.length - 1;
    for (let i = 0; i <= last; i++) {
      const value = lane.of(values[i] ?? Number.NaN);
      if (Number.isNaN(value)) {
        before = Number.NaN;
        continue;
      }
      // a phase that begins anew is no fall
      const broken = Number.isNaN(before) || (lane.key === 'phase' && Math.abs(value - before) > 50);
      d += `${broken ? 'M' : 'L'}${(x0 + (axis * i) / last).toFixed(1)} ${yAt(k, lane, value).toFixed(1)}`;
      before = value;
    }
    return d;
  };
  return {
    show({ strip, plugged }) {
      drawn.forEach((lane, k) => {
        const { own, main, reading } = curves[k]!;
        // of the thigh, what is heard is the curve, and what it does meanwhile is thin
        const [shown, beside] =
          lane.key === 'thigh' ? [strip.heard, strip.thigh] : [strip[lane.key], lane.own && strip[lane.own]];
        main.setAttribute('d', path(shown, k, lane));
        if (beside !== undefined) own.setAttribute('d', path(beside, k, lane));
        const now = lane.of(shown.at(-1) ?? Number.NaN);
        writeText(
          reading,
          `${fixed(now, lane.decimals)}${lane.unit === '°' ? '' : ' '}${Number.isNaN(now) ? '' : lane.unit}`,
        );
        reading.setAttribute('text-anchor', narrow ? 'end' : 'start');
        reading.setAttribute('x', String(narrow ? x0 + axis - 4 : x0 + axis + 8));
        reading.setAttribute('y', String(TOP + k * BAND + (narrow ? 15 : BAND - 12)));
      });
      const moved = strip.thigh.some((value) => !Number.isNaN(value));
      writeText(
        unheard,
        !plugged ? 'not heard' : moved ? '' : 'take the knee of the leg, or play the recorded stride',
      );
    },
  };
}
