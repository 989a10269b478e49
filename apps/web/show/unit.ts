import { degFromRad, type Rad } from '@striderule/engine';

/** How a number in an SI unit is read by people: angles in degrees, temperatures in °C, everything else as it is. */
export interface Shown {
  readonly unit: string;
  readonly of: (value: number) => number;
  /** The same of a difference, such as a margin: a scale's zero is not in it. */
  readonly difference: (value: number) => number;
}

export const degrees = (value: number): number => degFromRad(value as Rad);

const same = (value: number): number => value;

const scaled = (unit: string, of: (value: number) => number): Shown => ({ unit, of, difference: of });

const READ_AS: { readonly [unit: string]: Shown } = {
  rad: scaled('°', degrees),
  'rad/s': scaled('°/s', degrees),
  '1': scaled('×', same),
  K: { unit: '°C', of: (value) => value - 273.15, difference: same },
};

export const shownUnit = (unit: string): Shown => READ_AS[unit] ?? scaled(unit, same);
