// What is told as a whole on the walk page, and what stops: read off the rule, the table of its parts and the table of its curves.
import type { StudyInput } from '@striderule/engine';
import type { Browser } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { fixed } from '../show/number.ts';
import { axe, CHROME, type Look, type WatchedPage, WITHOUT } from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';
import { cell, hairlineTo, openWalk, verdict, walkedScenario } from './walk-page.ts';

describe.skipIf(CHROME === undefined)(`parts of a walk${WITHOUT}`, { timeout: 300_000 }, () => {
  let served: ServedCopy;
  let browser: Browser;
  let input: StudyInput;

  servedPages((made) => {
    ({ served, browser, input } = made);
  });

  const opened = (hash: string, look?: Look): Promise<WatchedPage> => openWalk(browser, served, hash, look);

  test('a stair is read in seconds, by its states or by the load; a leg that hangs has neither stance nor swing', async () => {
    const { page, wrong } = await opened('scenario=stair-down-study&step=0.5');
    await verdict(page, /came to its end after \d\.\d\d s/);
    const report = walkedScenario(input, 'stair-down-study', 5e-4);
    const parts = page.locator('.parts tbody tr');
    const passed = report.passed!.map(({ state, time }, k) => [`${k + 1} ${state}`, fixed(time, 2)]);
    expect(await parts.locator('th').allTextContents()).toEqual(passed.map(([name]) => ` ${name}`));
    expect(await parts.locator('td:nth-of-type(1)').allTextContents()).toEqual(
      passed.map(([, from]) => from),
    );
    const duration = report.strides[0]!.duration;
    for (const percent of [10, 97]) {
      await hairlineTo(page, percent);
      const time = (percent / 100) * duration;
      const state = report.passed!.findLast((each) => each.time < time)!.state;
      await page.locator(`.hairline[aria-valuetext^="${fixed(time, 2)} seconds, ${state}. "]`).waitFor();
    }
    const scenario = page.getByRole('combobox', { name: 'Scenario' });
    await scenario.selectOption({ label: input.scenarios!.find(({ id }) => id === 'stair-up')!.title });
    await verdict(page, /^Yes: Tern, up one stair .* by a clock: came to its end/);
    await page.locator('.parts th', { hasText: '2 foot loaded' }).waitFor();
    const rule = page.locator('.rule svg[role=img]');
    expect(await rule.getAttribute('aria-label')).toMatch(/foot free .* s, foot loaded .* s, foot free /);
    await scenario.selectOption({ label: input.scenarios!.find(({ id }) => id === 'run-hung')!.title });
    await verdict(page, /moved through 5 whole strides/);
    expect(await page.locator('.parts').count()).toBe(0);
    expect(await rule.getAttribute('aria-label')).toContain('neither stance nor swing');
    expect(await rule.locator('.ground').count()).toBe(0);
    await hairlineTo(page, 30);
    await page.locator('.hairline[aria-valuetext^="30 per cent. Knee angle"]').waitFor();
    expect(wrong).toEqual([]);
  });

  test('the chair: its states are read off the rule and off the table of its curves', async () => {
    const { page, wrong } = await opened('scenario=chair&step=0.5');
    await verdict(page, /came to its end after \d+\.\d\d s/);
    const { passed, strides } = walkedScenario(input, 'chair', 5e-4);
    const { duration } = strides[0]!;
    const ends = passed!.map((_, k) => passed![k + 1]?.time ?? duration);
    expect(await page.locator('.parts tbody th').allTextContents()).toEqual(
      passed!.map(({ state }, k) => ` ${k + 1} ${state}`),
    );
    // in the middle of each state that is long enough for the keys: what the hairline says, and the table of the tick
    for (const [k, { state, time }] of passed!.entries()) {
      const percent = Math.round((50 * (time + ends[k]!)) / duration);
      if (ends[k]! - time < 0.03 * duration) continue;
      await hairlineTo(page, percent);
      await page
        .locator('.rule .moving text', {
          hasText: new RegExp(`^${fixed((percent / 100) * duration, 2)} s${state}$`),
        })
        .waitFor();
      expect(await cell(page, 'where')).toMatch(new RegExp(`, ${state}, tick `));
    }
    await page.getByRole('button', { name: 'Show these curves as a table' }).click();
    const rows = page.locator('section[aria-label="Curves as a table"] tbody tr');
    const times = await rows.locator('th').allTextContents();
    const states = await rows.locator('td:nth-of-type(1)').allTextContents();
    for (const [k, text] of times.entries()) {
      const time = Number(text);
      const near = passed!.some((each) => Math.abs(each.time - time) < 0.02);
      if (!near && time > 0) expect(states[k]).toBe(passed!.findLast((each) => each.time < time)!.state);
    }
    expect(await axe(page)).toEqual([]);
    expect(wrong).toEqual([]);
  });

  test('a stride in which the walk stops is told by foot and standing, the others by their phases', async () => {
    const { page, wrong } = await opened('scenario=stop-and-start&step=0.5');
    await verdict(page, /still stands after/);
    const { stop } = input.scenarios!.find(({ id }) => id === 'stop-and-start')!;
    expect(await page.locator('.parts').count()).toBe(0);
    await page.getByRole('radio', { name: String(stop!.stride), exact: true }).check({ force: true });
    const standing = page.locator('.parts tbody tr', { hasText: 'foot loaded, standing' });
    await standing.waitFor();
    const lasts = Number(await standing.locator('td').nth(2).textContent());
    expect(Math.abs(lasts - stop!.stands)).toBeLessThan(0.05);
    await hairlineTo(page, 30);
    await page.locator('.hairline[aria-valuetext^="30 per cent, foot loaded, standing. "]').waitFor();
    expect(await cell(page, 'where')).toMatch(/, foot loaded, standing, tick /);
    expect(await axe(page)).toEqual([]);
    expect(wrong).toEqual([]);
  });
});
