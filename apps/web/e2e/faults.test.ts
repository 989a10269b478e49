// What the page says when the study is broken or the server is gone, and how much it asks a browser to load.
import { readdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { CHROME, closePages, launch, openPage, WITHOUT } from './browser.ts';
import { type ServedCopy, servedCopy } from './served.ts';

describe.skipIf(CHROME === undefined)(`page in trouble${WITHOUT}`, () => {
  let served: ServedCopy;
  let browser: Browser;
  beforeAll(async () => {
    served = await servedCopy();
    browser = await launch();
  });
  afterEach(() => closePages(browser));
  afterAll(async () => {
    await browser?.close();
    await served?.end();
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

  test('the first load is at most 200 kB of compressed script, Control comes when it is opened, and no sources ship', async () => {
    const { page } = await openPage(browser, served.origin, { width: 1440, theme: 'day' });
    const asked = new Set<string>();
    page.on('request', (request) => {
      const { pathname } = new URL(request.url());
      if (pathname.endsWith('.js')) asked.add(pathname.slice(1));
    });
    await page.goto(served.server.url);
    await page.getByRole('link', { name: /^Evidence .*\d not met, \d+ open/ }).waitFor(); // the worker has answered
    const names = [...asked];
    const scripts = await Promise.all(names.map((name) => readFile(path.join(served.webDir, name))));
    const bytes = scripts.reduce((sum, script) => sum + gzipSync(script).length, 0);
    console.log(`first load: ${(bytes / 1000).toFixed(1)} kB of compressed script`);
    expect(names).toContain('assets/ledger-worker.js');
    expect(bytes).toBeLessThanOrEqual(200_000);
    await page.getByRole('link', { name: /^Control/ }).click();
    await page.locator('.control').waitFor();
    expect(asked.size).toBeGreaterThan(names.length);
    expect(
      (await readdir(path.join(served.webDir, 'assets'))).filter((name) => name.endsWith('.map')),
    ).toEqual([]);
  });

  test('a server that is gone is said, what was read stays', async () => {
    const { page } = await openPage(browser, served.origin, { width: 1440, theme: 'night' });
    await page.goto(served.server.url);
    await page.locator('.rule').waitFor();
    await served.server.close();
    await page.locator('.lost').waitFor();
    expect(await page.locator('.lost').textContent()).toContain('The server does not answer');
    expect(await page.locator('.rule').count()).toBe(1);
    await page.getByRole('link', { name: /^Evidence/ }).click();
    expect(await page.locator('.ledger tbody').count()).toBeGreaterThan(0);
  });
});
