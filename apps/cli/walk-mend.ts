import { drivesNothing, type StudyInput, walkNeeds } from '@striderule/engine';

/** How a walk that cannot be told is mended; a leg without drives lacks none once its own fields are there. */
export const walkMend = (input: StudyInput): string =>
  drivesNothing(input.leg) && walkNeeds(input).length === 0
    ? 'Choose a leg with drives for that, or another speed for this one'
    : 'Add what is missing, or choose another speed or leg';
