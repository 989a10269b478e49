// Strides of the laboratory's own, from a dropped file to a layer of the rule, as somebody does it who reads what the page says.
import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { openStudy } from '@striderule/store';
import type { Browser, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import {
  axe,
  CHROME,
  LOOKS,
  type Look,
  openAt,
  slowTest,
  type WatchedPage,
  WIDE,
  WITHOUT,
} from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';

describe.skipIf(CHROME === undefined)(`import on the demand page${WITHOUT}`, () => {
  let served: ServedCopy;
  let browser: Browser;
  let sound: string;
  servedPages(async (made) => {
    ({ served, browser } = made);
    sound = await readFile(path.join(served.folder, 'recordings/demo-strides.csv'), 'utf8');
  });

  const opened = async (look: Look = WIDE): Promise<WatchedPage> => {
    const watched = await openAt(browser, served, 'page=demand&task=walk-natural&joint=ankle&at=44', look);
    await watched.page.locator('.rule').waitFor();
    return watched;
  };
  /** Drops a file onto the page as a file manager does. */
  const drop = (page: Page, name: string, content: string) =>
    page.evaluate(
      ([fileName, inside]) => {
        const transfer = new DataTransfer();
        transfer.items.add(new File([inside], fileName, { type: 'text/csv' }));
        for (const type of ['dragover', 'drop'])
          document.body.dispatchEvent(
            new DragEvent(type, { bubbles: true, cancelable: true, dataTransfer: transfer }),
          );
      },
      [name, content] as const,
    );
  const pick = (page: Page, label: string, value: string) =>
    page.getByLabel(label, { exact: true }).selectOption(value);
  const text = (page: Page, name: string) => page.getByRole('textbox', { name, exact: true });
  /** What the demo's recipe says and no name does. */
  const fill = async (page: Page) => {
    await text(page, 'Stance').fill('20 N');
    await text(page, 'Cut-off').fill('15 Hz');
    await text(page, 'Body mass of the person').fill('78 kg');
    await pick(page, 'Knee angle: grows with', 'extension');
    for (const joint of ['Hip', 'Knee'])
      await pick(page, `${joint} moment, internal: grows with`, 'extension');
    await page.getByLabel(/^More lines of the recipe/).fill('notice: "demo data: invented"');
  };
  const said = (page: Page, text: string | RegExp) =>
    page.locator('.import').getByText(text).first().waitFor();

  test('a bad CSV is mended by the words shown, a flipped column by one click; saved, the strides are a layer; a reload is where one was', async () => {
    const { page, wrong } = await opened();
    await drop(page, 'our-walk.csv', sound.replace('\n0,005;1;31,37', '\n0,005;1;NaN'));
    await page.getByRole('heading', { name: 'Import our-walk.csv' }).waitFor();
    await page.getByRole('columnheader', { name: 'Ankle moment [Nm]' }).waitFor();
    await fill(page);
    // the words name file, line and cell
    await said(page, /our-walk\.csv:5:9 column `Hip angle \[deg\]`: this cell is `NaN`/);
    expect(await page.getByRole('button', { name: /^Write tasks/ }).isDisabled()).toBe(true);
    await drop(page, 'our-walk.csv', sound);
    // what was filled in is still there, and the next thing is said
    await said(page, /Ankle moment, internal looks flipped/);
    expect(await text(page, 'Cut-off').inputValue()).toBe('15 Hz');
    const curve = () => page.locator('.import [data-curve="ankle.moment recorded"]').getAttribute('d');
    const upsideDown = await curve();
    await page.locator('.import .rule').getByText('looks flipped').waitFor();
    await page.getByRole('button', { name: 'Turn ankle moment, internal' }).click();
    await said(page, /^It can be imported: 6 strides of 1\.\d{3} s/);
    expect(await curve()).not.toBe(upsideDown);
    expect(await page.locator('.import .rule').getByText('looks flipped').count()).toBe(0);
    // the walk was down a slope: a number alone is refused, and what was understood is said with its sign in words
    await text(page, 'Speed').fill('1.22 m/s');
    const incline = text(page, 'Incline, up ahead positive');
    await incline.fill('-5');
    await said(page, /`-5` has no unit/);
    await incline.fill('−5 deg');
    await said(page, /^It can be imported: .*, down a slope of 5\.0°; /);
    await page
      .getByLabel(/^More lines of the recipe/)
      .fill('notice: "demo data: invented"\n# treadmill tilted by hand');
    await page.locator('.import pre', { hasText: 'tilted by hand' }).waitFor();
    await said(page, /^It can be imported: /);
    await text(page, 'Id of the task').fill('our-walk');
    await text(page, 'Its title').fill('Our walk');
    expect(existsSync(path.join(served.folder, 'tasks/our-walk.yaml'))).toBe(false);
    const recipe = await page.locator('.import pre').textContent();
    await page.getByRole('button', { name: 'Write tasks/our-walk.yaml' }).click();
    await page.getByText('Saved tasks/our-walk.yaml and tasks/our-walk.csv.').waitFor();
    expect(await readFile(path.join(served.folder, 'tasks/our-walk.csv'), 'utf8')).toBe(sound);
    const task = await readFile(path.join(served.folder, 'tasks/our-walk.yaml'), 'utf8');
    for (const line of recipe!.trim().split('\n')) expect(task).toContain(`      ${line}\n`);
    // its own layer under the walk that is read
    await page.locator('.rule .in-thin', { hasText: 'a' }).first().waitFor();
    await page.waitForFunction(() => location.hash.includes('under=our-walk'));
    expect(await page.getByRole('figure', { name: /^Rule/ }).getAttribute('aria-label')).toBe(
      'Rule: Level walking 1.22 m/s',
    );
    await page.reload();
    await page.locator('.rule .in-thin').first().waitFor();
    expect(await page.getByRole('slider').getAttribute('aria-valuenow')).toBe('44');
    expect(page.url()).toContain('under=our-walk');
    // and the study reads it as the person recorded walked it, with the published task beside it
    const { input } = await openStudy(served.folder);
    expect(input.strides['our-walk']?.origin.status).toBe('demo');
    expect(input.strides['our-walk']?.incline).toBeCloseTo((-5 * Math.PI) / 180, 12);
    expect(task).toContain('      # treadmill tilted by hand\n');
    expect(wrong).toEqual([]);
  }, 180_000);

  slowTest(
    'a file can be chosen by keyboard; a taken id is said and nothing is written over',
    async () => {
      const { page } = await opened();
      await page.getByLabel(/^Your own strides/).setInputFiles({
        name: 'own-walk.csv',
        mimeType: 'text/csv',
        buffer: Buffer.from(sound),
      });
      await page.getByRole('heading', { name: 'Import own-walk.csv' }).waitFor();
      await fill(page);
      await pick(page, 'Ankle moment, internal: grows with', 'plantarflexion');
      await said(page, /^It can be imported/);
      const before = await readFile(path.join(served.folder, 'tasks/own-walk.yaml'), 'utf8');
      await page.getByRole('button', { name: 'Write tasks/own-walk.yaml' }).click();
      await said(page, /nothing is written over it\. Choose another id/);
      expect(await readFile(path.join(served.folder, 'tasks/own-walk.yaml'), 'utf8')).toBe(before);
      // another page and back: nothing is lost
      await page.getByRole('link', { name: /^Evidence/ }).click();
      await page.getByRole('link', { name: /^Demand/ }).click();
      await said(page, /^It can be imported/);
      expect(await text(page, 'Stance').inputValue()).toBe('20 N');
      await page.getByRole('button', { name: 'Not now' }).click();
      expect(await page.locator('.import').count()).toBe(0);
    },
    180_000,
  );

  slowTest.each(LOOKS)(
    'axe finds nothing, nothing scrolls sideways: $width px by $theme',
    async (look) => {
      const { page, wrong } = await opened(look);
      await drop(page, 'our-walk.csv', sound);
      await page.getByRole('heading', { name: 'Import our-walk.csv' }).waitFor();
      await fill(page);
      await said(page, /looks flipped/);
      await page.evaluate(() => document.fonts.ready);
      expect(await axe(page)).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(look.width);
      expect(await page.locator('body').textContent()).not.toMatch(/NaN|undefined|Infinity/);
      await page.screenshot({
        path: `screenshots/import-${look.width}-${look.theme}-whole.png`,
        fullPage: true,
      });
      expect(wrong).toEqual([]);
    },
    120_000,
  );

  // the last: it ends the server
  slowTest(
    'a server that is gone is said, and what was filled in stays',
    async () => {
      const { page } = await opened();
      await drop(page, 'our-walk.csv', sound);
      await page.getByRole('heading', { name: 'Import our-walk.csv' }).waitFor();
      await fill(page);
      await said(page, /looks flipped/);
      await served.server.close();
      await text(page, 'Speed').fill('1.3 m/s');
      await said(page, /The server does not answer, and it is the server that reads files/);
      await page.locator('.lost').waitFor();
      expect(await text(page, 'Speed').inputValue()).toBe('1.3 m/s');
      expect(await page.evaluate(() => Object.values(sessionStorage).join())).toContain('1.3 m/s');
      expect(await page.getByRole('button', { name: /^Write tasks/ }).isDisabled()).toBe(true);
    },
    120_000,
  );
});
