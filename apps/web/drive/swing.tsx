import {
  type Deg,
  type DesignResult,
  type JointDrive,
  kneePendulum,
  radFromDeg,
  type StudyInput,
  swingCourse,
} from '@striderule/engine';
import { useEffect, useRef, useState } from 'react';
import type { LiveRatio } from '../design/live-ratio.ts';
import { mark, round, toElement } from '../draw/mark.ts';
import { whileSeen } from '../draw/while-seen.ts';
import { writeText } from '../hairline.ts';
import { fixed } from '../show/number.ts';
import { degrees } from '../show/unit.ts';

const SIZE = { width: 300, height: 214 };
const AXIS = { x: 150, y: 26 };
const LENGTH = 158;
/** Let go this far from hanging: far enough to be seen, near enough that the half period of small swings still holds within 2 %. */
const START = radFromDeg(30 as Deg);
const STEP = 1 / 120;
const LONGEST = 20;

const swingOf = (drive: JointDrive, { leg }: StudyInput) =>
  swingCourse(kneePendulum(drive, leg.segments), START, STEP, LONGEST);

const tip = (angle: number, length: number): string =>
  `${round(AXIS.x + length * Math.sin(angle))} ${round(AXIS.y + length * Math.cos(angle))}`;

const still = (): boolean => matchMedia('(prefers-reduced-motion: reduce)').matches;

interface SwingProps {
  readonly live: LiveRatio;
  /** Figures of the leg file, for the dead angle behind. */
  readonly saved: DesignResult;
}

/** Shank and foot hung from the unpowered knee and let go: it swings as the engine says, at true speed. */
export function Swing({ live, saved }: SwingProps) {
  const drawing = useRef<SVGSVGElement>(null);
  const said = useRef<HTMLParagraphElement>(null);
  const [runs, setRuns] = useState(false);
  const [turn, setTurn] = useState(0);
  const player = useRef<{ play: () => void; stop: () => void }>(undefined);

  useEffect(() => {
    const svg = drawing.current;
    if (svg === null) return;
    const wedge = toElement(mark('path', { class: 'ground' }));
    const limb = toElement(mark('path', { class: 'bone heavy' }));
    const trace = toElement(mark('path', { class: 'thin' }));
    svg.replaceChildren(
      ...[
        mark('path', { class: 'axis', d: `M${AXIS.x + 0.5} ${AXIS.y}V${AXIS.y + LENGTH + 22}` }),
        mark('path', {
          class: 'wearer',
          d: `M${AXIS.x - 74} ${AXIS.y - 11}H${AXIS.x}M${AXIS.x - 74} ${AXIS.y + 11}H${AXIS.x}`,
        }),
      ].map(toElement),
      wedge,
      trace,
      limb,
      toElement(mark('circle', { class: 'pin', cx: AXIS.x, cy: AXIS.y, r: 9 })),
    );
    const pose = (angle: number) => {
      const foot = angle + Math.PI / 2;
      const [x, y] = [AXIS.x + LENGTH * Math.sin(angle), AXIS.y + LENGTH * Math.cos(angle)];
      limb.setAttribute(
        'd',
        `M${AXIS.x} ${AXIS.y}L${tip(angle, LENGTH)}M${round(x - 12 * Math.sin(foot))} ${round(y - 12 * Math.cos(foot))}L${round(x + 44 * Math.sin(foot))} ${round(y + 44 * Math.cos(foot))}`,
      );
    };
    let seen = false;
    let course: ReturnType<typeof swingCourse> | undefined;
    let frame = 0;
    const stop = () => {
      cancelAnimationFrame(frame);
      setRuns(false);
    };
    const play = () => {
      stop();
      if (course === undefined) return;
      if (still()) {
        pose(course.angle.at(-1) ?? 0);
        return;
      }
      setRuns(true);
      let from: number | undefined;
      const show = (now: number) => {
        from ??= now;
        const k = Math.round((now - from) / 1000 / STEP);
        const angles = course?.angle ?? new Float64Array();
        pose(angles[Math.min(k, angles.length - 1)] ?? 0);
        if (k < angles.length - 1) frame = requestAnimationFrame(show);
        else setRuns(false);
      };
      frame = requestAnimationFrame(show);
    };
    player.current = { play, stop };
    let timer: ReturnType<typeof setTimeout> | undefined;
    const leave = whileSeen(svg, live.follow, ({ input, design }) => {
      const drive = input.leg.joints.knee;
      const swing = design.figures.knee?.swing;
      if (drive === undefined || swing === undefined) return;
      stop();
      clearTimeout(timer);
      course = swingOf(drive, input);
      const dead = swing.deadAngle;
      const known = !Number.isNaN(dead);
      const reach = known ? dead : Math.PI / 2;
      wedge.setAttribute(
        'd',
        `M${AXIS.x} ${AXIS.y}L${tip(-reach, LENGTH)}A${LENGTH} ${LENGTH} 0 0 0 ${tip(reach, LENGTH)}Z`,
      );
      const far = course.angle.reduce((least, angle) => Math.min(least, angle), START);
      trace.setAttribute('d', `M${tip(START, LENGTH)}A${LENGTH} ${LENGTH} 0 0 1 ${tip(far, LENGTH)}`);
      pose(START);
      const half = swing.halfPeriod;
      const ends = course.rests
        ? `at rest after ${fixed((course.angle.length - 1) * STEP, 1)} s, ${fixed(Math.abs(degrees(course.angle.at(-1) ?? 0)), 1)}° from hanging`
        : `still swinging after ${LONGEST} s`;
      if (said.current !== null)
        writeText(
          said.current,
          `Let go at ${fixed(degrees(START), 0)}°: ${ends}. Dead angle ${known ? `±${fixed(degrees(dead), 1)}°` : 'everywhere: gravity never moves it'}; half period ${Number.isNaN(half) ? 'none: it creeps back' : `${fixed(half, 2)} s`}.`,
        );
      if (seen) timer = setTimeout(play, 300);
    });
    // let go when it comes into sight: nobody sees it swing below the page's end
    const sight = new IntersectionObserver((entries) => {
      const comes = entries.at(-1)?.isIntersecting ?? false;
      if (comes && !seen) timer = setTimeout(play, 300);
      if (!comes) stop();
      seen = comes;
    });
    sight.observe(svg);
    return () => {
      sight.disconnect();
      clearTimeout(timer);
      leave();
      cancelAnimationFrame(frame);
    };
  }, [live]);
  useEffect(() => {
    if (turn > 0) player.current?.play();
  }, [turn]);
  const was = saved.figures.knee?.swing?.deadAngle ?? Number.NaN;
  return (
    <figure className="swing" aria-label="Free swing of the unpowered knee">
      <svg
        ref={drawing}
        width={SIZE.width}
        height={SIZE.height}
        viewBox={`0 0 ${SIZE.width} ${SIZE.height}`}
        role="img"
        aria-label="Shank and foot hung from the knee, thigh held level; the shaded wedge is the dead angle. The numbers stand under it."
      />
      <figcaption>
        <p ref={said} />
        <p className="note">
          Thigh held level, phases open, shank and foot as they are, end stops left out; at true speed.
          Shaded: the dead angle, within which gravity cannot move it
          {Number.isNaN(was) ? '' : ` (saved ±${fixed(degrees(was), 1)}°)`}.
        </p>
        <span className="acts">
          <button
            type="button"
            className="act"
            onClick={() => (runs ? player.current?.stop() : setTurn(turn + 1))}
          >
            {runs ? 'Stop the swing' : 'Let it go again'}
          </button>
        </span>
      </figcaption>
    </figure>
  );
}
