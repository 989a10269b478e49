import { type KeyboardEvent, type PointerEvent, useEffect, useMemo, useRef, useState } from 'react';
import { fromElement, toElement } from '../draw/mark.ts';
import { paintInEachTheme, paintMarks } from '../draw/paint-marks.ts';
import { svgFile } from '../draw/svg-file.ts';
import { type Hairline, keyTarget } from '../hairline.ts';
import { csvText } from '../show/csv.ts';
import { saveFile } from '../show/save-file.ts';
import { axisOf, spokenAt, valueAt } from './along.ts';
import { curveRows } from './curve-rows.ts';
import { CurveTable } from './curve-table.tsx';
import { drawHairline, readingsOf } from './draw-hairline.ts';
import { drawRule, drawUnder, isCrowded, redrawCurves } from './draw-rule.ts';
import { frameFor } from './frame.ts';
import type { RuleModel } from './scale.ts';
import { ruleSummary } from './summary.ts';
import { useWidth } from './use-width.ts';

interface RuleProps {
  readonly model: RuleModel;
  readonly hairline: Hairline;
  /** For file names: task and joint. */
  readonly fileName: string;
  /** Models with the same scales and curves, as a ratio slides and `face` is seen; called back at once with the present one. */
  readonly follow?: ((show: (model: RuleModel) => void, face: Element) => () => void) | undefined;
}

const spoken = (model: RuleModel, percent: number): string =>
  [
    spokenAt(model, percent),
    ...model.scales
      .filter(({ gap }) => gap === undefined)
      .map(
        (scale) =>
          `${scale.name} ${readingsOf(scale, percent)
            .map(({ text, of }) => `${of} ${text}`.trim())
            .join(', ')}`,
      ),
  ].join('. ');

/** Stacked scales on one stride axis with one hairline through all of them. */
export function Rule({ model, hairline, fileName, follow }: RuleProps) {
  const host = useRef<HTMLDivElement>(null);
  const under = useRef<HTMLCanvasElement>(null);
  const still = useRef<SVGSVGElement>(null);
  const moving = useRef<SVGSVGElement>(null);
  const slider = useRef<HTMLDivElement>(null);
  const { width, laidOut } = useWidth(host);
  const [open, setOpen] = useState(false);
  const many =
    (model.scales[0]?.series.filter(({ weight }) => weight === 'main' || weight === 'asked').length ?? 0) > 1;
  const named = 'parts' in model && model.parts.length > 0;
  const frame = useMemo(() => frameFor(width, model.scales, many, named), [width, model.scales, many, named]);
  const summary = useMemo(() => ruleSummary(model), [model]);
  const { unit, most } = axisOf(model);
  const crowded = isCrowded(model);
  const shown = useRef(model);

  useEffect(() => {
    const [svg, canvas] = [still.current, under.current];
    if (!laidOut || svg === null) return;
    const below = drawUnder(frame, model);
    const above = drawRule(frame, model).map(toElement);
    if (canvas === null) {
      svg.replaceChildren(...below.map(toElement), ...above);
      return;
    }
    svg.replaceChildren(...above);
    return paintInEachTheme(() => paintMarks(canvas, svg, frame, below));
  }, [laidOut, frame, model]);

  useEffect(() => {
    const svg = moving.current;
    const handle = slider.current;
    if (!laidOut || svg === null || handle === null) return;
    const drawing = drawHairline(svg, frame, model);
    shown.current = model;
    const show = (percent: number) => {
      drawing.move(percent);
      handle.style.setProperty('--at', `${frame.x0 + (percent * frame.axis) / 100}px`);
      handle.setAttribute('aria-valuenow', String(Number(valueAt(model, percent).toFixed(3))));
      handle.setAttribute('aria-valuetext', spoken(shown.current, percent));
    };
    const stop = hairline.follow(show);
    const leave = follow?.((next) => {
      shown.current = next;
      if (still.current !== null) redrawCurves(still.current, frame, next);
      drawing.read(next);
      show(hairline.at());
    }, svg);
    return () => {
      stop();
      leave?.();
    };
  }, [laidOut, frame, model, hairline, follow]);

  const percentOf = (event: PointerEvent): number => {
    const box = (still.current as SVGSVGElement).getBoundingClientRect();
    return (100 * (event.clientX - box.left - frame.x0)) / frame.axis;
  };
  const onPointerDown = (event: PointerEvent<HTMLDivElement>) => {
    if (event.button !== 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    slider.current?.focus({ preventScroll: true });
    hairline.moveTo(percentOf(event));
  };
  const onPointerMove = (event: PointerEvent<HTMLDivElement>) => {
    if (event.currentTarget.hasPointerCapture(event.pointerId)) hairline.moveTo(percentOf(event));
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const target = keyTarget(event.key, event.shiftKey, hairline.at());
    if (target === undefined) return;
    event.preventDefault();
    hairline.moveTo(target);
  };
  const saveSvg = () => {
    const layer = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
    drawHairline(layer, frame, shown.current).move(hairline.at());
    const parts = [
      ...drawUnder(frame, shown.current),
      ...drawRule(frame, shown.current),
      ...[...layer.children].map(fromElement),
    ];
    const laid = model.laid.map(({ letter, title }) => `${letter}: ${title}`).join('; ');
    saveFile(
      `${fileName}.svg`,
      svgFile(frame.width, frame.height, model.title, `${ruleSummary(shown.current)} ${laid}`, parts),
      'image/svg+xml',
    );
  };

  return (
    <figure className="rule" aria-label={`Rule: ${model.title}`}>
      <div className="rule-face" ref={host} onPointerDown={onPointerDown} onPointerMove={onPointerMove}>
        {crowded ? (
          <div className="painted" aria-hidden="true">
            <canvas ref={under} />
          </div>
        ) : null}
        <svg ref={still} width={frame.width} height={frame.height} role="img" aria-label={summary} />
        <svg ref={moving} className="moving" width={frame.width} height={frame.height} aria-hidden="true" />
        <div
          ref={slider}
          className="hairline"
          role="slider"
          tabIndex={0}
          aria-label={unit === '%' ? 'Hairline, per cent of the stride' : 'Hairline, seconds'}
          aria-orientation="horizontal"
          aria-valuemin={0}
          aria-valuemax={Number(most.toFixed(3))}
          aria-valuenow={0}
          onKeyDown={onKeyDown}
        />
      </div>
      <figcaption className="acts">
        <button type="button" className="act" aria-label={`Save as SVG: ${model.title}`} onClick={saveSvg}>
          Save as SVG
        </button>
        <button
          type="button"
          className="act"
          aria-label={`Save as CSV: ${model.title}`}
          onClick={() => saveFile(`${fileName}.csv`, csvText(curveRows(shown.current, 1)), 'text/csv')}
        >
          Save as CSV
        </button>
        <button type="button" className="act" aria-expanded={open} onClick={() => setOpen(!open)}>
          {open ? 'Hide the table of these curves' : 'Show these curves as a table'}
        </button>
      </figcaption>
      {open ? <CurveTable model={model} /> : null}
    </figure>
  );
}
