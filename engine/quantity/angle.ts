/** Plane angle in radians. A brand of its own, so that degrees cannot slip in unseen. */
export type Rad = number & { readonly unit: 'rad' };

/** Plane angle in degrees; lives only where people read and write it. */
export type Deg = number & { readonly unit: 'deg' };

export const rad = (value: number): Rad => value as Rad;
export const deg = (value: number): Deg => value as Deg;
export const radFromDeg = (a: Deg): Rad => ((a * Math.PI) / 180) as Rad;
export const degFromRad = (a: Rad): Deg => ((a * 180) / Math.PI) as Deg;
