import type { Segment } from '../gait/stride.ts';

/**
 * Thigh of a residual limb as Dempster's whole thigh, shorter: mass 0.100 of the body, centre at 0.433, radius of gyration 0.323 of its length.
 * Winter, Biomechanics and Motor Control of Human Movement, 4th ed. (2009), table 4.1. That mass goes with length: COMMON PRACTICE.
 */
const THIGH = { mass: 0.1, centre: 0.433, gyration: 0.323 };

/** What of the thigh is the wearer's. */
export function residualLimb(mass: number, length: number, whole: number): Segment {
  const own = (THIGH.mass * mass * length) / whole;
  return {
    length,
    mass: own,
    centre: { x: 0, z: -THIGH.centre * length },
    inertia: own * (THIGH.gyration * length) ** 2,
  };
}

/** Two bodies in one frame as one. */
export function joinedSegments(a: Segment, b: Segment, length: number): Segment {
  const mass = a.mass + b.mass;
  const centre = {
    x: (a.mass * a.centre.x + b.mass * b.centre.x) / mass,
    z: (a.mass * a.centre.z + b.mass * b.centre.z) / mass,
  };
  const about = (s: Segment): number =>
    s.inertia + s.mass * ((s.centre.x - centre.x) ** 2 + (s.centre.z - centre.z) ** 2);
  return { length, mass, centre, inertia: about(a) + about(b) };
}
