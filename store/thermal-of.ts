import type { JointThermal } from '@striderule/engine';
import type { JointFile } from './joint-schema.ts';
import type { Take } from './take-quantity.ts';

/** The two nodes of heat; `at` is their path. */
export function thermalOf(h: NonNullable<JointFile['thermal']>, at: string, take: Take): JointThermal {
  return {
    windingToHousing: take(h.windingToHousing, `${at}.windingToHousing`),
    housingToAmbient: take(h.housingToAmbient, `${at}.housingToAmbient`),
    windingCapacity: take(h.windingCapacity, `${at}.windingCapacity`),
    housingCapacity: take(h.housingCapacity, `${at}.housingCapacity`),
    windingLimit: take(h.windingLimit, `${at}.windingLimit`),
    ...(h.surfaceLimit && { surfaceLimit: take(h.surfaceLimit, `${at}.surfaceLimit`) }),
    // compared, never calculated with, so that its spread has nothing to act on
    ...(h.stallFactor && { stallFactor: h.stallFactor.si }),
  };
}
