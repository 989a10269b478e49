import type { DrivenJoint } from '@striderule/engine';
import { useEffect, useState } from 'react';
import type { LiveRatio, Moving } from '../design/live-ratio.ts';
import { NumberTable } from '../draw/number-table.tsx';
import { fixed, significant } from '../show/number.ts';
import { type Pair, slidePairs, slideRows } from './slide-model.ts';

interface SlideTableProps {
  readonly joint: DrivenJoint;
  readonly live: LiveRatio;
  readonly saved: Moving;
}

const factors = (pairs: readonly Pair[]): (number | undefined)[] =>
  pairs.flatMap(({ first, second }) =>
    [first, second].flatMap((row) => (row === undefined ? [] : [row.factor])),
  );

/** What stands against what on the slide, as it moves, with the saved design beside it. */
export function SlideTable({ joint, live, saved }: SlideTableProps) {
  const [moving, setMoving] = useState(live.at);
  useEffect(() => live.follow(setMoving), [live]);
  const [head = [], ...rows] = slideRows(moving, joint);
  const before = factors(slidePairs(saved, joint));
  const lacking = rows
    .filter((row) => Number(row.at(-1)) < 1)
    .map((row) => `${row[2]} ×${significant(Number(row.at(-1)))}`);
  return (
    <>
      <p className="plot-said">
        At {fixed(moving.ratio, 1)} : 1{' '}
        {lacking.length === 0 ? 'every limit on the slide holds.' : `lacking: ${lacking.join(', ')}.`}
      </p>
      <NumberTable
        title={`The ${joint}’s slide: what is asked against what there is`}
        rows={[[...head, 'saved'], ...rows.map((row, k) => [...row, before[k]])]}
      />
    </>
  );
}
