/** 3u² − 2u³ between 0 and 1, with slope 0 at both; 0 before, 1 after. */
export const smoothStep = (u: number): number => (u <= 0 ? 0 : u >= 1 ? 1 : u * u * (3 - 2 * u));
