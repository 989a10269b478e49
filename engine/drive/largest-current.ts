import type { CurrentLimit, JointDrive } from './leg-drive.ts';

/**
 * Largest peak phase current of a joint, A: the least of what the electronics allow, the motor may carry, and its magnets stand.
 * Without a demagnetisation limit in the file that one is not known, and not counted.
 */
export const largestCurrent = ({ currentLimit, motor }: JointDrive): number =>
  Math.min(currentLimit, motor.peakCurrent, motor.demagnetisationCurrent ?? Number.POSITIVE_INFINITY);

/**
 * A the cells may carry at `temperature`, K. A list holds from each of its temperatures on to the next, as cell sheets print bands; below
 * its first it says nothing: NaN.
 */
export const currentLimitAt = (limit: CurrentLimit, temperature: number): number =>
  typeof limit === 'number'
    ? limit
    : (limit.findLast((band) => band.temperature <= temperature)?.current ?? Number.NaN);
