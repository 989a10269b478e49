import { useEffect, useMemo, useRef, useState } from 'react';
import { toElement } from '../draw/mark.ts';
import { NumberTable } from '../draw/number-table.tsx';
import { svgFile } from '../draw/svg-file.ts';
import { useWidth } from '../rule/use-width.ts';
import { csvText } from '../show/csv.ts';
import { saveFile } from '../show/save-file.ts';
import { drawFields, type Fields, fieldRows, fieldsFrame } from './log-fields.ts';

interface FieldFigureProps {
  readonly title: string;
  /** The figure in words. */
  readonly words: string;
  readonly fields: Fields;
  /** px of one field. */
  readonly band: number;
  readonly fileName: string;
  /** Every `step`-th point in the table on the page. */
  readonly step: number;
}

/** Quantities over one logarithmic scale, with their table and files. */
export function FieldFigure({ title, words, fields, band, fileName, step }: FieldFigureProps) {
  const host = useRef<HTMLDivElement>(null);
  const drawing = useRef<SVGSVGElement>(null);
  const { width, laidOut } = useWidth(host);
  const [open, setOpen] = useState(false);
  const count = fields.fields.length;
  const frame = useMemo(() => fieldsFrame(width, count, band), [width, count, band]);
  useEffect(() => {
    if (laidOut) drawing.current?.replaceChildren(...drawFields(frame, fields).map(toElement));
  }, [laidOut, frame, fields]);
  return (
    <figure aria-label={title}>
      <div ref={host}>
        <svg ref={drawing} width={frame.width} height={frame.height} role="img" aria-label={words} />
      </div>
      <figcaption className="acts">
        <button
          type="button"
          className="act"
          aria-label={`Save as SVG: ${title}`}
          onClick={() =>
            saveFile(
              `${fileName}.svg`,
              svgFile(frame.width, frame.height, title, words, drawFields(frame, fields)),
              'image/svg+xml',
            )
          }
        >
          Save as SVG
        </button>
        <button
          type="button"
          className="act"
          aria-label={`Save as CSV: ${title}`}
          onClick={() => saveFile(`${fileName}.csv`, csvText(fieldRows(fields)), 'text/csv')}
        >
          Save as CSV
        </button>
        <button type="button" className="act" aria-expanded={open} onClick={() => setOpen(!open)}>
          {open ? 'Hide its table' : 'Show it as a table'}
        </button>
      </figcaption>
      {open ? <NumberTable title={title} rows={fieldRows(fields, step)} /> : null}
    </figure>
  );
}
