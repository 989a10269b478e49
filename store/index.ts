// What apps may use of the study folder, from opening to writing.

export { writeFileAtomic } from './atomic-write.ts';
export { type ChangedLine, changedLines } from './changed-lines.ts';
export { type ReadLog, readControllerLog } from './controller-log.ts';
export { type CsvPreview, previewCsv } from './csv-preview.ts';
export type { FileEdit } from './edit-of-file.ts';
export { editRatios } from './edit-ratios.ts';
export { type AskedEdit, editRequirements } from './edit-requirements.ts';
export { editYaml, type YamlPath } from './edit-yaml.ts';
export { canonicalJson, fingerprint, fingerprintOfBytes, fingerprintOfFile } from './fingerprint.ts';
export { buildFingerprint, exportFirmware } from './firmware-export.ts';
export { STUDY_FORMAT } from './format.ts';
export { evidenceOf } from './hazard-evidence.ts';
export { type ImportedRecording, type ImportRequest, importRecording } from './import-recording.ts';
export { resolveInside } from './inside.ts';
export type { LegFile } from './leg-schema.ts';
export type { LineChange } from './line-diff.ts';
export { type Migration, migrateStudy } from './migrate.ts';
export { createStudy } from './new-study.ts';
export { checkStudy, type OpenChoice, type OpenedStudy, openStudy } from './open-study.ts';
export { type ReadRecipe, readRecipe, recipeFromText } from './recipe-file.ts';
export { recipeOf } from './recipe-of.ts';
export { type LookedAt, lookAtRecording, readRecording } from './recording-stride.ts';
export {
  nearResult,
  type ResultHeader,
  type ResultKey,
  readResult,
  resultOf,
  type StoredResult,
  writeResult,
} from './results.ts';
export { saveIfUnchanged } from './save-if-unchanged.ts';
export { type Made, type Staleness, staleness, stalenessText } from './staleness.ts';
export { type LockChoice, withStudyLock } from './study-lock.ts';
export { readWav, type WavSound } from './wav-file.ts';
