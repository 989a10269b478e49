import { degFromRad, type Rad } from '@striderule/engine';

/** How a number in an SI unit is read by people: angles in degrees, everything else as it is. */
export interface Shown {
  readonly unit: string;
  readonly of: (value: number) => number;
}

export const degrees = (value: number): number => degFromRad(value as Rad);

const same = (value: number): number => value;

const READ_AS: { readonly [unit: string]: Shown } = {
  rad: { unit: '°', of: degrees },
  'rad/s': { unit: '°/s', of: degrees },
  '1': { unit: '×', of: same },
};

export const shownUnit = (unit: string): Shown => READ_AS[unit] ?? { unit, of: same };
