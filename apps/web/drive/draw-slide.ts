import { LARGEST_RATIO, LEAST_RATIO } from '../design/live-ratio.ts';
import { type Mark, mark, round, toElement } from '../draw/mark.ts';
import { writeText } from '../hairline.ts';
import { fixed, significant } from '../show/number.ts';
import { type LogScale, logAt, logNumerals, logTicks } from './log-scale.ts';
import { type PairFrame, type SlideFrame, STRIP_HEIGHT } from './slide-frame.ts';
import type { Against, Pair } from './slide-model.ts';

/** px of a numeral and of a label, near enough to keep texts apart. */
const numeralWidth = (text: string): number => 5.8 * text.length;
const labelWidth = (text: string): number => 6 * text.length;

const HEIGHTS = [4, 6, 9, 12] as const;

/**
 * Ticks and numerals of one scale, its base at y; up: ticks rise from it, numerals above. A decade is a path: of a long scale that slides, only
 * what is in its window is painted.
 */
export function engraved(scale: LogScale, x0: number, y: number, up: boolean): Mark[] {
  const ticks = logTicks(scale);
  const paths = new Map<string, { readonly class: string; d: string }>();
  for (const { x, rank } of ticks) {
    const name = rank > 1 ? 'tick2' : 'tick0';
    const key = `${name} ${Math.floor(x / scale.decade)}`;
    const path = paths.get(key) ?? { class: `${name} crisp`, d: '' };
    path.d += `M${Math.round(x0 + x) + 0.5} ${y}v${up ? -HEIGHTS[rank] : HEIGHTS[rank]}`;
    paths.set(key, path);
  }
  return [
    ...Array.from(paths.values(), (path) => mark('path', path)),
    ...logNumerals(ticks, numeralWidth).map(({ x, text }) =>
      mark(
        'text',
        { class: 'numeral', 'text-anchor': 'middle', x: round(x0 + x), y: up ? y - 15 : y + 22 },
        text,
      ),
    ),
  ];
}

/** The sliding scale reads `against` where the fixed one reads 1; drawn long enough for every ratio the slide reaches. */
const stripScale = (pair: Pair, { scale }: PairFrame): LogScale => {
  // of the ratio's whole travel, whichever way
  const travel = (LARGEST_RATIO / LEAST_RATIO) ** Math.abs(pair.power);
  const low = 10 ** Math.floor(Math.log10((pair.against * scale.low) / travel));
  return { low, decade: scale.decade, length: 12 * scale.decade };
};

/** All that holds still: scales, names, the reach of the ratio. */
export function drawSlideGround(frame: SlideFrame, pairs: readonly Pair[]): Mark[] {
  const { x0, axis, narrow, ratio, ratioBase } = frame;
  const [from, to] = [LEAST_RATIO, LARGEST_RATIO].map((n) => Math.round(x0 + logAt(ratio, n)) + 0.5);
  const names = pairs.flatMap((pair, k): Mark[] => {
    const at = frame.pairs[k]!;
    const name = (x: number, y: number, text: string, unit: string) =>
      mark(
        'text',
        { class: 'name', x, y },
        text,
        mark('tspan', { class: 'unit', dx: 5, 'font-weight': 400 }, unit),
      );
    if (narrow)
      return [
        name(x0, at.above - 15, pair.fixed.name, pair.fixed.unit),
        name(x0, at.below + 15, pair.sliding.name, pair.sliding.unit),
      ];
    return [
      name(0, at.seam - 9, pair.fixed.name, pair.fixed.unit),
      name(0, at.seam + 18, pair.sliding.name, pair.sliding.unit),
    ];
  });
  return [
    ...engraved(ratio, x0, ratioBase, true),
    mark('path', { class: 'seam crisp', d: `M${x0} ${ratioBase + 0.5}H${x0 + axis + 1}` }),
    mark('path', { class: 'reach', d: `M${from} ${ratioBase + 1.5}H${to}` }),
    ...(narrow
      ? []
      : [
          mark('text', { class: 'name', x: 0, y: ratioBase - 4 }, 'Ratio'),
          mark('text', { class: 'unit', x: 0, y: ratioBase + 11 }, 'motor : joint'),
        ]),
    ...names,
    ...frame.pairs.flatMap(({ scale, seam }) => [
      mark('rect', { class: 'tongue crisp', x: x0, y: seam, width: axis + 1, height: STRIP_HEIGHT }),
      ...engraved(scale, x0, seam, true),
    ]),
  ];
}

/** Seams and ends, over the sliding scales. */
function edges(frame: SlideFrame): Mark[] {
  const { x0, axis } = frame;
  return frame.pairs.map(({ seam }) =>
    mark('path', {
      class: 'seam crisp',
      d: `M${x0} ${seam + 0.5}H${x0 + axis + 1}M${x0 + 0.5} ${seam - 12}V${seam + STRIP_HEIGHT}H${x0 + axis + 0.5}V${seam - 12}`,
    }),
  );
}

interface Part {
  /** Writes what differs from what stands there. */
  readonly attributes: (values: Readonly<Record<string, string | number>>) => void;
  readonly element: SVGElement;
}

const part = (tag: string, attributes: Readonly<Record<string, string | number>> = {}): Part => {
  const element = toElement(mark(tag, attributes));
  const written: Record<string, string | number> = { ...attributes };
  return {
    element,
    attributes(values) {
      for (const name in values) {
        const value = values[name]!;
        if (written[name] === value) continue;
        written[name] = value;
        element.setAttribute(name, String(value));
      }
    },
  };
};

export interface SlideDrawing {
  /** Marks what is read at the hairline on the first scales, in the fixed scales' units; NaN leaves the mark out. */
  readonly read: (values: readonly number[]) => void;
  /** Moves to a ratio; `saved` is where the leg file stands. */
  readonly move: (
    ratio: number,
    pairs: readonly Pair[],
    saved: { ratio: number; pairs: readonly Pair[] },
  ) => void;
}

/** Draws what moves, once, and gives the function that moves it. */
export function drawSlide(svg: SVGSVGElement, frame: SlideFrame, first: readonly Pair[]): SlideDrawing {
  const { x0, axis, ratio, ratioBase, narrow } = frame;
  const strips = first.map((pair, k) => {
    const at = frame.pairs[k]!;
    const scale = stripScale(pair, at);
    const moving = part('g');
    moving.element.append(...engraved(scale, 0, at.seam, false).map(toElement));
    const numerals = [...moving.element.querySelectorAll<SVGTextElement>('.numeral')].map((text) => ({
      text,
      x: Number(text.getAttribute('x')),
      half: numeralWidth(text.textContent ?? '') / 2 + 1,
      whole: true,
    }));
    const window = part('svg', {
      class: 'clip',
      x: x0,
      y: at.seam,
      width: axis + 1,
      height: STRIP_HEIGHT,
      viewBox: `0 ${at.seam} ${axis + 1} ${STRIP_HEIGHT}`,
    });
    window.element.append(moving.element);
    return { at, scale, moving, window, numerals };
  });
  const againsts = first.map((_, k) => {
    const at = frame.pairs[k]!;
    return [0, 1].map((row) => ({
      at,
      row,
      bar: part('rect', { y: at.seam - 4, height: 8 }),
      fixed: part('path', { class: 'edge crisp' }),
      sliding: part('path', { class: 'edge crisp' }),
      askedText: part('text', { class: 'label halo', y: at.above }),
      limitText: part('text', { class: 'label halo', y: at.below }),
    }));
  });
  const factors = first.map((_, k) =>
    part('text', {
      class: 'reading',
      ...(narrow
        ? { x: x0 + axis, y: frame.pairs[k]!.above - 15, 'text-anchor': 'end' }
        : { x: x0 + axis + 96, y: frame.pairs[k]!.seam - 6, 'text-anchor': 'end' }),
    }),
  );
  const seconds = first.map((_, k) =>
    part('text', {
      class: 'reading',
      x: x0 + axis + 96,
      y: frame.pairs[k]!.seam + 13,
      'text-anchor': 'end',
      visibility: narrow ? 'hidden' : 'visible',
    }),
  );
  const readings = frame.pairs.map(({ seam }) =>
    part('path', { class: 'accent crisp', d: `M0.5 ${seam - 12}V${seam + 12}`, visibility: 'hidden' }),
  );
  const ghosts = first.map(() => part('path', { class: 'ghost' }));
  const handle = part('g');
  handle.element.append(
    ...[
      mark('path', { class: 'edge crisp', d: 'M0.5 -14V8' }),
      mark('rect', { class: 'knob crisp', x: -15, y: 4, width: 31, height: 22 }),
      mark('path', { class: 'tick2 crisp', d: [-9, -5, -1, 3, 7].map((x) => `M${x + 1.5} 9v12`).join('') }),
    ].map(toElement),
  );
  const savedText = part('text', { class: 'label in-thin', y: ratioBase + 19 });
  const savedMark = part('path', { class: 'ghost' });
  svg.replaceChildren(
    ...strips.map(({ window }) => window.element),
    ...edges(frame).map(toElement),
    ...againsts
      .flat()
      .flatMap(({ bar, fixed: a, sliding, askedText, limitText }) =>
        [bar, a, sliding, askedText, limitText].map(({ element }) => element),
      ),
    ...[...readings, ...ghosts, ...factors, ...seconds, savedMark, savedText, handle].map(
      ({ element }) => element,
    ),
  );

  const inside = (x: number): boolean => x >= 0 && x <= axis;
  // words may run out of the axis as far as there is paper
  const [paperLeft, paperRight] = narrow ? [-4, axis + 4] : [-130, axis + 90];
  /** Puts words beside a mark, on the side that is asked for or has room; gives what they cover. */
  const placeText = (text: Part, at: number, words: string, left: boolean): readonly [number, number] => {
    const x = Math.max(0, Math.min(axis, at));
    const width = labelWidth(words) + 5;
    const end = left ? x - width >= paperLeft : x + width > paperRight;
    text.attributes({ x: round(x0 + x + (end ? -5 : 5)), 'text-anchor': end ? 'end' : 'start' });
    writeText(text.element, words);
    return end ? [x - width, x] : [x, x + width];
  };
  const apart = (a: readonly [number, number], b: readonly [number, number]): boolean =>
    a[1] + 6 <= b[0] || b[1] + 6 <= a[0];

  return {
    read(values) {
      readings.forEach((reading, k) => {
        const place = logAt(frame.pairs[k]!.scale, values[k] ?? Number.NaN);
        const seen = place >= 0 && place <= axis;
        reading.attributes({
          visibility: seen ? 'visible' : 'hidden',
          ...(seen && { transform: `translate(${Math.round(x0 + place)} 0)` }),
        });
      });
    },
    move(now, pairs, saved) {
      const x = Math.round(x0 + logAt(ratio, now));
      handle.attributes({ transform: `translate(${x} ${ratioBase})` });
      const there = x0 + logAt(ratio, saved.ratio);
      const changed = now !== saved.ratio;
      savedMark.attributes({
        d: `M${round(there)} ${ratioBase + 3}l4.5 8h-9z`,
        visibility: changed ? 'visible' : 'hidden',
      });
      const left = there < x;
      savedText.attributes({
        x: round(left ? Math.min(there + 4, x - 22) : Math.max(there - 4, x + 24)),
        y: ratioBase + 23,
        'text-anchor': left ? 'end' : 'start',
        visibility: changed ? 'visible' : 'hidden',
      });
      writeText(savedText.element, `saved ${fixed(saved.ratio, 1)}`);
      pairs.forEach((pair, k) => {
        const { at, scale, moving, numerals } = strips[k]!;
        // where the sliding scale's own low end stands on the fixed scale
        const shift = round(logAt(at.scale, scale.low / pair.against));
        moving.attributes({ transform: `translate(${shift} 0)` });
        // half a numeral reads as another number: it is whole or not there
        for (const numeral of numerals) {
          const whole = numeral.x + shift >= numeral.half && numeral.x + shift <= axis - numeral.half;
          if (numeral.whole === whole) continue;
          numeral.whole = whole;
          numeral.text.setAttribute('visibility', whole ? 'visible' : 'hidden');
        }
        const rows = [pair.first, pair.second];
        let peaks: readonly [readonly [number, number], readonly [number, number]] | undefined;
        againsts[k]!.forEach((drawn, row) => {
          const against: Against | undefined = rows[row];
          if (against === undefined || !(against.fixed > 0 && against.sliding > 0)) {
            for (const each of [drawn.bar, drawn.fixed, drawn.askedText])
              each.attributes({ visibility: 'hidden' });
            const alone = row === 0 ? pair.mark : undefined;
            const s = alone === undefined ? Number.NaN : logAt(at.scale, alone.sliding);
            drawn.sliding.attributes({
              ...(inside(s) && { d: `M${Math.round(x0 + s) + 0.5} ${at.seam - 6}V${at.below + 2}` }),
              visibility: inside(s) ? 'visible' : 'hidden',
            });
            drawn.limitText.attributes({ visibility: alone === undefined ? 'hidden' : 'visible' });
            if (alone !== undefined)
              placeText(
                drawn.limitText,
                s,
                `${alone.slidingName}: ${significant(alone.sliding)} ${pair.fixed.unit}`,
                false,
              );
            return;
          }
          const a = logAt(at.scale, against.fixed);
          const s = logAt(at.scale, against.sliding);
          const [from, to] = [Math.min(a, s), Math.max(a, s)].map((place) =>
            Math.max(0, Math.min(axis, place)),
          ) as [number, number];
          drawn.bar.attributes({
            class: against.factor >= 1 ? 'room crisp' : 'lack crisp',
            visibility: 'visible',
            x: Math.round(x0 + from) + 0.5,
            width: Math.max(0, Math.round(to - from)),
          });
          const seen = (place: number) => (inside(place) ? 'visible' : 'hidden');
          drawn.fixed.attributes({
            d: `M${Math.round(x0 + a) + 0.5} ${at.above - 8}V${at.seam}`,
            visibility: seen(a),
          });
          drawn.sliding.attributes({
            d: `M${Math.round(x0 + s) + 0.5} ${at.seam}V${at.below + 2}`,
            visibility: seen(s),
          });
          const beyond = (place: number) => (inside(place) ? '' : ', beyond scale');
          const [fixedName, slidingName] = narrow ? against.short : [against.fixedName, against.slidingName];
          // the day's marks lie left of the peaks': their words go left, the peaks' right; where they would meet, the peaks' stay
          const said = [
            placeText(
              drawn.askedText,
              a,
              `${fixedName} ${significant(against.fixed)}${beyond(a)}`,
              row === 1,
            ),
            placeText(drawn.limitText, s, `${slidingName}${beyond(s)}`, row === 1),
          ] as const;
          const clear = [0, 1].map((side) => peaks === undefined || apart(peaks[side]!, said[side]!));
          drawn.askedText.attributes({ visibility: clear[0] ? 'visible' : 'hidden' });
          drawn.limitText.attributes({ visibility: clear[1] ? 'visible' : 'hidden' });
          if (row === 0) peaks = said;
        });
        const ghostAt = saved.pairs[k]?.first?.sliding ?? saved.pairs[k]?.mark?.sliding;
        const g = ghostAt === undefined ? Number.NaN : logAt(at.scale, ghostAt);
        ghosts[k]!.attributes({
          d: `M${round(x0 + g)} ${at.seam + 1.5}l4.5 8h-9z`,
          visibility: changed && inside(g) ? 'visible' : 'hidden',
        });
        const said = (of: string, factor: number | undefined) =>
          factor === undefined ? '' : `${of} ×${significant(factor)}`;
        const [one, two] = [
          said(pair.of, pair.first?.factor),
          said(pair.second?.of ?? '', pair.second?.factor),
        ];
        writeText(factors[k]!.element, narrow && two !== '' ? `${one}, ${two}` : one);
        writeText(seconds[k]!.element, two);
      });
    },
  };
}
