import type { Encoder } from '@striderule/engine';
import type { JointFile } from './joint-schema.ts';
import type { Take } from './take-quantity.ts';

/** Where and how finely a joint's angle is measured; `at` is its path. */
export const encoderOf = (
  { encoder }: NonNullable<JointFile['sensors']>,
  at: string,
  take: Take,
): Encoder => ({
  side: encoder.side,
  bits: encoder.bits,
  ...(encoder.delay && { delay: take(encoder.delay, `${at}.delay`) }),
});
