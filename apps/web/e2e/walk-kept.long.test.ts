// One walk held behind others on the walk page: its ghost, what makes it stale, and what a reload makes of it.
import { readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import type { Browser } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { CHROME, type Look, type WatchedPage, WITHOUT } from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';
import { bracketed, openWalk, SLOW, verdict, walkedBefore } from './walk-page.ts';

describe.skipIf(CHROME === undefined)(`a walk that is kept${WITHOUT}`, { timeout: 300_000 }, () => {
  let served: ServedCopy;
  let browser: Browser;

  servedPages((made) => {
    ({ served, browser } = made);
  });

  const opened = (hash: string, look?: Look): Promise<WatchedPage> => openWalk(browser, served, hash, look);

  test('a walk is kept: back at once with the same bytes, a ghost behind others, stale when its leg is another', async () => {
    const { page, wrong } = await opened('speed=1.1');
    const print = async () =>
      /same bytes: (\w+)/.exec((await page.locator('.audit').textContent()) ?? '')?.[1];
    const speed = (text: string) =>
      page.getByRole('radio', { name: text, exact: true }).check({ force: true });
    await verdict(page, /at 1\.10 m\/s/);
    await bracketed(page);
    const first = await print();
    const hip = await page.locator('.strides-table .mean td').nth(3).textContent();
    await page.getByRole('button', { name: 'Keep this walk to compare with' }).click();
    await page.getByText('It is the walk that is shown.').waitFor();
    await speed('1.4 m/s');
    await verdict(page, /at 1\.40 m\/s/);
    expect(await print()).not.toBe(first);
    // its curves lie thin on the rule, its means stand beside these
    const scales = page.locator('.rule [data-curve$=" kept"]');
    expect(await scales.count()).toBeGreaterThan(8);
    expect(await page.locator('.strides-table .kept td').nth(3).textContent()).toBe(hip);
    await page.locator('.walk-side', { hasText: /kept/ }).waitFor();
    await bracketed(page);
    // back: nothing is walked again, not after another page either; the ledger's own walks are done by then
    await page.getByRole('link', { name: /^Walk \d+ not met$/ }).waitFor(SLOW);
    const workers: string[] = [];
    page.on('worker', (worker) => workers.push(worker.url()));
    const walkers = () => workers.filter((url) => url.includes('walk-worker'));
    await speed('1.1 m/s');
    await walkedBefore(page, /at 1\.10 m\/s/);
    expect(await print()).toBe(first);
    expect(await scales.count()).toBe(0);
    await page.getByRole('link', { name: /^Demand/ }).click();
    await page.getByRole('link', { name: /^Walk/ }).click();
    await walkedBefore(page, /at 1\.10 m\/s/);
    expect(await print()).toBe(first);
    expect(walkers()).toEqual([]);
    // another ratio: the kept walk is another leg's; undone, it is the same again, and at once
    await page.getByRole('link', { name: /^Drive/ }).click();
    await page.getByRole('slider', { name: /ratio/i }).first().focus();
    await page.keyboard.press('PageUp');
    await page.getByRole('link', { name: /^Walk/ }).click();
    await page.getByText(/^Kept: .*Stale: Tern, or its study, has changed/).waitFor(SLOW);
    await page.keyboard.press('Control+z');
    await walkedBefore(page, /at 1\.10 m\/s/);
    expect(await print()).toBe(first);
    await page.getByText('It is the walk that is shown.').waitFor();
    await page.getByRole('button', { name: 'Remove the kept walk' }).click();
    await page.getByRole('button', { name: 'Keep this walk to compare with' }).waitFor();
    expect(wrong).toEqual([]);
  });

  test('a kept walk outlives a reload; a leg that was changed meanwhile is said, and walked as it is now where that is asked', async () => {
    const { page, wrong } = await opened('leg=tern-100&speed=1.1&step=0.5');
    await verdict(page, /: Tern-100 comes through/);
    const hip = await page.locator('.strides-table .mean td').nth(3).textContent();
    await page.getByRole('button', { name: 'Keep this walk to compare with' }).click();
    await page.getByText('It is the walk that is shown.').waitFor();
    await page.getByRole('radio', { name: /^Tern,/ }).check({ force: true });
    await verdict(page, /: Tern comes through/);
    const kept = page.locator('.strides-table .kept td').nth(3);
    expect(await kept.textContent()).toBe(hip);
    await page.waitForFunction(() => !location.hash.includes('leg='));
    await page.reload();
    await verdict(page, /: Tern comes through/);
    await page.getByText(/^Kept: Tern-100, 100 : 1, 1\.10 m\/s/).waitFor(SLOW);
    expect(await kept.textContent()).toBe(hip);
    expect(await page.locator('.rule [data-curve$=" kept"]').count()).toBeGreaterThan(8);

    const file = path.join(served.folder, 'legs/tern-100.yaml');
    const sound = await readFile(file, 'utf8');
    await writeFile(file, sound.replaceAll('ratio: 100', 'ratio: 60'));
    await page.reload();
    await page
      .getByText(/Kept before this page was loaded: Tern-100, 100 : 1, .* has changed since/)
      .waitFor(SLOW);
    expect(await kept.count()).toBe(0);
    await page.getByRole('button', { name: 'Walk it with the leg as it is now' }).click();
    await page.getByText(/^Kept: Tern-100, 60 : 1, 1\.10 m\/s/).waitFor(SLOW);
    // less rotor to swing along than at 100:1
    expect(Number(await kept.textContent())).toBeLessThan(Number(hip));
    await writeFile(file, sound);
    await page.getByRole('button', { name: 'Remove the kept walk' }).click();
    await page.getByRole('button', { name: 'Keep this walk to compare with' }).waitFor();
    expect(await page.evaluate(() => Object.keys(sessionStorage).join())).not.toContain('kept-walk');
    expect(wrong).toEqual([]);
  });
});
