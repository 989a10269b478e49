import {
  gainMap,
  loadsOf,
  loopPolynomial,
  passivity,
  type StudyInput,
  sampledDrive,
  softwareGains,
  stable,
} from '@striderule/engine';
import { inTurn, timingText } from './rounds.ts';

const spaced = (low: number, high: number, n: number) =>
  Float64Array.from({ length: n }, (_, k) => low * (high / low) ** (k / (n - 1)));

/** The map of gains against stability and passivity asked point by point, on 20 × 20; and 200 × 200 alone. Must reach: 1 s. */
export function gainMapTime(input: StudyInput): string {
  const joint = sampledDrive(input, 'ankle');
  if ('openBecause' in joint) return `Map of gains: ${joint.openBecause}`;
  const loops = loadsOf(input, 'ankle').flatMap((load) => loopPolynomial(joint, load) ?? []);
  const grid = (n: number) => ({ stiffnesses: spaced(3, 3000, n), dampings: spaced(0.01, 100, n) });
  const [small, large] = [grid(20), grid(200)];
  const times = inTurn(
    {
      map: () => gainMap(joint, loops, small),
      plain: () => {
        let count = 0;
        for (const damping of small.dampings)
          for (const stiffness of small.stiffnesses) {
            const gains = softwareGains(joint, { stiffness, damping });
            if (gains === undefined) continue;
            if (loops.every((loop) => stable(loop, gains))) count++;
            if (passivity(joint, gains).passive) count++;
          }
        return count;
      },
      large: () => gainMap(joint, loops, large),
    },
    { rounds: 12, warmUp: 3 },
  );
  return [
    'Map of gains, both verdicts (must reach 1 s at 200 × 200)',
    `  20 × 20    ${timingText(times.map)}`,
    `  one by one ${timingText(times.plain)}, ${(times.plain.median / times.map.median).toFixed(0)} times as long`,
    `  200 × 200  ${timingText(times.large)}`,
  ].join('\n');
}
