import {
  HAND,
  HAND_METHODS,
  HAND_THIGH,
  type HandMethod,
  type HandSwing,
  HOLD,
  handSwing,
  radFromDeg,
  type StudyInput,
} from '@striderule/engine';
import { type KeyboardEvent, type PointerEvent, useEffect, useMemo, useRef, useState } from 'react';
import { fromElement } from '../draw/mark.ts';
import { svgFile } from '../draw/svg-file.ts';
import { writeText } from '../hairline.ts';
import { useWidth } from '../rule/use-width.ts';
import { Section } from '../sections/section.tsx';
import { type Cell, csvText } from '../show/csv.ts';
import { fixed, GAP, significant } from '../show/number.ts';
import { saveFile } from '../show/save-file.ts';
import { degrees } from '../show/unit.ts';
import { angleTowards, drawHand, HAND_SIZE, thighReach } from './draw-hand.ts';
import { drawStrip, stripFrame } from './draw-strip.ts';
import {
  advance,
  demonstrate,
  finishing,
  type HandRun,
  handRun,
  lead,
  lift,
  placeNow,
  recordedNow,
  rests,
  STRIP_SECONDS,
  STRIP_STEP,
} from './hand-run.ts';

const METHOD: Readonly<Record<HandMethod, string>> = {
  latch: 'latched thigh map with play',
  plane: 'phase plane',
  oscillator: 'adaptive oscillator',
};
/** What to feel for. */
const FEEL: Readonly<Record<HandMethod, string>> = {
  latch:
    'It knows where the thigh has been, not how fast: stop, and the leg stops; go back a little, and it stays within its play, the arc beside the scale; go back further, and it follows you back. Where the thigh leads no more the swing finishes by time.',
  plane:
    'It reads angle and speed together, and its pace is the recorded stride’s: swing at another pace and the knee comes early or late; stop, and without speed half of it is gone, so the knee jumps away from under you.',
  oscillator:
    'It learns a rhythm and has a clock of its own: swing evenly and it follows you after a few strides; stop, and it walks on without you.',
};

const still = (): boolean => matchMedia('(prefers-reduced-motion: reduce)').matches;

interface SwingByHandProps {
  readonly input: StudyInput;
  readonly task: string;
  readonly title: string;
  readonly method: HandMethod;
  readonly onMethod: (method: HandMethod) => void;
}

/** The drawn leg in the reader's own hand: the study's swing controller, ticked in the browser. */
export function SwingByHand({ input, task, title, method, onMethod }: SwingByHandProps) {
  const of = useMemo(() => handSwing(input, task, method), [input, task, method]);
  return (
    <Section title="Swing it yourself">
      <p className="note">
        Take the knee and swing the thigh, fast, slow, stop, back. Knee and ankle are what the controller
        commands from the thigh alone; the thin leg is the recorded stride at the same thigh.
      </p>
      <fieldset className="pick">
        <legend>Phase by</legend>
        <div className="words">
          {HAND_METHODS.map((name) => (
            <label key={name}>
              <input type="radio" name="phase" checked={name === method} onChange={() => onMethod(name)} />
              <span>{METHOD[name]}</span>
            </label>
          ))}
        </div>
      </fieldset>
      {'openBecause' in of ? (
        <p className="empty">
          {title} cannot be swung: {of.openBecause}.
        </p>
      ) : (
        <Hand of={of} input={input} title={title} />
      )}
    </Section>
  );
}

/** Shares of one core over the last second: of the ticks, and of everything that is done for a frame. */
function makeLoad() {
  let [since, ticking, drawing, ticks, frames] = [Number.NaN, 0, 0, 0, 0];
  return (now: number, spent: { tick: number; draw: number; ticks: number }) => {
    if (Number.isNaN(since)) since = now;
    ticking += spent.tick;
    drawing += spent.draw;
    ticks += spent.ticks;
    frames++;
    if (now - since < 1000) return undefined;
    const all = now - since;
    const load = {
      ticks: (1000 * ticks) / all,
      tick: ticking / all,
      frame: (ticking + drawing) / all,
      frames,
    };
    [since, ticking, drawing, ticks, frames] = [now, 0, 0, 0, 0];
    return load;
  };
}

/** Per cent of a stride; beyond what a hand can tell apart only that it is less. */
const little = (share: number): string =>
  share > 0 && share < 1e-5 ? 'less than 0.001' : significant(100 * share, 2);

const holdText = ({ held, hold }: HandRun): string => {
  if (held === undefined) return 'Hold it still for half a second.';
  const goes = (hold[HOLD.time] ?? 0) > 0.5;
  return `${goes ? 'Held' : 'Last hold:'} ${fixed(held.time, 1)} s, phase moved ${little(held.drift)} % of the stride${held.finished ? ', finishing by time' : ''}.`;
};

const paceText = ({ pass, of }: HandRun): string => {
  const { compared } = pass;
  if (compared === undefined)
    return 'Bring the thigh forward twice from behind toe-off, once slow and once fast.';
  const speed = (share: number) => fixed(degrees(share * (of.map.full - of.map.referenceOn)), 0);
  return `Last two passes, ${speed(compared.earlier)}°/s and ${speed(compared.later)}°/s: at the same thigh the phase differs by up to ${little(compared.warp)} % of the stride.`;
};

/** What is worth telling aloud: it changes seldom. */
function stateText(run: HandRun): string {
  const fault = run.state.says[HAND.fault];
  if (!run.plugged)
    return 'Sensor unplugged: the controller hears no thigh, holds knee and ankle where they are, and says so.';
  if (fault === 2)
    return 'The foot left the ground with the thigh already forward, less than 15° to go: the phase stays until the next toe-off.';
  if (run.shown !== undefined) {
    const { clock, demo } = run.shown;
    if (clock > demo.heldFrom && clock < demo.heldTo) return 'The recorded thigh is held half way.';
    return 'The recorded stride plays.';
  }
  if (finishing(run)) return 'The thigh leads no more: the swing has been finished by time.';
  return run.touched ? 'The thigh leads.' : 'The leg stands at toe-off.';
}

const spoken = (run: HandRun): string => {
  const { says } = run.state;
  const phase = says[HAND.phase] ?? Number.NaN;
  return `${fixed(degrees(run.thigh[HAND_THIGH.angle] ?? Number.NaN), 0)} degrees forward. Phase ${Number.isNaN(phase) ? 'none in stance' : `${fixed(100 * phase, 0)} per cent`}, knee ${fixed(degrees(says[HAND.knee] ?? Number.NaN), 0)} degrees, ankle ${fixed(degrees(says[HAND.ankle] ?? Number.NaN), 0)} degrees`;
};

const HEAD = [
  'time, s',
  'thigh, ° (forward +)',
  'thigh heard, °',
  'phase, % of the stride',
  'knee, ° (flexion +)',
  'ankle, ° (dorsiflexion +)',
  'recorded knee, °',
  'recorded ankle, °',
];

/** The last seconds, every `step`-th sample; what was before the beginning is left out. */
function stripRows({ strip }: HandRun, step: number): Cell[][] {
  const rows: Cell[][] = [HEAD];
  const last = strip.thigh.length - 1;
  for (let i = last % step; i <= last; i += step) {
    if (Number.isNaN(strip.thigh[i])) continue;
    const { thigh, heard, phase, knee, ankle, ownKnee, ownAnkle } = strip;
    const angle = (curve: Float64Array) => Number(degrees(curve[i] ?? Number.NaN).toFixed(2));
    rows.push([
      Number(((i - last) * STRIP_STEP).toFixed(2)),
      ...[angle(thigh), angle(heard), Number((100 * (phase[i] ?? Number.NaN)).toFixed(3))],
      ...[angle(knee), angle(ankle), angle(ownKnee), angle(ownAnkle)],
    ]);
  }
  return rows;
}

interface HandProps {
  readonly of: HandSwing;
  readonly input: StudyInput;
  readonly title: string;
}

function Hand({ of, input, title }: HandProps) {
  const host = useRef<HTMLDivElement>(null);
  const leg = useRef<SVGSVGElement>(null);
  const strip = useRef<SVGSVGElement>(null);
  const slider = useRef<HTMLDivElement>(null);
  const cells = useRef<HTMLTableSectionElement>(null);
  const [holds, paces, said, costs] = [
    useRef<HTMLParagraphElement>(null),
    useRef<HTMLParagraphElement>(null),
    useRef<HTMLParagraphElement>(null),
    useRef<HTMLParagraphElement>(null),
  ];
  const run = useRef<HandRun>(undefined);
  const wake = useRef(() => {});
  const grip = useRef(0);
  const { width, laidOut } = useWidth(host);
  const frame = useMemo(() => stripFrame(width), [width]);
  const [plugged, setPlugged] = useState(true);
  const [table, setTable] = useState<Cell[][]>();
  const { segments } = input.leg;
  const reach = thighReach(of);

  useEffect(() => {
    const before = run.current;
    const now = handRun(of);
    // another phase is felt at the same thigh: it is led there from toe-off
    if (before?.touched === true && before.of.task === of.task) lead(now, before.target);
    if (before !== undefined) now.plugged = before.plugged;
    run.current = now;
    setTable(undefined);
  }, [of]);

  useEffect(() => {
    const [legSvg, stripSvg, handle] = [leg.current, strip.current, slider.current];
    if (!laidOut || legSvg === null || stripSvg === null || handle === null) return;
    const drawing = drawHand(legSvg, of, segments);
    const lines = drawStrip(stripSvg, frame, of);
    const load = makeLoad();
    let [request, last, shown, told] = [0, Number.NaN, 0, 0];
    let seen = true;
    const draw = (now: HandRun, time: number) => {
      drawing.pose(now);
      const [x, y] = drawing.handle(now);
      handle.style.setProperty('--x', `${(100 * x) / HAND_SIZE.width}%`);
      handle.style.setProperty('--y', `${(100 * y) / HAND_SIZE.height}%`);
      // every other frame: the eye does not see more of a strip
      if (time - shown > 30) {
        shown = time;
        lines.show(now);
      }
      if (time - told > 120) {
        told = time;
        tell(now);
      }
    };
    const tell = (now: HandRun) => {
      const { says } = now.state;
      const own = recordedNow(now);
      const thigh = now.thigh[HAND_THIGH.angle] ?? Number.NaN;
      const phase = says[HAND.phase] ?? Number.NaN;
      const texts = [
        ...[fixed(degrees(thigh), 1), Number.isNaN(phase) ? GAP : fixed(100 * phase, 1)],
        ...[says[HAND.knee], says[HAND.ankle]].map((angle) => fixed(degrees(angle ?? Number.NaN), 1)),
        fixed(100 * placeNow(now), 1),
        ...[own.knee, own.ankle].map((angle) => fixed(degrees(angle), 1)),
      ];
      cells.current?.querySelectorAll('[data-now]').forEach((cell, k) => {
        writeText(cell, texts[k] ?? '');
      });
      handle.setAttribute('aria-valuenow', fixed(degrees(thigh), 0).replace('−', '-'));
      handle.setAttribute('aria-valuetext', spoken(now));
      for (const [ref, text] of [
        [holds, holdText(now)],
        [paces, paceText(now)],
        [said, stateText(now)],
      ] as const)
        if (ref.current !== null) writeText(ref.current, text);
    };
    const step = (time: number) => {
      const now = run.current;
      if (now === undefined) return;
      const begun = performance.now();
      const ticks = advance(now, Number.isNaN(last) ? 0 : Math.max(0, time - last) / 1000);
      last = time;
      const ticked = performance.now();
      draw(now, time);
      const cost = load(time, { tick: ticked - begun, draw: performance.now() - ticked, ticks });
      if (cost !== undefined && costs.current !== null) {
        const share = (x: number) => significant(100 * x, 2);
        writeText(
          costs.current,
          `${fixed(cost.ticks, 0)} ticks a second take ${share(cost.tick)} % of one core, with the drawing ${share(cost.frame)} %.`,
        );
        costs.current.dataset.load = JSON.stringify(cost);
      }
      if (rests(now)) {
        [request, last] = [0, Number.NaN];
        lines.show(now);
        tell(now);
        return;
      }
      request = requestAnimationFrame(step);
    };
    wake.current = () => {
      if (request === 0 && seen) request = requestAnimationFrame(step);
    };
    const sight = new IntersectionObserver((entries) => {
      seen = entries.at(-1)?.isIntersecting ?? false;
      if (seen) wake.current();
      else {
        cancelAnimationFrame(request);
        [request, last] = [0, Number.NaN];
      }
    });
    sight.observe(legSvg);
    if (run.current !== undefined) {
      draw(run.current, performance.now());
      tell(run.current);
      lines.show(run.current);
    }
    wake.current();
    return () => {
      sight.disconnect();
      cancelAnimationFrame(request);
      wake.current = () => {};
    };
  }, [laidOut, of, frame, segments, holds, paces, said, costs]);

  const goTo = (angle: number) => {
    if (run.current === undefined) return;
    lead(run.current, radFromDeg(Math.min(reach.high, Math.max(reach.low, angle)) as never));
    wake.current();
  };
  const pointed = (event: PointerEvent): number => {
    const box = (leg.current as SVGSVGElement).getBoundingClientRect();
    const scale = HAND_SIZE.width / box.width;
    return angleTowards((event.clientX - box.left) * scale, (event.clientY - box.top) * scale);
  };
  const onPointerDown = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0 || run.current === undefined) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    slider.current?.focus({ preventScroll: true });
    grip.current = degrees(run.current.thigh[HAND_THIGH.angle] ?? 0) - pointed(event);
  };
  const onPointerMove = (event: PointerEvent<HTMLDivElement>) => {
    if (event.currentTarget.hasPointerCapture(event.pointerId)) goTo(pointed(event) + grip.current);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.altKey || event.ctrlKey || event.metaKey || run.current === undefined) return;
    const now = degrees(run.current.target);
    const large = event.shiftKey ? 5 : 1;
    const to = {
      ...{ ArrowLeft: now - large, ArrowDown: now - large, ArrowRight: now + large, ArrowUp: now + large },
      ...{ PageDown: now - 10, PageUp: now + 10, Home: reach.low, End: reach.high },
    }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    goTo(to);
  };
  const act = (what: (now: HandRun) => void) => () => {
    if (run.current === undefined) return;
    what(run.current);
    wake.current();
  };
  const play = act((now) => {
    demonstrate(now);
    // nothing moves by itself where that is not wanted: the strip shows at once what would have been played
    if (still()) while (now.shown !== undefined) advance(now, 0.1);
  });
  const unplug = act((now) => {
    now.plugged = !now.plugged;
    setPlugged(now.plugged);
  });
  const words = `${title}: thigh, phase, knee and ankle over the last ${STRIP_SECONDS} seconds. Thin: the recorded knee and ankle at the same thigh. The numbers stand in the table beside it.`;
  const saveStrip = () => {
    if (strip.current === null) return;
    saveFile(
      `swing-${of.task}-${of.method}.svg`,
      svgFile(frame.width, frame.height, `${title}, ${METHOD[of.method]}`, words, [
        ...[...strip.current.children].map(fromElement),
      ]),
      'image/svg+xml',
    );
  };
  const saveLeg = () => {
    if (leg.current === null || run.current === undefined) return;
    const { width: w, height: h } = HAND_SIZE;
    saveFile(
      `swing-leg-${of.task}-${of.method}.svg`,
      svgFile(w, h, `${title}, ${METHOD[of.method]}`, spoken(run.current), [
        ...[...leg.current.children].map(fromElement),
      ]),
      'image/svg+xml',
    );
  };
  return (
    <div className="hand">
      <figure className="hand-leg" aria-label="The leg to swing">
        <div className="hand-face" onPointerDown={onPointerDown} onPointerMove={onPointerMove}>
          <svg
            ref={leg}
            width={HAND_SIZE.width}
            height={HAND_SIZE.height}
            viewBox={`0 0 ${HAND_SIZE.width} ${HAND_SIZE.height}`}
            role="img"
            aria-label="Thigh, shank and foot hung from the hip over a scale of the thigh’s angle; the numbers stand in the table beside it."
          />
          <div
            ref={slider}
            className="hand-knob"
            role="slider"
            tabIndex={0}
            aria-label="Thigh, degrees forward of the vertical"
            aria-valuemin={reach.low}
            aria-valuemax={reach.high}
            aria-valuenow={0}
            onKeyDown={onKeyDown}
          />
        </div>
        <figcaption className="acts">
          <button type="button" className="act" onClick={play}>
            Play the recorded stride
          </button>
          <button type="button" className="act" aria-pressed={!plugged} onClick={unplug}>
            {plugged ? 'Unplug the sensor' : 'Plug the sensor in'}
          </button>
          {of.method === 'latch' && (
            <button type="button" className="act" onClick={act(lift)}>
              Set the foot down and lift it here
            </button>
          )}
          <button type="button" className="act" onClick={saveLeg}>
            Save the leg as SVG
          </button>
        </figcaption>
      </figure>
      <div className="hand-said">
        <figure aria-label="The last seconds">
          <div ref={host}>
            <svg ref={strip} width={frame.width} height={frame.height} role="img" aria-label={words} />
          </div>
          <figcaption className="acts">
            <button type="button" className="act" onClick={saveStrip}>
              Save the strip as SVG
            </button>
            <button
              type="button"
              className="act"
              onClick={() =>
                run.current !== undefined &&
                saveFile(`swing-${of.task}-${of.method}.csv`, csvText(stripRows(run.current, 1)), 'text/csv')
              }
            >
              Save it as CSV
            </button>
            <button
              type="button"
              className="act"
              aria-expanded={table !== undefined}
              onClick={() =>
                setTable(
                  table === undefined && run.current !== undefined ? stripRows(run.current, 25) : undefined,
                )
              }
            >
              {table === undefined
                ? 'Show the last seconds as a table'
                : 'Hide the table of the last seconds'}
            </button>
          </figcaption>
        </figure>
        <div className="hand-words">
          <table className="hand-now">
            <thead>
              <tr>
                <th scope="col">Now</th>
                <th scope="col">thigh °</th>
                <th scope="col">phase %</th>
                <th scope="col">knee °</th>
                <th scope="col">ankle °</th>
              </tr>
            </thead>
            <tbody ref={cells}>
              <tr data-on>
                <th scope="row">commanded</th>
                <td data-now="thigh" />
                <td data-now="phase" />
                <td data-now="knee" />
                <td data-now="ankle" />
              </tr>
              <tr>
                <th scope="row">recorded at this thigh</th>
                <td>{GAP}</td>
                <td data-now="own phase" />
                <td data-now="own knee" />
                <td data-now="own ankle" />
              </tr>
            </tbody>
          </table>
          <div className="hand-meters">
            <p ref={said} className="strong" role="status" />
            <p ref={holds} data-meter="hold" />
            <p ref={paces} data-meter="pace" />
            <p ref={costs} className="quiet" data-meter="load" />
          </div>
        </div>
        {table !== undefined && <StripTable rows={table} title={title} />}
        <p className="note">{FEEL[of.method]}</p>
        <p className="note">
          A screen tells of a pointer some sixty times a second, so the thigh follows it as a critically
          damped system of 7 Hz and the controller reads it each {significant(1e3 * of.dt)} ms. Sensor delay,
          joints that lag behind their commands and the ground are not in it.
        </p>
      </div>
    </div>
  );
}

function StripTable({ rows, title }: { readonly rows: readonly Cell[][]; readonly title: string }) {
  const [head = [], ...body] = rows;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section className="scroll" tabIndex={0} aria-label="The last seconds as a table">
      <table>
        <caption>{title}, each half second</caption>
        <thead>
          <tr>
            {head.map((cell) => (
              <th scope="col" key={String(cell)}>
                {cell}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {body.map(([time, ...cells]) => (
            <tr key={String(time)}>
              <th scope="row">{fixed(time as number, 1)}</th>
              {cells.map((cell, k) => (
                <td key={HEAD[k + 1]}>{fixed(cell as number, 1)}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
