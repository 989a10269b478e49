import { curveAt } from '../gait/curve.ts';
import type { Stride } from '../gait/stride.ts';

/** Largest vertical ground force of a stride that has one, body weights, at every half per cent. */
export function forcePeak({ groundForce }: Stride): number {
  let most = 0;
  for (let i = 0; i <= 200; i++) most = Math.max(most, curveAt(groundForce!.vertical, i / 2).value);
  return most;
}
