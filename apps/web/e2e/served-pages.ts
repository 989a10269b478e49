import type { StudyInput } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll } from 'vitest';
import { closePages, launch } from './browser.ts';
import { type ServedCopy, servedCopy } from './served.ts';

/** What the browser tests of one file share. */
export interface ServedPages {
  readonly served: ServedCopy;
  readonly browser: Browser;
  readonly input: StudyInput;
}

/** One server on a copy of the demo study and one browser for all tests here, given to `ready` before the first; after each, its pages are closed. */
export function servedPages(ready: (made: ServedPages) => void | Promise<void>): void {
  let served: ServedCopy | undefined;
  let browser: Browser | undefined;
  beforeAll(async () => {
    served = await servedCopy();
    browser = await launch();
    const { input } = await openStudy(served.folder);
    await ready({ served, browser, input });
  }, 180_000);
  afterEach(() => browser && closePages(browser));
  afterAll(async () => {
    await browser?.close();
    await served?.end();
  });
}
