import { round } from '../draw/mark.ts';

export type Plain = readonly [x: number, y: number];

/** Points of a path, px, without its first M. */
export const pointsText = (points: readonly Plain[]): string =>
  points.map(([x, y]) => `${round(x)} ${round(y)}`).join('L');

/** Two lines beside a segment's axis: a bar of this half width. */
export function bar([x1, y1]: Plain, [x2, y2]: Plain, half: number): string {
  const length = Math.hypot(x2 - x1, y2 - y1);
  const [nx, ny] = [(-(y2 - y1) / length) * half, ((x2 - x1) / length) * half];
  return `M${pointsText([
    [x1 + nx, y1 + ny],
    [x2 + nx, y2 + ny],
  ])}M${pointsText([
    [x1 - nx, y1 - ny],
    [x2 - nx, y2 - ny],
  ])}`;
}

/** Arc round a joint opening forward, with the head of its arrow; `turn` > 0 is counter-clockwise as seen. */
export function turnArc([x, y]: Plain, radius: number, turn: number): { line: string; head: string } {
  const half = Math.min(Math.abs(turn), 5) / 2;
  if (half < 0.06) return { line: '', head: '' };
  const sign = Math.sign(turn);
  const at = (angle: number, r = radius): Plain => [x + r * Math.cos(angle), y - r * Math.sin(angle)];
  const [start, end] = [-sign * half, sign * half];
  const size = Math.min(7, radius * half);
  const tip = at(end + (sign * size * 0.6) / radius);
  return {
    line: `M${pointsText([at(start)])}A${radius} ${radius} 0 ${half > Math.PI / 2 ? 1 : 0} ${sign > 0 ? 0 : 1} ${pointsText([at(end)])}`,
    head: `M${pointsText([tip, at(end - (sign * size * 0.4) / radius, radius + size / 2), at(end - (sign * size * 0.4) / radius, radius - size / 2)])}Z`,
  };
}

/** An arrow by its shaft and head. */
export function arrow([x, y]: Plain, [dx, dy]: Plain): { line: string; head: string } {
  const length = Math.hypot(dx, dy);
  const [ux, uy] = [dx / length, dy / length];
  const [tx, ty] = [x + dx, y + dy];
  return {
    line: `M${pointsText([
      [x, y],
      [tx - 6 * ux, ty - 6 * uy],
    ])}`,
    head: `M${pointsText([
      [tx, ty],
      [tx - 8 * ux - 3.5 * uy, ty - 8 * uy + 3.5 * ux],
      [tx - 8 * ux + 3.5 * uy, ty - 8 * uy - 3.5 * ux],
    ])}Z`,
  };
}
