import type { DesignResult, DrivenJoint, StudyInput } from '@striderule/engine';
import { useEffect, useMemo, useRef } from 'react';
import { toElement } from '../draw/mark.ts';
import { svgFile } from '../draw/svg-file.ts';
import { useWidth } from '../rule/use-width.ts';
import { csvText } from '../show/csv.ts';
import { rangeText } from '../show/number.ts';
import { saveFile } from '../show/save-file.ts';
import { degrees } from '../show/unit.ts';
import { drawPlane, peaksOf } from './draw-plane.ts';

interface PlaneProps {
  readonly input: StudyInput;
  readonly result: DesignResult;
  readonly joint: DrivenJoint;
  readonly chosen: string;
  readonly chosenTitle: string;
}

const HEIGHT = 300;

/** Torque against speed of one joint: loops of tasks with a curve, ranges of tasks with peaks only, and the limit. */
export function Plane({ input, result, joint, chosen, chosenTitle }: PlaneProps) {
  const host = useRef<HTMLDivElement>(null);
  const drawing = useRef<SVGSVGElement>(null);
  const { width: room, laidOut } = useWidth(host);
  const width = Math.min(620, room);
  const peaks = useMemo(() => peaksOf(result, joint), [result, joint]);
  const marks = useMemo(
    () => drawPlane({ width, height: HEIGHT }, input, result, joint, chosen),
    [width, input, result, joint, chosen],
  );
  useEffect(() => {
    if (laidOut) drawing.current?.replaceChildren(...marks.map(toElement));
  }, [laidOut, marks]);
  const summary = `${joint} torque against speed. The bold loop is ${chosenTitle}, thin loops are the other tasks with a curve; the line is what motor and gears deliver steadily. Peaks-only tasks: ${
    peaks
      .map(
        ({ letter, title, moment }) =>
          `${letter} ${title}${moment === undefined ? '' : `, ${rangeText(moment.low, moment.high, 0)} N·m`}`,
      )
      .join('; ') || 'none'
  }.`;
  const rows = [
    ['peaks-only task', 'moment from, N·m', 'moment to, N·m', 'speed from, °/s', 'speed to, °/s'],
    ...peaks.map(({ title, moment, speed }) => [
      title,
      moment?.low,
      moment?.high,
      speed && degrees(speed.low),
      speed && degrees(speed.high),
    ]),
  ];
  return (
    <figure className="plane" aria-label={`${joint} torque against speed`}>
      <div ref={host}>
        <svg ref={drawing} width={width} height={HEIGHT} role="img" aria-label={summary} />
      </div>
      <figcaption>
        {peaks.length > 0 && (
          <ul className="peaks">
            {peaks.map(({ letter, title, moment, speed }) => (
              <li key={letter}>
                <b>peaks {letter}</b> {title}:{' '}
                {moment === undefined
                  ? 'moment not published'
                  : `${rangeText(moment.low, moment.high, 0)} N·m`}
                ,{' '}
                {speed === undefined
                  ? 'speed not published'
                  : `${rangeText(degrees(speed.low), degrees(speed.high), 0)} °/s`}
                . <em>No curve: no heat, no energy.</em>
              </li>
            ))}
          </ul>
        )}
        <span className="acts">
          <button
            type="button"
            className="act"
            aria-label={`Save as SVG: ${joint} torque against speed`}
            onClick={() =>
              saveFile(
                `torque-speed-${joint}.svg`,
                svgFile(width, HEIGHT, `${joint} torque against speed`, summary, marks),
                'image/svg+xml',
              )
            }
          >
            Save as SVG
          </button>
          <button
            type="button"
            className="act"
            onClick={() => saveFile(`peaks-${joint}.csv`, csvText(rows), 'text/csv')}
          >
            Save the ranges as CSV
          </button>
        </span>
      </figcaption>
    </figure>
  );
}
