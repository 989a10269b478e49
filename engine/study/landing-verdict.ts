import { degFromRad, type Rad } from '../quantity/angle.ts';
import type { WalkReport } from './walk-report.ts';

/** Whether a leg without drives lands on what was published of users on passive prostheses, in a sentence; undefined for a driven leg. */
export function landingVerdict({ control, checks, speed, thigh, steady }: WalkReport): string | undefined {
  if (control !== 'none') return undefined;
  const walk = `${speed.toFixed(2)} m/s, thigh ${thigh}`;
  if (steady === undefined) return `${walk}: no steady stride to land on published data.`;
  const landing = checks.filter((check) => check.landing);
  if (landing.length === 0) return `${walk}: nothing published to land on, 0.6 to 1.4 m/s.`;
  const lands = landing.every(({ holds }) => holds);
  const figures = landing.map(
    ({ what, value, unit, low, high, holds }) =>
      `${what} ${value.toFixed(2)} ${unit}, ${holds ? 'inside' : 'OUTSIDE'} ${low.toFixed(2)} to ${high.toFixed(2)}`,
  );
  const bends = degFromRad(steady.ankleDorsiflexion as Rad).toFixed(1);
  return `${walk}: ${lands ? 'lands' : 'DOES NOT LAND'} on published data: ${figures.join('; ')} (${landing[0]!.source}); dorsiflexes to ${bends}°. Walked on a thigh of its own, not on that of a driven leg.`;
}
