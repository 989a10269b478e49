import { type DrivenJoint, largestRatio, ratioGrid, ratioScan, scheduleRatio } from '@striderule/engine';
import { useCallback, useMemo } from 'react';
import { LARGEST_RATIO, LEAST_RATIO, type LiveRatio, type Moving } from '../design/live-ratio.ts';
import { Instrument } from '../draw/instrument.tsx';
import type { Mark } from '../draw/mark.ts';
import { significant } from '../show/number.ts';
import { drawScan } from './draw-scan.ts';
import { drawScanGround, SCAN_HEIGHT } from './draw-scan-ground.ts';
import { RatioHandle } from './ratio-handle.tsx';

interface ScanProps {
  readonly joint: DrivenJoint;
  readonly live: LiveRatio;
  readonly saved: Moving;
  readonly onSet: (ratio: number) => void;
}

/** From end to end of the slide, each step 4 %. */
const GRID = ratioGrid(LEAST_RATIO, LARGEST_RATIO, 101);

/** Every limit over the ratio, under the slide and on its scale: why the ratios below fail, and where those that carry end. */
export function Scan({ joint, live, saved, onSet }: ScanProps) {
  const { input, design, ratio } = saved;
  const scan = useMemo(() => ratioScan(input, design, joint, { ratios: GRID }), [input, design, joint]);
  const largest = useMemo(
    () => largestRatio(input, design, joint, scan)?.ratio,
    [input, design, joint, scan],
  );
  const fact = useMemo(() => scheduleRatio(input, design, joint), [input, design, joint]);
  const ground = useMemo(() => {
    let drawn: { readonly width: number; readonly marks: readonly Mark[] } | undefined;
    return (width: number) => {
      if (drawn?.width !== width) drawn = { width, marks: drawScanGround(width, { scan, largest }) };
      return drawn.marks;
    };
  }, [scan, largest]);
  const draw = useCallback(
    (width: number) => {
      const [now] = ratioScan(input, design, joint, { ratios: [live.at().ratio] }).candidates;
      return drawScan(width, ground(width), { scan, largest, now: now!, saved: ratio });
    },
    [input, design, joint, live, scan, largest, ratio, ground],
  );
  const follow = useCallback((again: () => void) => live.follow(again), [live]);
  return (
    <>
      <Instrument
        title={`${joint}: limits over the ratio`}
        what="the scan"
        fileName={`scan-${joint}`}
        heightFor={() => SCAN_HEIGHT}
        draw={draw}
        follow={follow}
        over={(width) => <RatioHandle width={width} live={live} onSet={onSet} />}
      />
      <p className="note facts">
        Nothing is kept in hand here, and the bus sags under the joint’s own power; what the study asks beyond
        that stands below. Drag the vertical line; a filled point lacks something.{' '}
        {fact === undefined
          ? ''
          : `Least rms torque over the day, friction left out, lies at ${significant(fact.optimum)} : 1${withinText(fact.admissible)}: rotors are light, so that optimum is flat and high, where no hand moves the joint and no motor turns fast enough. `}
        The gears of the leg file stand at every ratio; real ones change, so judge the chosen ratio again with
        its own.{' '}
        {scan.unknown.length === 0 ? '' : `Nothing is known of ${scan.unknown.join('; ')} at this joint. `}
        In the table “winding, for ever” is allowed rise ÷ steady rise in the hottest task of the day; it
        decides nothing here.
      </p>
    </>
  );
}

const withinText = (
  admissible: { readonly least: number; readonly largest: number } | null | undefined,
): string =>
  admissible === undefined
    ? ''
    : admissible === null
      ? ', and at no ratio is it within what the motor may hold for ever'
      : `, and within what the motor may hold for ever from ${significant(admissible.least)} to ${significant(admissible.largest)}`;
