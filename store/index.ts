// What apps may use of the study folder, from opening to writing.

export { STUDY_FORMAT } from './format.ts';
export type { LegFile } from './leg-schema.ts';
export { createStudy } from './new-study.ts';
export { checkStudy, type OpenChoice, type OpenedStudy, openStudy } from './open-study.ts';
