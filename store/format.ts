/** The study format this program reads and writes. Older folders are migrated (migrate.ts), newer ones refused. */
export const STUDY_FORMAT = 2;
