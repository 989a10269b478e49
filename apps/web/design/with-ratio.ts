import { type DrivenJoint, type StudyInput, withValue } from '@striderule/engine';

/** The study with another ratio at one joint. */
export const withRatio = (input: StudyInput, joint: DrivenJoint, ratio: number): StudyInput => ({
  ...input,
  leg: withValue(input.leg, `joints.${joint}.transmission.ratio`, ratio),
});
