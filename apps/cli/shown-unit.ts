import { degFromRad, type Rad } from '@striderule/engine';

/** How a number in an SI unit is read by people: angles in degrees, everything else as it is. */
export interface Shown {
  readonly unit: string;
  readonly of: (value: number) => number;
}

const degrees = (value: number): number => degFromRad(value as Rad);

const READ_AS: { readonly [unit: string]: Shown } = {
  rad: { unit: '°', of: degrees },
  'rad/s': { unit: '°/s', of: degrees },
  'rad/s²': { unit: '°/s²', of: degrees },
  '1': { unit: '×', of: (value) => value },
};

export function shownUnit(unit: string): Shown {
  return READ_AS[unit] ?? { unit, of: (value) => value };
}
