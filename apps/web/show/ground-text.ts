import { degFromRad, type Rad } from '@striderule/engine';
import { fixed } from './number.ts';

/** Slope of the ground, rad, up ahead positive, in words that leave no doubt of its sign. */
export function groundText(incline: number): string {
  const degrees = fixed(Math.abs(degFromRad(incline as Rad)), 1);
  return incline === 0 ? 'on level ground' : `${incline > 0 ? 'up' : 'down'} a slope of ${degrees}°`;
}
