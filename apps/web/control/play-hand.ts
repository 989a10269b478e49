import { HAND, HAND_THIGH, type HandSwing, type LegSegments } from '@striderule/engine';
import { writeText } from '../hairline.ts';
import { fixed, GAP, significant } from '../show/number.ts';
import { degrees } from '../show/unit.ts';
import { drawHand, HAND_SIZE } from './draw-hand.ts';
import { drawStrip, type StripFrame } from './draw-strip.ts';
import { frameLoad } from './frame-load.ts';
import { advance, type HandRun, placeNow, recordedNow, rests } from './hand-run.ts';
import { holdText, paceText, spoken, stateText } from './hand-words.ts';

/** ms between two looks of the strip and of the words: the eye does not see more. Our choice. */
const STRIP_EVERY = 30;
const WORDS_EVERY = 120;

/** Where a leg in somebody's hand shows. */
export interface HandFace {
  readonly leg: SVGSVGElement;
  readonly strip: SVGSVGElement;
  readonly slider: HTMLElement;
  /** Its cells marked `data-now`, in the order of `nowTexts`. */
  readonly cells: HTMLElement;
  readonly said: HTMLElement;
  readonly holds: HTMLElement;
  readonly paces: HTMLElement;
  readonly costs: HTMLElement;
}

function nowTexts(run: HandRun): string[] {
  const { says } = run.state;
  const own = recordedNow(run);
  const phase = says[HAND.phase] ?? Number.NaN;
  return [
    fixed(degrees(run.thigh[HAND_THIGH.angle] ?? Number.NaN), 1),
    Number.isNaN(phase) ? GAP : fixed(100 * phase, 1),
    ...[says[HAND.knee], says[HAND.ankle]].map((angle) => fixed(degrees(angle ?? Number.NaN), 1)),
    fixed(100 * placeNow(run), 1),
    ...[own.knee, own.ankle].map((angle) => fixed(degrees(angle), 1)),
  ];
}

/** Ticks the run that `current` gives, frame by frame, while it moves and is seen. `wake` after anything that leads it. */
export function playHand(
  face: HandFace,
  of: HandSwing,
  frame: StripFrame,
  segments: LegSegments,
  current: () => HandRun | undefined,
): { wake: () => void; end: () => void } {
  const { slider } = face;
  const drawing = drawHand(face.leg, of, segments);
  const lines = drawStrip(face.strip, frame, of);
  const load = frameLoad();
  let [request, last, shown, told] = [0, Number.NaN, 0, 0];
  let seen = true;

  const tell = (run: HandRun) => {
    const texts = nowTexts(run);
    face.cells.querySelectorAll('[data-now]').forEach((cell, k) => {
      writeText(cell, texts[k] ?? '');
    });
    const thigh = run.thigh[HAND_THIGH.angle] ?? Number.NaN;
    slider.setAttribute('aria-valuenow', fixed(degrees(thigh), 0).replace('−', '-'));
    slider.setAttribute('aria-valuetext', spoken(run));
    writeText(face.holds, holdText(run));
    writeText(face.paces, paceText(run));
    writeText(face.said, stateText(run));
  };
  const draw = (run: HandRun, time: number) => {
    drawing.pose(run);
    const [x, y] = drawing.handle(run);
    slider.style.setProperty('--x', `${(100 * x) / HAND_SIZE.width}%`);
    slider.style.setProperty('--y', `${(100 * y) / HAND_SIZE.height}%`);
    if (time - shown > STRIP_EVERY) {
      shown = time;
      lines.show(run);
    }
    if (time - told > WORDS_EVERY) {
      told = time;
      tell(run);
    }
  };
  const step = (time: number) => {
    const run = current();
    if (run === undefined) return;
    const begun = performance.now();
    const ticks = advance(run, Number.isNaN(last) ? 0 : Math.max(0, time - last) / 1000);
    last = time;
    const ticked = performance.now();
    draw(run, time);
    const cost = load(time, { tick: ticked - begun, draw: performance.now() - ticked, ticks });
    // at rest nothing is worked out: nothing to tell the cost of
    if (cost !== undefined && cost.ticks >= 1) {
      const share = (x: number) => significant(100 * x, 2);
      writeText(
        face.costs,
        `${fixed(cost.ticks, 0)} ticks a second take ${share(cost.tick)} % of one core, with the drawing ${share(cost.frame)} %.`,
      );
      face.costs.dataset.load = JSON.stringify(cost);
    }
    if (rests(run)) {
      [request, last] = [0, Number.NaN];
      lines.show(run);
      tell(run);
      return;
    }
    request = requestAnimationFrame(step);
  };
  const sleep = () => {
    cancelAnimationFrame(request);
    [request, last] = [0, Number.NaN];
  };
  const wake = () => {
    if (request === 0 && seen) request = requestAnimationFrame(step);
  };
  const sight = new IntersectionObserver((entries) => {
    seen = entries.at(-1)?.isIntersecting ?? false;
    if (seen) wake();
    else sleep();
  });
  sight.observe(face.leg);
  const run = current();
  if (run !== undefined) {
    draw(run, performance.now());
    tell(run);
    lines.show(run);
  }
  wake();
  return {
    wake,
    end: () => {
      sight.disconnect();
      sleep();
    },
  };
}
