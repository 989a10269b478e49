import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';
import { chromium } from 'playwright-core';
import { test } from 'vitest';

/**
 * The browser of this machine: $CHROME, or the system's Chromium; undefined where there is none. Without windows of its own it has the same
 * engine, and opens a page for a quarter of the processor's time.
 */
export const CHROME: string | undefined = [
  process.env.CHROME,
  '/usr/bin/chromium-headless-shell',
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
].find((name) => name !== undefined && existsSync(name));

export const WITHOUT = CHROME === undefined ? ' (skipped: no Chromium; install it or set $CHROME)' : '';

export const launch = (): Promise<Browser> =>
  chromium.launch({
    executablePath: CHROME ?? '',
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });

export interface Look {
  readonly width: 1440 | 390;
  readonly theme: 'day' | 'night';
}

export const WIDE: Look = { width: 1440, theme: 'day' };

const SLOW = process.env.STRIDERULE_LONG === '1';

/** Both widths and both themes in two looks; the slow tier has every theme at every width. */
export const LOOKS: readonly Look[] = [
  WIDE,
  { width: 390, theme: 'night' },
  ...(SLOW
    ? ([
        { width: 1440, theme: 'night' },
        { width: 390, theme: 'day' },
      ] as const)
    : []),
];

/** `test` of the slow tier, `npm run test:long`; nothing otherwise. */
export const slowTest = (
  SLOW ? test : Object.assign(() => undefined, { each: () => () => undefined })
) as typeof test;

/** A page, and everything that went wrong in it. */
export interface WatchedPage {
  readonly page: Page;
  /** Console errors, thrown errors, content-policy violations, requests that leave the origin. */
  readonly wrong: string[];
}

export async function openPage(
  browser: Browser,
  origin: string,
  { width, theme }: Look,
): Promise<WatchedPage> {
  const context = await browser.newContext({
    viewport: { width, height: width === 390 ? 844 : 1000 },
    colorScheme: theme === 'night' ? 'dark' : 'light',
    locale: 'en-GB',
    hasTouch: width === 390,
    acceptDownloads: true,
  });
  const page = await context.newPage();
  const wrong: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error') wrong.push(`console: ${message.text()}`);
  });
  page.on('pageerror', (error) => wrong.push(`thrown: ${error.message}`));
  page.on('request', (request) => {
    const url = request.url();
    if (!url.startsWith(origin) && !/^(data|blob):/.test(url)) wrong.push(`left the origin: ${url}`);
  });
  await page.addInitScript(() => {
    document.addEventListener('securitypolicyviolation', (event) => {
      console.error(`policy: ${event.violatedDirective} ${event.blockedURI}`);
    });
  });
  return { page, wrong };
}

/** A page at an address of a served study, as a link leads there. It is let in first without a page, so that it loads once. */
export async function openAt(
  browser: Browser,
  served: { readonly origin: string; readonly server: { readonly url: string } },
  hash: string,
  look: Look,
): Promise<WatchedPage> {
  const watched = await openPage(browser, served.origin, look);
  await watched.page.request.get(served.server.url, { maxRedirects: 0 });
  await watched.page.goto(`${served.origin}/#${hash}`);
  return watched;
}

/** Closes every page of a test: one that stays open goes on drawing, and slows the next. */
export async function closePages(browser: Browser): Promise<void> {
  for (const context of browser.contexts()) await context.close();
}

/** What axe finds, one line each. */
export async function axe(page: Page): Promise<string[]> {
  const source = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
  await page.evaluate(source);
  return page.evaluate(async () => {
    const { violations } = await (window as unknown as { axe: { run: () => Promise<AxeResult> } }).axe.run();
    return violations.flatMap(({ id, nodes }) =>
      nodes.map(({ html, failureSummary }) => `${id}: ${html} ${failureSummary}`),
    );
  });
}

interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly html: string; readonly failureSummary: string }[];
  }[];
}
