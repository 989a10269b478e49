import { changedStudy, type DrivenJoint, type StudyInput } from '@striderule/engine';

/** The study with another ratio at one joint. */
export const withRatio = (input: StudyInput, joint: DrivenJoint, ratio: number): StudyInput =>
  changedStudy(input, { ratios: { [joint]: ratio } });
