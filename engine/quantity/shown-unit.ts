import { degFromRad, type Rad } from './angle.ts';

/** How a number in an SI unit is read by people: angles in degrees, temperatures in °C, everything else as it is. */
export interface Shown {
  readonly unit: string;
  readonly of: (value: number) => number;
  /** The same of a difference, such as a margin: a scale's zero is not in it. */
  readonly difference: (value: number) => number;
}

/** 0 °C in K, by definition: SI Brochure, 9th edition (2019), 2.3.1 (FROM MEMORY). */
const ZERO_CELSIUS = 273.15;

const degrees = (value: number): number => degFromRad(value as Rad);
const same = (value: number): number => value;
const scaled = (unit: string, of: (value: number) => number): Shown => ({ unit, of, difference: of });

const READ_AS: { readonly [unit: string]: Shown } = {
  rad: scaled('°', degrees),
  'rad/s': scaled('°/s', degrees),
  'rad/s²': scaled('°/s²', degrees),
  '1': scaled('×', same),
  K: { unit: '°C', of: (value) => value - ZERO_CELSIUS, difference: same },
};

/** The unit people read for an SI unit, and the way there. One table for every face; the engine itself never uses it. */
export const shownUnit = (unit: string): Shown =>
  Object.hasOwn(READ_AS, unit) ? (READ_AS[unit] as Shown) : scaled(unit, same);
