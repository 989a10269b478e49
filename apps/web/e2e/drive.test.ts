// The drive page as somebody uses it. What it must show is asked of the engine here, on the same study.
import { readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import {
  type DrivenJoint,
  evaluateStudy,
  type LedgerRow,
  type StudyInput,
  shownMoment,
  withValue,
} from '@striderule/engine';
import { openStudy } from '@striderule/store';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { valueText } from '../ledger/row-text.ts';
import { fixed } from '../show/number.ts';
import {
  axe,
  CHROME,
  closePages,
  type Look,
  launch,
  openPage,
  type WatchedPage,
  WITHOUT,
} from './browser.ts';
import { dragFrames } from './drag-frames.ts';
import { type ServedCopy, servedCopy } from './served.ts';

const WIDE: Look = { width: 1440, theme: 'day' };

describe.skipIf(CHROME === undefined)(`drive page${WITHOUT}`, () => {
  let served: ServedCopy;
  let browser: Browser;
  let input: StudyInput;
  let sound: string;
  const leg = () => path.join(served.folder, 'legs/tern.yaml');

  beforeAll(async () => {
    served = await servedCopy();
    browser = await launch();
    input = (await openStudy(served.folder)).input;
    sound = await readFile(leg(), 'utf8');
  });
  beforeEach(async () => {
    if (sound !== undefined) await writeFile(leg(), sound);
  });
  afterEach(() => closePages(browser));
  afterAll(async () => {
    await browser?.close();
    await served?.end();
  });

  const opened = async (hash: string, look: Look = WIDE): Promise<WatchedPage> => {
    const watched = await openPage(browser, served.origin, look);
    await watched.page.goto(served.server.url);
    await watched.page.goto('about:blank');
    await watched.page.goto(`${served.origin}/#page=drive&${hash}`);
    await watched.page.locator('.slide').waitFor();
    return watched;
  };
  const slider = (page: Page) => page.getByRole('slider', { name: /^Ratio/ });
  const typed = (page: Page) => page.getByRole('textbox', { name: /^Ratio/ });
  const at = (joint: DrivenJoint, ratio: number) =>
    evaluateStudy({ ...input, leg: withValue(input.leg, `joints.${joint}.transmission.ratio`, ratio) });
  const rowOf = (ledger: readonly LedgerRow[], id: string): LedgerRow =>
    ledger.find(({ requirement }) => requirement.id === id)!;
  /** Waits until the page says of a requirement what the engine does. */
  const says = async (page: Page, row: LedgerRow) => {
    const line = page.locator(`[data-margin="${row.requirement.id}"]`);
    await line.locator('td:last-child', { hasText: new RegExp(`^${row.state}$`) }).waitFor();
    expect(await line.locator('td').nth(1).textContent()).toMatch(
      new RegExp(`^${valueText(row, row.predicted).replace(/[.()+]/g, '\\$&')}(, saved|$)`),
    );
  };

  test('keys slide the ratio to 18: the margin of the fast walk and its state are the engine’s; undo, redo', async () => {
    const { page, wrong } = await opened('task=walk-fast&joint=knee&at=50');
    const [saved, eighteen] = [at('knee', 22).ledger, at('knee', 18).ledger];
    const [before, after] = [rowOf(saved, 'knee-speed-walking'), rowOf(eighteen, 'knee-speed-walking')];
    expect(before.state).not.toBe(after.state); // or the test could not tell
    await says(page, before);
    await slider(page).focus();
    for (let k = 0; k < 4; k++) await page.keyboard.press('PageDown');
    await says(page, after);
    expect(await typed(page).inputValue()).toBe('18');
    expect(await slider(page).getAttribute('aria-valuetext')).toMatch(
      /^18\.0 to 1\. Joint torque, peak: limit ÷ need /,
    );
    const undo = page.getByRole('button', { name: /^Undo/ });
    await page.getByRole('button', { name: 'Undo knee ratio 22 → 18' }).waitFor(); // four keys, one step
    await page.keyboard.press('Control+z');
    await says(page, before);
    expect(await undo.isDisabled()).toBe(true);
    await page.keyboard.press('Control+Shift+z');
    await says(page, after);
    await undo.click();
    await says(page, before);
    await page.getByRole('button', { name: 'Redo knee ratio 22 → 18' }).click();
    await says(page, after);
    await page.keyboard.press('Home');
    expect(wrong).toEqual([]);
  });

  test('the pointer drags the scales: torque with the ratio, speed against it; the rule moves while it is held', async () => {
    const { page, wrong } = await opened('task=walk-natural&joint=ankle&at=50');
    const face = page.locator('.slide-face');
    const box = (await face.boundingBox())!;
    const moment = async () => await page.locator('.rule .reading').nth(2).textContent();
    const torqueAt = (ratio: number) => {
      const load = at('ankle', ratio).loads['walk-natural']?.ankle;
      return `${fixed(shownMoment(load?.motorTorque[100] ?? Number.NaN), 2)} N·m`;
    };
    await page.waitForFunction(
      (text) => document.querySelector('.rule')?.textContent?.includes(text),
      torqueAt(22),
    );
    const drag = async (y: number, dx: number) => {
      await page.mouse.move(box.x + 400, box.y + y);
      await page.mouse.down();
      await page.mouse.move(box.x + 400 + dx / 2, box.y + y, { steps: 4 });
      await page.mouse.move(box.x + 400 + dx, box.y + y, { steps: 4 });
    };
    // 350 px a decade: from 22 to 18 is 350·log10(18/22) = −30.5 px
    await drag(130, -30.5);
    await page.waitForFunction(
      () =>
        document.querySelector('[aria-label="Ratio of the ankle"]')?.getAttribute('aria-valuenow') === '18',
    );
    await page.waitForFunction(
      (text) => document.querySelector('.rule')?.textContent?.includes(text),
      torqueAt(18),
    );
    expect(await page.getByRole('button', { name: /^Undo/ }).isDisabled()).toBe(true); // still held
    await page.mouse.up();
    await says(page, rowOf(at('ankle', 18).ledger, 'ankle-torque'));
    await drag(230, -30.5); // the speed scale goes the other way: back to 22
    await page.mouse.up();
    await page.getByRole('button', { name: 'Undo ankle ratio 18 → 22' }).waitFor();
    expect(await moment()).not.toBeNull();
    expect(wrong).toEqual([]);
  });

  test('a typed ratio is taken on Enter, what is no ratio is said and kept', async () => {
    const { page } = await opened('task=walk-natural&joint=ankle&at=50');
    await typed(page).fill('18,5');
    await typed(page).press('Enter');
    await says(page, rowOf(at('ankle', 18.5).ledger, 'ankle-torque'));
    await typed(page).fill('many');
    await typed(page).press('Enter');
    expect(await page.locator('.typed [role=status]').textContent()).toBe(
      '“many” is not taken: type a number from 3 to 150.',
    );
    expect(await typed(page).inputValue()).toBe('many');
    expect(await slider(page).getAttribute('aria-valuenow')).toBe('18.5');
    await typed(page).press('Escape');
    expect(await typed(page).inputValue()).toBe('18.5');
  });

  test('saving shows the one line that changes, writes it, and a reload is where one was; undo then leads back', async () => {
    const { page, wrong } = await opened('task=walk-fast&joint=ankle&at=44');
    await typed(page).fill('18');
    await typed(page).press('Enter');
    await page.reload();
    await page.locator('.slide').waitFor();
    expect(await typed(page).inputValue()).toBe('18'); // not saved, not lost
    expect(await page.getByRole('slider', { name: /^Hairline/ }).getAttribute('aria-valuenow')).toBe('44');
    await page.getByRole('button', { name: 'Save …' }).click();
    const lines = sound.split('\n');
    const line = lines.lastIndexOf('      ratio: 22');
    await page.locator('.diff').waitFor();
    expect(await page.locator('.diff').textContent()).toBe(
      `line ${line + 1}  −       ratio: 22\nline ${line + 1}  +       ratio: 18\n`,
    );
    expect(await readFile(leg(), 'utf8')).toBe(sound);
    await page.getByRole('button', { name: 'Write legs/tern.yaml' }).click();
    await page.getByText('Saved legs/tern.yaml.').waitFor();
    expect(await readFile(leg(), 'utf8')).toBe(lines.with(line, '      ratio: 18').join('\n'));
    await page.getByText('in the leg file: 18 : 1').waitFor();
    expect(await page.getByRole('link', { name: /^Drive/ }).textContent()).not.toContain('unsaved');
    await page.getByRole('button', { name: 'Undo ankle ratio 22 → 18' }).click();
    await page.getByRole('link', { name: /^Drive .*unsaved$/ }).waitFor();
    expect(await typed(page).inputValue()).toBe('22');
    expect(wrong).toEqual([]);
  });

  test('a file that changed after it was shown is not saved over, and the page says so', async () => {
    const { page } = await opened('task=walk-fast&joint=ankle&at=44');
    await typed(page).fill('19');
    await typed(page).press('Enter');
    await page.getByRole('button', { name: 'Save …' }).click();
    await page.locator('.diff').waitFor();
    const theirs = `${sound}# somebody else’s line\n`;
    await writeFile(leg(), theirs);
    await page.getByRole('button', { name: 'Write legs/tern.yaml' }).click();
    await page.getByRole('alert').getByText('changed on disk since it was read').waitFor();
    expect(await readFile(leg(), 'utf8')).toBe(theirs);
    expect(await typed(page).inputValue()).toBe('19');
    await page.getByRole('button', { name: 'Look at the file again' }).click();
    await page.getByRole('button', { name: 'Write legs/tern.yaml' }).click();
    await page.getByText('Saved legs/tern.yaml.').waitFor();
    expect(await readFile(leg(), 'utf8')).toContain('# somebody else’s line');
  });

  test('the ratio stays on the other pages, each joint its own, and the evidence is of it', async () => {
    const { page } = await opened('task=walk-fast&joint=ankle&at=44');
    await typed(page).fill('30');
    await typed(page).press('Enter');
    await page.getByRole('radio', { name: 'knee' }).check({ force: true });
    expect(await typed(page).inputValue()).toBe('22');
    await page.getByRole('link', { name: /^Evidence/ }).click();
    const row = rowOf(at('ankle', 30).ledger, 'ankle-torque');
    expect(await page.locator('[data-requirement="ankle-torque"] td').nth(1).textContent()).toBe(
      valueText(row, row.predicted),
    );
    await page.keyboard.press('Control+z');
    const saved = rowOf(at('ankle', 22).ledger, 'ankle-torque');
    await page
      .locator('[data-requirement="ankle-torque"] td', { hasText: valueText(saved, saved.predicted) })
      .waitFor();
  });

  test('a line of the list leads to its inputs and formula in the evidence, and the way back leads back', async () => {
    const { page } = await opened('task=walk-fast&joint=knee&at=44');
    await page.locator('[data-margin="knee-dead-angle"] a').click();
    const line = page.locator('[data-requirement="knee-dead-angle"]');
    await line.locator('.reason').waitFor();
    expect(await line.locator('.reason').textContent()).toContain(
      rowOf(at('knee', 22).ledger, 'knee-dead-angle').formula,
    );
    await page.goBack();
    await page.locator('.slide').waitFor();
  });

  test('the legs of the study stand side by side, each as the engine judges it', async () => {
    const { page, wrong } = await opened('task=walk-fast&joint=ankle&at=44');
    await page.getByRole('button', { name: /side by side/ }).click();
    const table = page.locator('.legs');
    await table.waitFor();
    expect(await table.locator('thead b').allTextContents()).toEqual([
      'tern-9',
      'tern',
      'tern-50',
      'tern-100',
    ]);
    const nine = rowOf(
      evaluateStudy((await openStudy(served.folder, { leg: 'tern-9' })).input).ledger,
      'ankle-torque',
    );
    await table
      .locator('tbody tr')
      .first()
      .locator('td')
      .nth(1)
      .getByText(nine.state, { exact: true })
      .waitFor();
    expect(await table.locator('tbody tr').first().locator('td b').first().textContent()).toBe(
      valueText(nine, nine.predicted),
    );
    expect(wrong).toEqual([]);
  });

  test('SVG files of slide, rule, plane and day are whole', async () => {
    const { page } = await opened('task=walk-natural&joint=ankle&at=50');
    await typed(page).fill('18');
    await typed(page).press('Enter');
    for (const [where, name] of [
      ['.slide', 'Save the slide as SVG'],
      ['.rule', 'Save as SVG'],
      ['.cols .plane', 'Save the plane as SVG'],
      ['.heat', 'Save the day as SVG'],
    ] as const) {
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        page.locator(where).getByRole('button', { name }).click(),
      ]);
      const text = await readFile(await file.path(), 'utf8');
      expect(text).not.toMatch(/var\(|https?:\/\/(?!www\.w3\.org\/2000\/svg)|NaN|undefined/);
      expect(
        await page.evaluate(
          (svg) =>
            new DOMParser().parseFromString(svg, 'image/svg+xml').querySelector('parsererror')?.textContent,
          text,
        ),
      ).toBeUndefined();
    }
  });

  test.each([
    { width: 1440, theme: 'day' },
    { width: 1440, theme: 'night' },
    { width: 390, theme: 'day' },
    { width: 390, theme: 'night' },
  ] as const)('axe finds nothing, nothing scrolls sideways: $width px by $theme', async (look) => {
    const { page, wrong } = await opened('task=walk-fast&joint=knee&at=50', look);
    await typed(page).fill('17');
    await typed(page).press('Enter');
    await page.getByRole('button', { name: 'Save …' }).click();
    await page.locator('.diff').waitFor();
    await page.getByRole('button', { name: 'Show the day as a table' }).click();
    await page.evaluate(() => document.fonts.ready);
    expect(await axe(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(look.width);
    expect(await page.locator('body').textContent()).not.toMatch(/NaN|undefined|Infinity/);
    await page.getByRole('button', { name: 'Not now' }).click();
    await page.screenshot({
      path: `screenshots/drive-${look.width}-${look.theme}-whole.png`,
      fullPage: true,
    });
    expect(wrong).toEqual([]);
  });

  test('dragging the ratio: frame times, printed; nothing moves out of its place', async () => {
    const { page } = await opened('task=walk-natural&joint=ankle&at=50');
    await page.evaluate(() => {
      const shifts: number[] = [];
      Object.assign(window, { shifts });
      new PerformanceObserver((list) => {
        for (const entry of list.getEntries() as unknown as { value: number; hadRecentInput: boolean }[])
          if (!entry.hadRecentInput) shifts.push(entry.value);
      }).observe({ type: 'layout-shift' });
    });
    const { frames, median, p95 } = await dragFrames(page, '.slide-face');
    console.log(`ratio: ${frames} frames, median ${median.toFixed(1)} ms, p95 ${p95.toFixed(1)} ms`);
    expect(frames).toBeGreaterThan(10);
    expect(await page.evaluate(() => (window as unknown as { shifts: number[] }).shifts)).toEqual([]);
  }, 240_000);

  // the last: it ends the server
  test('a server that is gone refuses nothing silently: it is said, and what was typed stays', async () => {
    const { page } = await opened('task=walk-natural&joint=ankle&at=50');
    await typed(page).fill('25');
    await typed(page).press('Enter');
    await served.server.close();
    await page.locator('.lost').waitFor();
    await page.getByRole('button', { name: 'Save …' }).click();
    await page.getByRole('alert').getByText('The server does not answer, so nothing was written.').waitFor();
    expect(await typed(page).inputValue()).toBe('25');
    await slider(page).focus();
    await page.keyboard.press('PageDown');
    await says(page, rowOf(at('ankle', 24).ledger, 'ankle-torque'));
    expect(await page.evaluate(() => Object.values(sessionStorage).join())).toContain('"to":25');
    expect(await readFile(leg(), 'utf8')).toBe(sound);
  });
});
