import { type KeyboardEvent, type PointerEvent, useEffect, useId, useRef, useState } from 'react';
import type { Hairline } from '../hairline.ts';
import { cellAt, placeX, rowY, type StrideGrid } from './stride-grid.ts';

interface GridKnobProps {
  readonly grid: StrideGrid;
  readonly label: string;
  /** Where it begins, and where it goes when that changes: what is walked now. */
  readonly at: readonly [row: number, column: number];
  /** One cell in words. */
  readonly told: (row: number, column: number) => string;
  readonly onPick: (row: number, column: number) => void;
  readonly hairline: Hairline;
}

/** A grid over the stride to be walked through by arrow keys or pointed at, one stop of the Tab key; Enter or a click picks. The hairline runs through it. */
export function GridKnob({ grid, label, at, told, onPick, hairline }: GridKnobProps) {
  const [[row, column], setCell] = useState(at);
  const [from, setFrom] = useState(at);
  if (from[0] !== at[0] || from[1] !== at[1]) {
    setFrom(at);
    setCell(at);
  }
  const knob = useRef<HTMLDivElement>(null);
  const line = useRef<SVGPathElement>(null);
  const cell = useId();
  const { x0, axis, top, rows, columns, height, width, before } = grid;
  useEffect(
    () =>
      hairline.follow((percent) =>
        line.current?.setAttribute('transform', `translate(${Math.round(x0 + (axis * percent) / 100)} 0)`),
      ),
    [hairline, x0, axis],
  );
  const under = (event: PointerEvent) => {
    const box = event.currentTarget.getBoundingClientRect();
    return cellAt(grid, event.clientX - box.left + x0 - before, event.clientY - box.top + top);
  };
  const onPointerMove = (event: PointerEvent) => {
    const to = under(event);
    if (to !== undefined && (to[0] !== row || to[1] !== column)) setCell(to);
  };
  const onClick = (event: PointerEvent<HTMLDivElement>) => {
    const to = under(event);
    if (to === undefined) return;
    setCell(to);
    onPick(...to);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.key === 'Enter' || event.key === ' ') {
      event.preventDefault();
      onPick(row, column);
      return;
    }
    const by = event.shiftKey ? 5 : 1;
    const to = {
      ArrowLeft: [row, column - by],
      ArrowRight: [row, column + by],
      ArrowUp: [row - 1, column],
      ArrowDown: [row + 1, column],
      Home: [row, 0],
      End: [row, columns - 1],
      PageUp: [0, column],
      PageDown: [rows - 1, column],
    }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    const [r = row, c = column] = to;
    setCell([Math.min(rows - 1, Math.max(0, r)), Math.min(columns - 1, Math.max(0, c))]);
  };
  const words = told(row, column);
  const [x, y] = [placeX(grid, column), rowY(grid, row)];
  return (
    <>
      <svg className="moving" width={width} height={height} aria-hidden="true">
        <path ref={line} className="accent crisp" d={`M0.5 ${top}V${top + rows * grid.row + 6}`} />
        {(before > 0 ? ['cursor'] : ['cursor under', 'cursor']).map((look) => (
          <rect
            key={look}
            className={look}
            x={x}
            y={y}
            width={placeX(grid, column + 1) - x}
            height={grid.row - grid.lane}
          />
        ))}
      </svg>
      {/* biome-ignore lint/a11y/useSemanticElements: a table of a thousand cells would be read one by one; here the one under the keys is told */}
      <div
        ref={knob}
        className="grid-knob"
        style={{ left: x0 - before, top, width: axis, height: rows * grid.row }}
        role="grid"
        tabIndex={0}
        aria-label={label}
        aria-rowcount={rows}
        aria-colcount={columns}
        aria-activedescendant={cell}
        onPointerMove={onPointerMove}
        onClick={onClick as never}
        onKeyDown={onKeyDown}
      >
        {/* biome-ignore lint/a11y/useSemanticElements: as above */}
        <div role="row" tabIndex={-1} aria-rowindex={row + 1} className="sr">
          {/* biome-ignore lint/a11y/useSemanticElements: as above */}
          <div role="gridcell" tabIndex={-1} id={cell} aria-colindex={column + 1}>
            {words}
          </div>
        </div>
      </div>
      <p className="grid-told">{words}. Enter or a click walks it.</p>
    </>
  );
}
