// What the page says when the study is broken or the server is gone, and how much it asks a browser to load.
import { readdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Browser } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { CHROME, openPage, WITHOUT } from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';

describe.skipIf(CHROME === undefined)(`page in trouble${WITHOUT}`, () => {
  let served: ServedCopy;
  let browser: Browser;
  servedPages((made) => {
    ({ served, browser } = made);
  });

  test('a study that breaks shows the fault with its line, a caret and the mend; mended, the page is back where it was', async () => {
    const { page } = await openPage(browser, served.origin, { width: 1440, theme: 'day' });
    await page.goto(served.server.url);
    await page.locator('.rule').waitFor();
    await page.getByRole('slider').focus();
    await page.keyboard.press('End');
    await page.waitForFunction(() => location.hash.includes('at=100'));

    const file = path.join(served.folder, 'wearers/w01.yaml');
    const sound = await readFile(file, 'utf8');
    const broken = sound.replace(/^massWithoutDevice:.*$/m, 'massWithoutDevice: 82 m');
    expect(broken).not.toBe(sound);
    await writeFile(file, broken);
    const line = broken.split('\n').findIndex((text) => text.startsWith('massWithoutDevice')) + 1;
    await page.locator('.faults').waitFor();
    expect(await page.locator('.faults .spot').first().textContent()).toMatch(
      new RegExp(`^wearers/w01\\.yaml:${line}:\\d+`),
    );
    const excerpt = (await page.locator('.faults pre').first().textContent())?.split('\n') ?? [];
    expect(excerpt[0]).toBe('massWithoutDevice: 82 m');
    expect(excerpt[1]?.trim()).toBe('^');
    expect(await page.locator('.faults li').first().textContent()).toMatch(/mass/);

    await writeFile(file, sound);
    await page.locator('.rule').waitFor();
    expect(await page.getByRole('slider').getAttribute('aria-valuenow')).toBe('100');
  });

  test('a changed study is read again and the hairline stays', async () => {
    const { page } = await openPage(browser, served.origin, { width: 1440, theme: 'day' });
    await page.goto(served.server.url);
    await page.locator('.rule').waitFor();
    await page.getByRole('slider').focus();
    await page.keyboard.press('Home');
    const file = path.join(served.folder, 'wearers/w01.yaml');
    const sound = await readFile(file, 'utf8');
    await writeFile(file, sound.replace(/^massWithoutDevice:.*$/m, 'massWithoutDevice: 91 kg'));
    await page.getByText('W01, 91 kg').waitFor();
    expect(await page.getByRole('slider').getAttribute('aria-valuenow')).toBe('0');
    await writeFile(file, sound);
  });

  test('without the token the page says where to find it', async () => {
    const { page } = await openPage(browser, served.origin, { width: 390, theme: 'day' });
    const answer = await page.goto(served.origin);
    expect(answer?.status()).toBe(401);
    expect(await page.locator('body').textContent()).toMatch(/address/);
  });

  test('the page opens with at most 120 kB of compressed script, 200 kB with what works out its ledger; the rest comes after it, and no sources ship', async () => {
    const assets = path.join(served.webDir, 'assets');
    const names = await readdir(assets);
    const html = await readFile(path.join(served.webDir, 'index.html'), 'utf8');
    const size = async (name: string) => gzipSync(await readFile(path.join(assets, name))).length;
    // what the page imports at once, and what that imports in turn; the ledger worker begins once the page answers
    const first = new Set<string>();
    const take = async (name: string): Promise<void> => {
      if (first.has(name)) return;
      first.add(name);
      const text = await readFile(path.join(assets, name), 'utf8');
      for (const [, next] of text.matchAll(/(?:from|import)\s*["'`]\.\/([\w~-]+\.js)["'`]/g))
        await take(next!);
    };
    for (const [, name] of html.matchAll(/assets\/([\w~-]+\.js)/g)) await take(name!);
    const page = new Set(first);
    await take('ledger-worker.js');
    const scripts = names.filter((name) => name.endsWith('.js'));
    const sum = async (of: Iterable<string>) =>
      (await Promise.all([...of].map(size))).reduce((a, b) => a + b, 0);
    const [opens, bytes, all] = [await sum(page), await sum(first), await sum(scripts)];
    console.log(
      `first load: ${(opens / 1000).toFixed(1)} kB of compressed script, ${(bytes / 1000).toFixed(1)} kB with the ledger's, ${((all - bytes) / 1000).toFixed(1)} kB later`,
    );
    expect(page.size).toBeGreaterThan(3); // or the imports were not read
    expect(opens).toBeLessThanOrEqual(120_000);
    expect(bytes).toBeLessThanOrEqual(200_000);
    for (const later of [/study-worker/, /map-worker/, /control-/, /walk-worker/, /walk-(?!worker)/])
      expect(scripts.filter((name) => !first.has(name)).join()).toMatch(later);
    expect(names.filter((name) => name.endsWith('.map'))).toEqual([]);
  }, 120_000);

  test('a page that could not be read says so, and the others stay', async () => {
    const { page } = await openPage(browser, served.origin, { width: 1440, theme: 'day' });
    await page.route(/control-[^/]+\.js/, (route) => route.abort());
    await page.goto(served.server.url);
    await page.locator('.rule').waitFor();
    await page.getByRole('link', { name: /^Control/ }).click();
    await page.getByRole('heading', { name: 'This page could not be read.' }).waitFor();
    await page.getByRole('link', { name: /^Demand/ }).click();
    await page.locator('.rule').waitFor();
  });

  test('what works out the margins cannot be read: it is said where they stand, and asked again they come', async () => {
    const { page } = await openPage(browser, served.origin, { width: 1440, theme: 'day' });
    const scripts = /ledger-worker\.js|answer-ledger-[^/]+\.js/;
    await page.route(scripts, (route) => route.abort());
    await page.goto(served.server.url);
    await page.locator('.rule').waitFor();
    await page.getByRole('link', { name: /^Drive \d+ not known/ }).click();
    const said = page.getByRole('alert').filter({ hasText: 'Margins are not worked out' });
    await said.waitFor();
    await page.getByRole('link', { name: /^Evidence \d+ not known/ }).click();
    await said.getByRole('button', { name: 'Try again' }).click();
    // still not there
    await said.waitFor();
    await page.unroute(scripts);
    await said.getByRole('button', { name: 'Try again' }).click();
    await page.getByRole('link', { name: /^Evidence .*(intervals to come|\d open)/ }).waitFor();
    expect(await said.count()).toBe(0);
  }, 120_000);

  test('a server that is gone is said, what was read stays', async () => {
    const { page } = await openPage(browser, served.origin, { width: 1440, theme: 'night' });
    await page.goto(served.server.url);
    await page.locator('.rule').waitFor();
    // the other pages are read ahead
    await page.waitForFunction(() =>
      performance.getEntriesByType('resource').some(({ name }) => /evidence-[^/]+\.js/.test(name)),
    );
    await served.server.close();
    await page.locator('.lost').waitFor();
    expect(await page.locator('.lost').textContent()).toContain('The server does not answer');
    expect(await page.locator('.rule').count()).toBe(1);
    await page.getByRole('link', { name: /^Evidence/ }).click();
    await page.locator('.ledger tbody').first().waitFor();
  });
});
