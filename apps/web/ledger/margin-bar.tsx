import type { LedgerRow } from '@striderule/engine';
import { BAR, barPlace, within } from './bar-scale.ts';

interface MarginBarProps {
  readonly row: LedgerRow;
  /** What the saved design has, where that is another value. */
  readonly ghost?: number | null;
}

/** Prediction and interval against the one limit line: open where inside, solid where beyond. */
export function MarginBar({ row, ghost = null }: MarginBarProps) {
  const middle = BAR.height / 2;
  const { bound } = row.requirement;
  const place = row.predicted === null ? undefined : barPlace(bound, row.predicted);
  const ends =
    row.interval === null ? [] : [barPlace(bound, row.interval.low), barPlace(bound, row.interval.high)];
  const bracket = row.walk?.bracket;
  const marks =
    bracket === undefined
      ? []
      : [barPlace(bound, bracket.prescribed), barPlace(bound, bracket.led)].flatMap((mark) =>
          mark === undefined ? [] : [within(mark).x],
        );
  const was = ghost === null ? undefined : barPlace(bound, ghost);
  const at = place === undefined ? undefined : within(place);
  const span =
    ends[0] === undefined || ends[1] === undefined
      ? undefined
      : { from: within(Math.min(ends[0], ends[1])).x, to: within(Math.max(ends[0], ends[1])).x };
  return (
    <svg
      className="bar"
      width={BAR.width}
      height={BAR.height}
      viewBox={`0 0 ${BAR.width} ${BAR.height}`}
      aria-hidden="true"
    >
      <path className="tick0" d={`M2 ${middle}H${BAR.width - 2}`} />
      <path className="edge" d={`M${BAR.limit + 0.5} -6V${BAR.height + 6}`} />
      {span !== undefined && (
        <>
          <rect
            className="pin"
            x={span.from}
            y={middle - 4}
            width={Math.max(0.5, Math.min(span.to, BAR.limit) - span.from)}
            height={8}
          />
          {span.to > BAR.limit && (
            <rect
              className="lack"
              x={Math.max(span.from, BAR.limit)}
              y={middle - 4}
              width={span.to - Math.max(span.from, BAR.limit)}
              height={8}
            />
          )}
        </>
      )}
      {marks.length === 2 && (
        <path
          className="edge"
          d={`M${marks[0]} ${middle}H${marks[1]}M${marks[0]} ${middle - 4}v8M${marks[1]} ${middle - 4}v8`}
        />
      )}
      {was !== undefined && <path className="ghost" d={`M${within(was).x} ${middle + 3}l4 7h-8z`} />}
      {at !== undefined &&
        (at.beyond ? (
          <path
            className="lack"
            d={at.x < BAR.limit ? `M2 ${middle}l7 -4v8z` : `M${BAR.width - 2} ${middle}l-7 -4v8z`}
          />
        ) : (
          <path className="bone" d={`M${at.x} ${middle - 8}V${middle + 8}`} />
        ))}
    </svg>
  );
}
