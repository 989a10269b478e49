import type { DrivenJoint, StrideDemand } from '@striderule/engine';
import { useEffect, useRef } from 'react';
import type { LiveRatio, Moving } from '../design/live-ratio.ts';
import { fromElement } from '../draw/mark.ts';
import { svgFile } from '../draw/svg-file.ts';
import { whileSeen } from '../draw/while-seen.ts';
import type { Hairline } from '../hairline.ts';
import { useWidth } from '../rule/use-width.ts';
import { csvText } from '../show/csv.ts';
import { fixed, significant } from '../show/number.ts';
import { saveFile } from '../show/save-file.ts';
import { drawMotorPlane, tightest } from './draw-motor-plane.ts';

interface MotorPlaneProps {
  readonly joint: DrivenJoint;
  readonly live: LiveRatio;
  readonly saved: Moving;
  readonly demand: StrideDemand;
  readonly hairline: Hairline;
}

const HEIGHT = 384;

/** Torque against speed at the motor: its limits, every task's loop, the tightest points. */
export function MotorPlane({ joint, live, saved, demand, hairline }: MotorPlaneProps) {
  const host = useRef<HTMLDivElement>(null);
  const drawing = useRef<SVGSVGElement>(null);
  const { width: room, laidOut } = useWidth(host);
  const width = Math.min(620, room);
  const summary = (moving: Moving): string =>
    `Motor torque against motor speed of the ${joint}, ratio ${fixed(moving.ratio, 1)} to 1. The line is what motor, electronics and bus allow. The bold loop is ${demand.task.title}. ${tightest(
      moving,
      joint,
    )
      .map(
        ({ kind, factor, title, percent }) =>
          `Tightest ${kind}: limit ÷ need ${significant(factor)}, ${title}, at ${fixed(percent, 1)} %`,
      )
      .join('. ')}.`;
  const speak = useRef(summary);
  speak.current = summary;
  useEffect(() => {
    const svg = drawing.current;
    if (!laidOut || svg === null) return;
    const plane = drawMotorPlane(svg, { width, height: HEIGHT }, saved, joint, demand);
    const stops = [
      whileSeen(svg, live.follow, (moving) => {
        plane.move(moving);
        svg.setAttribute('aria-label', speak.current(moving));
      }),
      hairline.follow(plane.at),
    ];
    return () => {
      for (const stop of stops) stop();
    };
  }, [width, laidOut, saved, joint, demand, live, hairline]);
  const title = `${joint} motor torque against speed`;
  const saveSvg = () =>
    saveFile(
      `motor-plane-${joint}.svg`,
      svgFile(
        width,
        HEIGHT,
        title,
        summary(live.at()),
        [...(drawing.current?.children ?? [])].map(fromElement),
      ),
      'image/svg+xml',
    );
  const saveCsv = () => {
    const { design } = live.at();
    const rows = Object.entries(design.demands).flatMap(([id, each]) => {
      const load = design.loads[id]?.[joint];
      if (load === undefined || each.kind !== 'stride') return [];
      return Array.from(each.percent, (percent, i) => [
        each.task.title,
        percent,
        load.motorSpeed[i],
        load.motorTorque[i],
        load.current[i],
        load.speedLimit[i],
      ]);
    });
    const head = [
      'task',
      'stride, %',
      'motor speed, rad/s',
      'motor torque, N·m',
      'current, A peak phase',
      'speed limit, rad/s',
    ];
    saveFile(`motor-plane-${joint}.csv`, csvText([head, ...rows]), 'text/csv');
  };
  return (
    <figure className="plane" aria-label={title}>
      <div ref={host}>
        <svg ref={drawing} width={width} height={HEIGHT} role="img" aria-label={title} />
      </div>
      <p className="note">
        Bold: {demand.task.title}; dashed: the same as saved. Thin: the other tasks with a curve. Square and
        lozenge: where torque and speed are tightest. Tasks with peaks only have no loop.
      </p>
      <figcaption className="acts">
        <button type="button" className="act" onClick={saveSvg}>
          Save the plane as SVG
        </button>
        <button type="button" className="act" onClick={saveCsv}>
          Save its loops as CSV, engine signs
        </button>
      </figcaption>
    </figure>
  );
}
