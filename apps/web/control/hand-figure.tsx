import { HAND_THIGH, type HandSwing, radFromDeg, type StudyInput } from '@striderule/engine';
import { type KeyboardEvent, type PointerEvent, useEffect, useMemo, useRef, useState } from 'react';
import { fromElement } from '../draw/mark.ts';
import { NumberTable } from '../draw/number-table.tsx';
import { svgFile } from '../draw/svg-file.ts';
import { useWidth } from '../rule/use-width.ts';
import { type Cell, csvText } from '../show/csv.ts';
import { GAP, significant } from '../show/number.ts';
import { saveFile } from '../show/save-file.ts';
import { degrees } from '../show/unit.ts';
import { angleTowards, HAND_SIZE, thighReach } from './draw-hand.ts';
import { stripFrame } from './draw-strip.ts';
import { advance, demonstrate, type HandRun, handRun, lead, lift, STRIP_SECONDS } from './hand-run.ts';
import { FEEL, METHOD, spoken } from './hand-words.ts';
import { playHand } from './play-hand.ts';
import { stripRows } from './strip-rows.ts';

const still = (): boolean => matchMedia('(prefers-reduced-motion: reduce)').matches;

interface HandFigureProps {
  readonly of: HandSwing;
  readonly input: StudyInput;
  readonly title: string;
}

/** The leg, its thigh a slider; its strip, its numbers and what it says of them. */
export function HandFigure({ of, input, title }: HandFigureProps) {
  const host = useRef<HTMLDivElement>(null);
  const leg = useRef<SVGSVGElement>(null);
  const strip = useRef<SVGSVGElement>(null);
  const slider = useRef<HTMLDivElement>(null);
  const cells = useRef<HTMLTableSectionElement>(null);
  const said = useRef<HTMLParagraphElement>(null);
  const holds = useRef<HTMLParagraphElement>(null);
  const paces = useRef<HTMLParagraphElement>(null);
  const costs = useRef<HTMLParagraphElement>(null);
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
    if (!laidOut) return;
    // laid out, so all of them stand in the page
    const face = {
      ...{ leg: leg.current!, strip: strip.current!, slider: slider.current!, cells: cells.current! },
      ...{ said: said.current!, holds: holds.current!, paces: paces.current!, costs: costs.current! },
    };
    const play = playHand(face, of, frame, segments, () => run.current);
    wake.current = play.wake;
    return () => {
      play.end();
      wake.current = () => {};
    };
  }, [laidOut, of, frame, segments]);

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
        {table !== undefined && <NumberTable title={`${title}, each half second`} rows={table} />}
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
