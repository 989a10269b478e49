import type { DrivenJoint } from '@striderule/engine';
import { useEffect, useRef, useState } from 'react';
import type { LiveRatio, Moving } from '../design/live-ratio.ts';
import { fromElement } from '../draw/mark.ts';
import { svgFile } from '../draw/svg-file.ts';
import { whileSeen } from '../draw/while-seen.ts';
import { writeText } from '../hairline.ts';
import { useWidth } from '../rule/use-width.ts';
import { csvText } from '../show/csv.ts';
import { fixed } from '../show/number.ts';
import { saveFile } from '../show/save-file.ts';
import { celsius, drawHeat, HEAT_HEIGHT, heatOf, heatWords } from './draw-heat.ts';
import { HeatTable } from './heat-table.tsx';

interface HeatProps {
  readonly joint: DrivenJoint;
  readonly live: LiveRatio;
  readonly saved: Moving;
}

/** Winding and housing over the schedule, from cold; or why they are not known. */
export function Heat(props: HeatProps) {
  const savedHeat = heatOf(props.saved, props.joint);
  if ('openBecause' in savedHeat) return <p className="empty">Heat is open: {savedHeat.openBecause}.</p>;
  return <HeatPlot {...props} ambient={savedHeat.ambient} />;
}

function HeatPlot({ joint, live, saved, ambient }: HeatProps & { readonly ambient: number }) {
  const host = useRef<HTMLDivElement>(null);
  const drawing = useRef<SVGSVGElement>(null);
  const said = useRef<HTMLParagraphElement>(null);
  const { width, laidOut } = useWidth(host);
  const [open, setOpen] = useState(false);
  useEffect(() => {
    const svg = drawing.current;
    const savedHeat = heatOf(saved, joint);
    if (!laidOut || svg === null || 'openBecause' in savedHeat) return;
    const move = drawHeat(svg, width, saved, joint, savedHeat);
    return whileSeen(svg, live.follow, (moving) => {
      move(moving);
      const heat = heatOf(moving, joint);
      const words = 'openBecause' in heat ? heat.openBecause : heatWords(heat);
      svg.setAttribute(
        'aria-label',
        `Temperatures of the ${joint} over the schedule, coolest task first. ${words}`,
      );
      if (said.current !== null) writeText(said.current, words);
    });
  }, [width, laidOut, saved, joint, live]);
  const title = `${joint}: winding and housing over the schedule`;
  const saveSvg = () =>
    saveFile(
      `heat-${joint}.svg`,
      svgFile(
        width,
        HEAT_HEIGHT,
        title,
        drawing.current?.getAttribute('aria-label') ?? '',
        [...(drawing.current?.children ?? [])].map(fromElement),
      ),
      'image/svg+xml',
    );
  const saveCsv = () => {
    const heat = heatOf(live.at(), joint);
    if ('openBecause' in heat) return;
    const { course, order, tasks } = heat;
    const title = (block: number) => tasks.find(({ id }) => id === order[block])?.title;
    const rows = Array.from(course.time, (time, i) => [
      time,
      celsius(course.winding[i] ?? Number.NaN),
      celsius(course.housing[i] ?? Number.NaN),
      title(course.block[i] ?? -1),
    ]);
    saveFile(
      `heat-${joint}.csv`,
      csvText([['time, s', 'winding, °C', 'housing, °C', 'task'], ...rows]),
      'text/csv',
    );
  };
  return (
    <figure className="heat" aria-label={title}>
      <p className="plot-said" ref={said} />
      <div ref={host}>
        <svg ref={drawing} width={width} height={HEAT_HEIGHT} role="img" aria-label={title} />
      </div>
      <p className="note heat-note">
        Full: hottest winding; dashed: housing; thin: the winding as saved. From cold,{' '}
        {fixed(celsius(ambient), 0)} °C around it, each task without rest after the one before.
      </p>
      <figcaption className="acts">
        <button type="button" className="act" onClick={saveSvg}>
          Save the day as SVG
        </button>
        <button type="button" className="act" onClick={saveCsv}>
          Save it as CSV
        </button>
        <button type="button" className="act" aria-expanded={open} onClick={() => setOpen(!open)}>
          {open ? 'Hide the table of the day' : 'Show the day as a table'}
        </button>
      </figcaption>
      {open ? <HeatTable joint={joint} live={live} /> : null}
    </figure>
  );
}
