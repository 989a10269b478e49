import type { Spread } from '../quantity/spread.ts';

/** z at 97.5 %: NIST/SEMATECH e-Handbook, §1.3.6.7.1, 1.960. */
const Z975 = 1.959963984540054;

/**
 * How far one unit of its kind usually lies from its data sheet, as half the 95 % interval ÷ value: COMMON PRACTICE, the middle of the
 * ranges given beside each. A bench measurement of the laboratory's own replaces every one of them.
 */
const TYPICAL: readonly [pattern: RegExp, half: number, why: string][] = [
  [/motor\.fluxLinkage$/, 0.075, 'magnets and winding of one motor, ±5 … 10 %'],
  [/motor\.resistance$/, 0.075, 'one winding, ±5 … 10 %'],
  [/motor\.inductance[DQ]$/, 0.225, 'one winding, ±15 … 30 %'],
  [/rotorInertia$|transmission\.(input|output)Inertia$/, 0.075, 'drawing against identification, ±5 … 10 %'],
  [/(coulomb|viscous|breakaway)Drag$/, 0.375, 'unit to unit, ±25 … 50 %'],
  [/output(Coulomb|Viscous|Breakaway)$/, 0.375, 'unit to unit, ±25 … 50 %'],
  [/windingToHousing$|housingToAmbient$/, 0.25, 'fit, air and mounting, ±20 … 30 %'],
];
const MESH = /(driving|backDriven)Efficiency$/;
/** Of the loss 1 − η. */
const MESH_HALF = 0.3;

/** The typical spread of the number at `path`; undefined where we know of none. Normal. */
export function typicalSpread(path: string, nominal: number): Spread | undefined {
  const found = TYPICAL.find(([pattern]) => pattern.test(path));
  const [half, why] = MESH.test(path)
    ? [MESH_HALF * (1 - nominal), 'loss of one mesh, ±30 % of it']
    : found === undefined
      ? [0, '']
      : [found[1] * nominal, found[2]];
  if (half === 0) return undefined;
  return {
    path,
    nominal,
    sd: half / Z975,
    basis: 'assumed',
    because: `typical of its kind, COMMON PRACTICE: ${why}`,
  };
}
