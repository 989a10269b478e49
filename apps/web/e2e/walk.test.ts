// The walk page as somebody uses it: by mouse, thumb and keys. What it must show is asked of the engine here, on the same study.
import { LOG, LOG_WIDTH, mappedFaults, type StudyInput, strideRanges } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import type { Browser } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { fixed, significant } from '../show/number.ts';
import { CHROME, type WatchedPage, WITHOUT } from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';
import {
  cell,
  openWalk,
  picture,
  places,
  SLOW,
  shifted,
  ticks,
  verdict,
  walked,
  walkedScenario,
} from './walk-page.ts';

describe.skipIf(CHROME === undefined)(`walk page${WITHOUT}`, { timeout: 180_000 }, () => {
  let served: ServedCopy;
  let browser: Browser;
  let input: StudyInput;
  let high: StudyInput;

  servedPages(async (made) => {
    ({ served, browser, input } = made);
    high = (await openStudy(served.folder, { leg: 'tern-100' })).input;
  });

  const opened = (hash: string): Promise<WatchedPage> => openWalk(browser, served, hash);

  test('walked, scrubbed to push-off, ankle power read; tern-100 says what it changed; a reload is where one was', async () => {
    const { page, wrong } = await opened('speed=1.1&at=20');
    await picture(page);
    const own = walked(input, { speed: 1.1 });
    await verdict(page, /: Tern comes through 19 whole strides at 1.10 m\/s/);
    // the leg, its controls and two scales are seen at once on 900 px, and nothing moved when the walk came
    expect((await places(page)).scales).toBeLessThanOrEqual(900);
    expect(await shifted(page)).toBeLessThan(0.02);
    // the same figures as here, not the same bytes: a browser may round its sines otherwise
    const { audit, steady } = own.report;
    expect(await page.locator('.audit').textContent()).toContain(`${significant(100 * audit.share, 2)} %`);
    expect(await page.locator('.strides-table .mean td').nth(3).textContent()).toBe(
      fixed(steady!.hipPositiveWork, 1),
    );
    // the tick at which the ankle gives most, by the log
    const { log } = own.record;
    const range = strideRanges(log).at(-1)!;
    const power = (row: number) =>
      log.table[row * LOG_WIDTH + LOG.ankleTorque]! * log.table[row * LOG_WIDTH + LOG.ankleRate]!;
    let best = range.from;
    for (let row = range.from; row < range.to; row++) if (power(row) > power(best)) best = row;
    const wanted = best - range.from;
    const count = range.to - range.from;
    // dragged there on the picture, then tick by tick
    const box = (await page.locator('.walk-face').boundingBox())!;
    const knob = async () => (await ticks(page).boundingBox())!;
    await ticks(page).focus();
    await page.keyboard.press('Home');
    const from = await knob();
    await page.keyboard.press('End');
    const to = await knob();
    const x = from.x + from.width / 2 + ((to.x - from.x) * wanted) / count;
    await page.mouse.move(from.x + 100, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(x, box.y + box.height / 2, { steps: 6 });
    await page.mouse.up();
    const tick = async () => Number(await ticks(page).getAttribute('aria-valuenow'));
    const near = await tick();
    expect(Math.abs(near - wanted)).toBeLessThan(6);
    const by = page.getByRole('button', { name: near < wanted ? 'On 1 ms' : 'Back 1 ms' });
    for (let k = Math.abs(near - wanted); k > 0; k--) await by.click();
    expect(await tick()).toBe(wanted);
    expect(await cell(page, 'power ankle')).toBe(fixed(power(best), 0));
    expect(await cell(page, 'where')).toContain(`tick ${wanted} of ${count}`);
    // the rule reads the same instant as the table
    await page.locator(`.hairline[aria-valuetext*="ankle ${fixed(power(best), 0)} W"]`).waitFor();
    // the hairline of the rule came along, to its own half per cent
    const hairline = page.getByRole('slider', { name: 'Hairline, per cent of the stride' });
    await page.waitForFunction(
      (percent) =>
        Math.abs(Number(document.querySelector('.hairline')?.getAttribute('aria-valuenow')) - percent) < 0.3,
      (100 * wanted) / count,
    );
    const at = await hairline.getAttribute('aria-valuenow');
    await page.getByRole('radio', { name: '7', exact: true }).check({ force: true });
    await page.getByText('Push-off of stride 7:').waitFor();
    await page.getByRole('radio', { name: /^Tern-100,/ }).check({ force: true });
    await verdict(page, /: Tern-100 comes through/);
    const [a, b] = [own.report.steady!, walked(high, { speed: 1.1 }).report.steady!];
    await page
      .getByText(
        `Tern, 22 : 1 → Tern-100, 100 : 1: the hip gives ${fixed(a.hipPositiveWork, 1)} → ${fixed(b.hipPositiveWork, 1)} J a stride`,
      )
      .waitFor();
    expect(b.hipPositiveWork).toBeGreaterThan(1.3 * a.hipPositiveWork);
    await page.getByRole('radio', { name: '5', exact: true }).check({ force: true });
    await page.waitForFunction(() => /leg=tern-100&.*stride=5/.test(location.hash));
    await page.reload();
    await verdict(page, /: Tern-100 comes through/);
    expect(await page.getByRole('radio', { name: '5', exact: true }).isChecked()).toBe(true);
    // a link holds the hairline to half a per cent
    expect(await hairline.getAttribute('aria-valuenow')).toBe(String(Math.round(2 * Number(at)) / 2));
    expect(wrong).toEqual([]);
  });

  test('a scenario that falls; the fault map fills in, and a fault is walked again by the keys, as its link says', async () => {
    const { page, wrong } = await opened('speed=1.1&scenario=down-5-untold');
    await verdict(page, /^No: Tern, down a slope of 5° that the controller knows nothing of: fell after \d/);
    expect(await page.getByRole('radio', { name: /fell$/ }).isChecked()).toBe(true);
    expect(await page.getByRole('radio', { name: 'the study’s own' }).isChecked()).toBe(true);
    const slope = walkedScenario(input, 'down-5-untold');
    await verdict(page, new RegExp(`fell after ${fixed(slope.fell!.time, 2)} s: ${slope.fell!.why}`));
    const scenario = page.getByRole('combobox', { name: 'Scenario' });
    // a stair is told as a whole: in seconds, by the load
    await scenario.selectOption('stair-up');
    await verdict(page, /came to its end/);
    expect(await page.locator('.parts tbody th').allTextContents()).toContain(' 2 foot loaded');
    await page.locator('.hairline[aria-valuetext*=" seconds, foot "]').waitFor();
    await scenario.selectOption('none: on and on, on the level');

    const section = (name: RegExp) => page.locator('section', { has: page.getByRole('heading', { name }) });
    // the map fills in from its first place on: the first fault that falls there is walked
    await page.getByRole('button', { name: 'Set off every fault' }).click();
    const faults = section(/^Fault map/);
    await faults.getByText(/Breaking it: [1-9]\d* of 150/).waitFor(SLOW);
    await faults.getByRole('button', { name: 'Cancel' }).click();
    await faults.getByText('Cancelled; what was found so far stands below.').waitFor();
    await faults.getByRole('grid').focus();
    const row = mappedFaults(input.leg).findIndex(({ id }) => id === 'knee-stuck');
    for (let k = 0; k < row; k++) await page.keyboard.press('ArrowDown');
    const told = (await faults.locator('.grid-told').textContent()) ?? '';
    expect(told).toContain('knee angle stuck at 0 % of the stride, 1.10 m/s');
    const [, how, why, after] =
      /: (fell|stumbled), (.+) (\d+\.\d\d) s after; noticed by knee-encoder[a-z, -]+; named by sensor-lost/.exec(
        told,
      ) ?? [];
    await page.keyboard.press('Enter');
    await verdict(
      page,
      new RegExp(
        `Tern, knee angle stuck at 0 % of the stride: ${how === 'fell' ? `fell after .*, ${after} s after it began: ${why}` : ''}`,
      ),
    );
    expect(how).toBeDefined();
    await page.waitForFunction(() => /fault=knee-stuck&from=0/.test(location.hash));
    expect(wrong).toEqual([]);
  });
});
