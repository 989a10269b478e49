import { type LegSegments, posedStride, type StrideDemand } from '@striderule/engine';
import { useEffect, useMemo, useRef } from 'react';
import { toElement } from '../draw/mark.ts';
import type { Hairline } from '../hairline.ts';
import { useWidth } from '../rule/use-width.ts';
import { drawReferenceLeg, drawWalkGround } from './draw-walk.ts';
import { strideFrame } from './walk-frame.ts';

interface StandInProps {
  readonly segments: LegSegments;
  /** The stride of the study that comes nearest to what is walked; undefined: none does. */
  readonly demand: StrideDemand | undefined;
  readonly hairline: Hairline;
}

/** What stands where the leg will walk: as large as that, with the leg in the pose of the stride itself. */
export function StandIn({ segments, demand, hairline }: StandInProps) {
  const host = useRef<HTMLDivElement>(null);
  const drawing = useRef<SVGSVGElement>(null);
  const { width, laidOut } = useWidth(host);
  const posed = useMemo(() => demand && posedStride(demand, segments), [demand, segments]);
  const frame = useMemo(
    () => strideFrame(width, demand === undefined ? 1 : demand.speed * demand.strideTime, posed),
    [width, demand, posed],
  );
  useEffect(() => {
    const svg = drawing.current;
    if (!laidOut || svg === null) return;
    svg.replaceChildren(...drawWalkGround(frame, 'ground; m').map(toElement));
    return posed && hairline.follow(drawReferenceLeg(svg, frame));
  }, [laidOut, frame, posed, hairline]);
  const words = `Not walked yet${demand === undefined ? '' : `: the leg in the pose of ${demand.task.title} at the hairline`}.`;
  return (
    <figure className="walk-picture" aria-label="The leg before it walks">
      <div ref={host}>
        <svg ref={drawing} width={frame.width} height={frame.height} role="img" aria-label={words} />
      </div>
      <figcaption className="acts walk-acts quiet">{words}</figcaption>
    </figure>
  );
}
