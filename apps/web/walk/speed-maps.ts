import { type FaultPiece, type FaultRow, faultRows, type Leg } from '@striderule/engine';

/** One speed of the fault map as far as it is known, and why there is none. */
export interface SpeedMap {
  readonly speed: number;
  readonly faults: readonly FaultRow[];
  /** Share of the stride, of the one that is walked. */
  readonly stance?: number;
  readonly noneBecause?: string;
}

/** What was found place by place, speed by speed in the order in which they were begun. */
export function speedMaps(leg: Leg, found: readonly FaultPiece[]): readonly SpeedMap[] {
  return [...new Set(found.map(({ speed }) => speed))].map((speed) => {
    const own = found.filter((piece) => piece.speed === speed);
    const [first] = own;
    if (first === undefined || 'noneBecause' in first)
      return { speed, faults: [], ...(first !== undefined && { noneBecause: first.noneBecause }) };
    const trials = own.flatMap((piece) => ('trials' in piece ? piece.trials : []));
    return { speed, faults: faultRows(leg, trials), stance: first.stance };
  });
}
