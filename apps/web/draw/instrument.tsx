import { type ReactNode, useEffect, useRef, useState } from 'react';
import { writeText } from '../hairline.ts';
import { useWidth } from '../rule/use-width.ts';
import { type Cell, csvText } from '../show/csv.ts';
import { saveFile } from '../show/save-file.ts';
import { fromElement, type Mark, mark, redraw, toElement } from './mark.ts';
import { NumberTable } from './number-table.tsx';
import { svgFile } from './svg-file.ts';
import { whileSeen } from './while-seen.ts';

/** What stands in a drawing at one moment: its marks, what it says in words, and its numbers, head first. */
export interface Drawn {
  /** What holds still, under the marks: made into elements only when it is another array than before. */
  readonly still?: readonly Mark[];
  readonly marks: readonly Mark[];
  readonly said: string;
  readonly rows: () => readonly (readonly Cell[])[];
}

interface InstrumentProps {
  readonly title: string;
  /** What the buttons call it: “Save the scan as SVG”. */
  readonly what: string;
  readonly fileName: string;
  readonly heightFor: (width: number) => number;
  readonly draw: (width: number) => Drawn;
  /** Says at once and whenever to draw; returns how to stop. Left out: only a new `draw` does. */
  readonly follow?: ((again: () => void) => () => void) | undefined;
  /** What lies over the drawing, of that width, and right below it. */
  readonly over?: (width: number) => ReactNode;
}

/** A drawing that keeps its place while its numbers move: summary above it, table and files below. Drawn again only while it is seen. */
export function Instrument({ title, what, fileName, heightFor, draw, follow, over }: InstrumentProps) {
  const host = useRef<HTMLDivElement>(null);
  const drawing = useRef<SVGSVGElement>(null);
  const said = useRef<HTMLParagraphElement>(null);
  const { width, laidOut } = useWidth(host);
  const [open, setOpen] = useState(false);
  const [rows, setRows] = useState<ReturnType<Drawn['rows']>>([]);
  const tabled = useRef(open);
  tabled.current = open;
  useEffect(() => {
    const svg = drawing.current;
    if (!laidOut || svg === null) return;
    const [under, over] = [toElement(mark('g')), toElement(mark('g'))];
    svg.replaceChildren(under, over);
    let still: Drawn['still'];
    const show = () => {
      const drawn = draw(width);
      if (drawn.still !== still) under.replaceChildren(...(drawn.still ?? []).map(toElement));
      still = drawn.still;
      redraw(over, drawn.marks);
      svg.setAttribute('aria-label', drawn.said);
      if (said.current !== null) writeText(said.current, drawn.said);
      if (tabled.current) setRows(drawn.rows());
    };
    if (follow !== undefined) return whileSeen<void>(svg, follow, show);
    show();
  }, [draw, follow, width, laidOut]);
  const height = heightFor(width);
  const saveSvg = () => {
    const parts = [...(drawing.current?.children ?? [])].map(fromElement);
    saveFile(`${fileName}.svg`, svgFile(width, height, title, draw(width).said, parts), 'image/svg+xml');
  };
  return (
    <figure className="instrument" aria-label={title}>
      <p className="plot-said" ref={said} />
      <div ref={host} className="face">
        <svg ref={drawing} width={width} height={height} role="img" aria-label={title} />
        {over?.(width)}
      </div>
      <figcaption className="acts">
        <button type="button" className="act" onClick={saveSvg}>
          Save {what} as SVG
        </button>
        <button
          type="button"
          className="act"
          onClick={() => saveFile(`${fileName}.csv`, csvText(draw(width).rows()), 'text/csv')}
        >
          Save {what} as CSV
        </button>
        <button
          type="button"
          className="act"
          aria-expanded={open}
          onClick={() => {
            setRows(draw(width).rows());
            setOpen(!open);
          }}
        >
          {open ? `Hide the table of ${what}` : `Show ${what} as a table`}
        </button>
      </figcaption>
      {open ? <NumberTable title={title} rows={rows} /> : null}
    </figure>
  );
}
