import type { Leg } from '@striderule/engine';
import { written } from './number.ts';

/** Ratios of a leg's drives: one where both are the same, each with its joint where they differ or only one is there; empty without drives. */
export function ratioText({ joints }: Pick<Leg, 'joints'>): string {
  const [knee, ankle] = [joints.knee?.transmission.ratio, joints.ankle?.transmission.ratio];
  if (knee !== undefined && knee === ankle) return `${written(knee)} : 1`;
  return [
    ...(knee === undefined ? [] : [`knee ${written(knee)} : 1`]),
    ...(ankle === undefined ? [] : [`ankle ${written(ankle)} : 1`]),
  ].join(', ');
}

/** A leg by its name and its ratios. */
export const legText = (leg: Pick<Leg, 'name' | 'joints'>): string =>
  [leg.name, ratioText(leg)].filter((text) => text !== '').join(', ');
