import { shownUnit } from '@striderule/engine';

/** Radians as people read them; of speeds too. */
export const degrees = shownUnit('rad').of;
