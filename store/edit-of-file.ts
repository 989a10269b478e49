/** What a change would make of one file of the study. Nothing is written. */
export interface FileEdit {
  /** Name of the file in the study, and SHA-256 of it as it is on disk. */
  readonly file: string;
  readonly sha256: string;
  readonly before: string;
  readonly after: string;
}
