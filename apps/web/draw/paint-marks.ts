import { type Mark, toElement } from './mark.ts';

/** How marks of one class look, read off the style sheet that also draws them as SVG. */
interface Look {
  readonly stroke: string;
  readonly width: number;
  readonly dash: number[];
  readonly fill: string;
  readonly opacity: number;
}

function lookOf(svg: SVGSVGElement, { tag, attributes }: Mark): Look {
  const probe = toElement({ tag, attributes: { class: attributes.class ?? '' }, children: [] });
  svg.append(probe);
  const style = getComputedStyle(probe);
  const look: Look = {
    stroke: style.stroke,
    width: Number.parseFloat(style.strokeWidth),
    dash:
      style.strokeDasharray === 'none' ? [] : style.strokeDasharray.split(/[\s,]+/).map(Number.parseFloat),
    fill: style.fill,
    opacity: Number(style.opacity),
  };
  probe.remove();
  return look;
}

/**
 * Paints paths and rectangles as the SVG of the same marks would look, class by class: what an SVG of tens of thousands of points would
 * make slow. `svg` lends its styles. Text is not painted.
 */
export function paintMarks(
  canvas: HTMLCanvasElement,
  svg: SVGSVGElement,
  { width, height }: { readonly width: number; readonly height: number },
  marks: readonly Mark[],
): void {
  const sharp = Math.max(1, devicePixelRatio);
  canvas.width = Math.round(width * sharp);
  canvas.height = Math.round(height * sharp);
  const brush = canvas.getContext('2d');
  if (brush === null) return;
  brush.scale(sharp, sharp);
  brush.lineJoin = 'round';
  const looks = new Map<string, Look>();
  for (const mark of marks) {
    const { d, x, y, width: wide, height: tall } = mark.attributes;
    const key = `${mark.tag} ${mark.attributes.class}`;
    const look = looks.get(key) ?? lookOf(svg, mark);
    looks.set(key, look);
    const path = new Path2D(d === undefined ? '' : String(d));
    if (mark.tag === 'rect') path.rect(Number(x), Number(y), Number(wide), Number(tall));
    brush.globalAlpha = look.opacity;
    if (look.fill !== 'none') {
      brush.fillStyle = look.fill;
      brush.fill(path);
    }
    if (look.stroke === 'none') continue;
    brush.strokeStyle = look.stroke;
    brush.lineWidth = look.width;
    brush.setLineDash(look.dash);
    brush.stroke(path);
  }
}

/** Paints now, and again whenever the colours may be others: another theme, or a sheet of paper. Returns how to stop. */
export function paintInEachTheme(paint: () => void): () => void {
  paint();
  const observer = new MutationObserver(paint);
  observer.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] });
  const paper = matchMedia('print');
  paper.addEventListener('change', paint);
  return () => {
    observer.disconnect();
    paper.removeEventListener('change', paint);
  };
}
