import { PAGE_FILES } from './page-files.ts';
import { placeAtStart } from './place.ts';
import { readStudy } from './read-study.ts';

// Begun before anything is drawn: what the first screen waits for.

/** The study as it was when the page was opened. */
export const firstStudy = readStudy();

const { page } = placeAtStart();
const firstFile: Promise<unknown> = page === 'demand' ? Promise.resolve() : PAGE_FILES[page]();

/** Both are there, or cannot be had; who shows them asks again, and says so. */
export const firstReading: Promise<unknown> = Promise.allSettled([firstStudy, firstFile]);
