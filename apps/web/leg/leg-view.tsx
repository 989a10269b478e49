import type { StrideDemand, StudyInput } from '@striderule/engine';
import { useEffect, useRef, useState } from 'react';
import { fromElement } from '../draw/mark.ts';
import { svgFile } from '../draw/svg-file.ts';
import { whileSeen } from '../draw/while-seen.ts';
import type { Hairline } from '../hairline.ts';
import { saveFile } from '../show/save-file.ts';
import { drawLeg, LEG_SIZE } from './draw-leg.ts';

interface LegProps {
  readonly input: StudyInput;
  readonly demand: StrideDemand;
  readonly hairline: Hairline;
}

/** The leg in the pose at the hairline. */
export function LegView({ input, demand, hairline }: LegProps) {
  const drawing = useRef<SVGSVGElement>(null);
  const [note, setNote] = useState('');
  const { segments } = input.leg;
  const { wearer } = input;
  useEffect(() => {
    const svg = drawing.current;
    if (svg === null) return;
    const leg = drawLeg(svg, demand, segments, wearer);
    setNote(leg.note);
    return whileSeen(svg, hairline.follow, leg.move);
  }, [demand, segments, wearer, hairline]);
  const save = () => {
    const svg = drawing.current;
    if (svg === null) return;
    const title = `${input.leg.name}, ${demand.task.title}, ${hairline.at()} %`;
    saveFile(
      `${demand.task.id}-leg-${hairline.at()}.svg`,
      svgFile(LEG_SIZE.width, LEG_SIZE.height, title, note, [...svg.children].map(fromElement)),
      'image/svg+xml',
    );
  };
  return (
    <figure className="leg">
      <svg
        ref={drawing}
        width={LEG_SIZE.width}
        height={LEG_SIZE.height}
        viewBox={`0 0 ${LEG_SIZE.width} ${LEG_SIZE.height}`}
        role="img"
        aria-label={`The leg in its pose at the hairline: angles, moments and ground force stand in the table beside it. ${note}`}
      />
      <figcaption className="note">
        {note}{' '}
        <button type="button" className="act" onClick={save}>
          Save the leg as SVG
        </button>
      </figcaption>
    </figure>
  );
}
