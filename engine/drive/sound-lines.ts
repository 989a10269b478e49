import type { PlanetaryTeeth } from './leg-drive.ts';

/** i = 1 + Z_r/Z_s: sun turns for one of the carrier. */
export const planetaryRatio = (teeth: PlanetaryTeeth): number => 1 + teeth.ring / teeth.sun;

/**
 * Tooth meshing frequency of a planetary stage, Hz, with the sun at `speed` rad/s and the ring held:
 *
 *     f_m = Z_r·f_c = Z_s·(f_s − f_c),   f_c = f_s/i
 *
 * Every planet meshes at it with sun and ring; sidebands stand n·f_c beside it for n planets.
 */
export const meshFrequency = (teeth: PlanetaryTeeth, speed: number): number =>
  (teeth.ring * Math.abs(speed)) / planetaryRatio(teeth) / (2 * Math.PI);

/** Meshing frequencies of stages in series, Hz, the motor's first. */
export function meshFrequencies(stages: readonly PlanetaryTeeth[], motorSpeed: number): number[] {
  let speed = motorSpeed;
  return stages.map((teeth) => {
    const frequency = meshFrequency(teeth, speed);
    speed /= planetaryRatio(teeth);
    return frequency;
  });
}

/**
 * Tones of a motor that turns at `speed` rad/s, Hz: currents f_e = p·ω/2π; torque ripple of a three-phase winding 6·f_e; cogging, `order`
 * times a turn (the least common multiple of slots and poles).
 */
export function motorLines(
  polePairs: number,
  speed: number,
  order: number | undefined,
): { electrical: number; ripple: number; cogging: number } {
  const turns = Math.abs(speed) / (2 * Math.PI);
  return {
    electrical: polePairs * turns,
    ripple: 6 * polePairs * turns,
    cogging: order === undefined ? Number.NaN : order * turns,
  };
}
