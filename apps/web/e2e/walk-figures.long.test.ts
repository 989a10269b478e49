// The walk page against the engine: figures, motion, files, and a walk that falls.
import { readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import type { StudyInput } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import type { Browser } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { fixed } from '../show/number.ts';
import { CHROME, type Look, type WatchedPage, WITHOUT } from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';
import { bracketed, openWalk, picture, SLOW, ticks, verdict, walked } from './walk-page.ts';

describe.skipIf(CHROME === undefined)(`figures of the walk page${WITHOUT}`, { timeout: 300_000 }, () => {
  let served: ServedCopy;
  let browser: Browser;
  let input: StudyInput;

  servedPages((made) => {
    ({ served, browser, input } = made);
  });

  const opened = (hash: string, look?: Look): Promise<WatchedPage> => openWalk(browser, served, hash, look);

  test('the bracket of the hip and the strides are those of the engine', async () => {
    const { page, wrong } = await opened('speed=1.4&thigh=led&ground=overground');
    await picture(page);
    await bracketed(page);
    const of = (thigh: 'prescribed' | 'led') =>
      walked(input, { speed: 1.4, thigh, ground: 'overground' }).report;
    const rows = page.locator('.bracket tbody tr');
    for (const [k, report] of [of('prescribed'), of('led')].entries()) {
      const steady = report.steady!;
      expect(await rows.nth(k).locator('td').allTextContents()).toEqual([
        fixed(steady.hipPositiveWork, 1),
        fixed(steady.hipNegativeWork, 1),
        fixed(steady.hipFlexion, 0),
        fixed(-steady.hipExtension, 0),
        fixed(steady.pullOff, 0),
        'not predicted',
      ]);
    }
    const led = of('led');
    expect(await page.locator('.strides-table tbody tr').count()).toBe(led.strides.length + 1);
    const states = await page.locator('.checks tbody tr td.word:not(.source-cell)').allTextContents();
    expect(states).toEqual(led.checks.map(({ holds }) => (holds ? 'holds' : 'does not hold')));
    const high = await opened('leg=tern-100&speed=1.4&thigh=led');
    await picture(high.page);
    expect(await high.page.locator('.checks tbody tr td.word:not(.source-cell)').allTextContents()).toContain(
      'does not hold',
    );
    expect(wrong).toEqual([]);
  });

  test('played it walks on by itself; where motion is not wanted, by tenths', async () => {
    const { page, wrong } = await opened('speed=1.1&at=0');
    await picture(page);
    const now = async () => Number(await ticks(page).getAttribute('aria-valuenow'));
    await page.getByRole('button', { name: 'Play this stride' }).click();
    await page.waitForFunction(
      () => Number(document.querySelector('.walk-knob')?.getAttribute('aria-valuenow')) > 60,
    );
    await page.getByRole('button', { name: 'Pause' }).click();
    const stopped = await now();
    await page.waitForTimeout(200);
    expect(await now()).toBe(stopped);
    await ticks(page).focus();
    await page.keyboard.press('Home');
    await page.keyboard.press('Shift+ArrowRight');
    await page.keyboard.press('ArrowRight');
    expect(await now()).toBe(11);
    await page.keyboard.press('Home');
    await page.emulateMedia({ reducedMotion: 'reduce' });
    // every tick at which the leg stood from here on
    await page.evaluate(() => {
      const knob = document.querySelector('.walk-knob')!;
      const stood: number[] = [];
      Object.assign(window, { stood });
      new MutationObserver(() => stood.push(Number(knob.getAttribute('aria-valuenow')))).observe(knob, {
        attributeFilter: ['aria-valuenow'],
      });
    });
    await page.getByRole('button', { name: 'Play this stride' }).click();
    await page.waitForFunction(() => (window as unknown as { stood: number[] }).stood.length >= 2);
    await page.getByRole('button', { name: 'Pause' }).click();
    const stood = await page.evaluate(() => (window as unknown as { stood: number[] }).stood);
    for (const tick of stood) expect(tick % 122).toBeLessThan(3); // tenths of 1217 ticks
    expect(wrong).toEqual([]);
  });

  test('SVG and CSV files are whole', async () => {
    const { page } = await opened('speed=1.1&at=52');
    await picture(page);
    const saved = async (where: string, name: string) => {
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        page.locator(where).getByRole('button', { name }).click(),
      ]);
      return readFile(await file.path(), 'utf8');
    };
    for (const [where, name] of [
      ['.walk-picture', 'Save the picture as SVG'],
      ['.rule', 'Save as SVG'],
    ] as const) {
      const text = await saved(where, name);
      expect(text).not.toMatch(/var\(|https?:\/\/(?!www\.w3\.org\/2000\/svg)|NaN|undefined/);
      expect(
        await page.evaluate(
          (svg) =>
            new DOMParser().parseFromString(svg, 'image/svg+xml').querySelector('parsererror')?.textContent,
          text,
        ),
      ).toBeUndefined();
    }
    // nineteen strides on every scale are too many points for the page's SVG: there they are painted, in the file they are drawn
    const drawn = await saved('.rule', 'Save as SVG');
    const scales = drawn.split('class="name"').length - 1;
    const crowd = drawn.split('class="crowd"').length - 1;
    expect(crowd % 18).toBe(0);
    expect(crowd / 18).toBeGreaterThan(0.6 * scales);
    expect(await page.locator('.rule .crowd').count()).toBe(0);
    const inks = () =>
      page.locator('.rule canvas').evaluate((element) => {
        const canvas = element as HTMLCanvasElement;
        const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
        return new Set(new Uint32Array(data.buffer)).size;
      });
    expect(await inks()).toBeGreaterThan(10);
    const curves = (await saved('.rule', 'Save as CSV')).trim().split('\r\n');
    expect(curves).toHaveLength(202);
    const strides = (await saved('.walk', 'Save strides as CSV')).trim().split('\r\n');
    expect(strides).toHaveLength(20);
  });

  // last: it breaks the copy of the study
  test('a walk that falls: when, why, and its last stride; one that cannot be told: the reason', async () => {
    const file = path.join(served.folder, 'legs/tern.yaml');
    const text = await readFile(file, 'utf8');
    await writeFile(file, text.replaceAll(/^(\s+)currentLimit: .*$/gm, '$1currentLimit: 2 A'));
    const weak = (await openStudy(served.folder)).input;
    const { fell, strides } = walked(weak, { speed: 1.1 }).report;
    const { page, wrong } = await opened('speed=1.1&at=10');
    await verdict(
      page,
      new RegExp(`^No: Tern fell after ${fixed(fell!.time, 2)} s at 1.10 m/s: the hip sank`),
    );
    expect(await page.getByRole('radio', { name: `${strides.length + 1} fell` }).isChecked()).toBe(true);
    await ticks(page).focus();
    await page.keyboard.press('End');
    expect(await page.locator('.walk [data-cell="power ankle"]').textContent()).toMatch(/\d/);
    await page.getByRole('button', { name: 'Play this stride' }).click();
    await page.waitForTimeout(300);
    expect(await page.locator('body').textContent()).not.toMatch(/NaN|undefined|Infinity/);
    await page.goto(`${served.origin}/#page=walk&speed=3.5`);
    await page.locator('.walk-told [role=alert]', { hasText: /^Not walked: / }).waitFor(SLOW);
    expect(wrong).toEqual([]);
  });
});
