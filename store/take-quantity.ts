import type { Spread } from '@striderule/engine';
import type { Quantity } from './quantity-field.ts';

/** The nominal of a quantity in SI; its spread, where it has one, is kept under `path` in the engine's leg. */
export type Take = (q: Quantity, path: string, factor?: number) => number;

/** Takes quantities and collects their spreads. */
export function taker(spreads: Spread[]): Take {
  return (q, path, factor = 1) => {
    const nominal = q.si * factor;
    if (q.sd !== undefined || q.range !== undefined) {
      spreads.push({
        path,
        nominal,
        ...(q.sd !== undefined && { sd: q.sd * factor }),
        ...(q.range !== undefined && { range: q.range * factor }),
        basis: q.basis,
        ...(q.because !== undefined && { because: q.because }),
      });
    }
    return nominal;
  };
}
