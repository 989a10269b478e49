// The walk page as somebody uses it: by mouse, thumb and keys. What it must show is asked of the engine here, on the same study.
import { readFile, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import {
  LOG,
  LOG_WIDTH,
  mappedFaults,
  openPowerCut,
  openScenario,
  openWalkPrice,
  openWalkReport,
  type StudyInput,
  strideRanges,
  type WalkChoice,
  type WalkRecord,
  type WalkReport,
  walkNeeds,
} from '@striderule/engine';
import { openStudy } from '@striderule/store';
import type { Browser, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { fixed, significant } from '../show/number.ts';
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

/** ms: a machine that does other work too walks slowly. */
const SLOW = { timeout: 60_000 };

function walked(input: StudyInput, choice: WalkChoice): { report: WalkReport; record: WalkRecord } {
  const walk = openWalkReport(input, choice, { step: 2.5e-4, strides: 20 });
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < 20 && walk.stride(); k++);
  return { report: walk.report(), record: walk.record() };
}

function walkedScenario(input: StudyInput, name: string, step = 2.5e-4): WalkReport {
  const scenario = input.scenarios!.find(({ id }) => id === name)!;
  const walk = openScenario(input, scenario, step);
  if ('openBecause' in walk) throw new Error(walk.openBecause);
  for (let k = 0; k < scenario.strides && walk.stride(); k++);
  return walk.report();
}

describe.skipIf(CHROME === undefined)(`walk page${WITHOUT}`, { timeout: 180_000 }, () => {
  let served: ServedCopy;
  let browser: Browser;
  let input: StudyInput;
  let high: StudyInput;

  servedPages(async (made) => {
    ({ served, browser, input } = made);
    high = (await openStudy(served.folder, { leg: 'tern-100' })).input;
  });

  const opened = async (hash: string, look: Look = WIDE): Promise<WatchedPage> => {
    const watched = await openAt(browser, served, `page=walk&${hash}`, look);
    await watched.page.locator('.walk').waitFor(SLOW);
    return watched;
  };
  const picture = (page: Page) => page.locator('.walk-picture').waitFor(SLOW);
  const verdict = (page: Page, text: RegExp) =>
    page.locator('.walk-told [role=status]', { hasText: text }).waitFor(SLOW);
  const ticks = (page: Page) => page.getByRole('slider', { name: 'Tick of the controller' });
  const cell = (page: Page, key: string) => page.locator(`.walk [data-cell="${key}"]`).textContent();
  const bracketed = (page: Page) =>
    page.waitForFunction(
      () =>
        [...document.querySelectorAll('.bracket td')].filter((td) => /\d/.test(td.textContent ?? ''))
          .length === 10,
      undefined,
      SLOW,
    );

  test('walked, scrubbed to push-off, ankle power read; tern-100 says what it changed; a reload is where one was', async () => {
    const { page, wrong } = await opened('speed=1.1&at=20');
    await picture(page);
    const own = walked(input, { speed: 1.1 });
    await verdict(page, /^Tern walked 19 whole strides at 1.10 m\/s; 4 of 4 figures lie/);
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
    const by = page.getByRole('button', { name: near < wanted ? 'One tick on' : 'One tick back' });
    for (let k = Math.abs(near - wanted); k > 0; k--) await by.click();
    expect(await tick()).toBe(wanted);
    expect(await cell(page, 'power ankle')).toBe(fixed(power(best), 0));
    expect(await cell(page, 'where')).toContain(`tick ${wanted} of ${count}`);
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
    await verdict(page, /^Tern-100 walked/);
    const [a, b] = [own.report.steady!, walked(high, { speed: 1.1 }).report.steady!];
    await page
      .getByText(
        `Tern → Tern-100: the hip gives ${fixed(a.hipPositiveWork, 1)} → ${fixed(b.hipPositiveWork, 1)} J a stride`,
      )
      .waitFor();
    expect(b.hipPositiveWork).toBeGreaterThan(1.3 * a.hipPositiveWork);
    await page.getByRole('radio', { name: '5', exact: true }).check({ force: true });
    await page.waitForFunction(() => /leg=tern-100&.*stride=5/.test(location.hash));
    await page.reload();
    await verdict(page, /^Tern-100 walked/);
    expect(await page.getByRole('radio', { name: '5', exact: true }).isChecked()).toBe(true);
    expect(await hairline.getAttribute('aria-valuenow')).toBe(at);
    expect(wrong).toEqual([]);
  });

  test('a scenario that falls; the fault map fills in, and a fault is walked again by the keys, as its link says', async () => {
    const { page, wrong } = await opened('speed=1.1&scenario=down-5-untold');
    await verdict(page, /^Tern, down a slope of 5° that the controller knows nothing of: fell after \d/);
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
        `^Tern, knee angle stuck at 0 % of the stride: ${how === 'fell' ? `fell after .*, ${after} s after it began: ${why}` : ''}`,
      ),
    );
    expect(how).toBeDefined();
    await page.waitForFunction(() => /fault=knee-stuck&from=0/.test(location.hash));
    expect(wrong).toEqual([]);
  });

  /** Moves the hairline to a share of the axis by the keys. */
  const hairlineTo = async (page: Page, percent: number) => {
    await page.locator('.hairline').focus();
    await page.keyboard.press('Home');
    for (let k = 10; k <= percent; k += 10) await page.keyboard.press('Shift+ArrowRight');
    for (let k = 0; k < percent % 10; k++) await page.keyboard.press('ArrowRight');
  };

  slowTest(
    'a stair is read in seconds, by its states or by the load; a leg that hangs has neither stance nor swing',
    async () => {
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
      await verdict(page, /^Tern, up one stair .* by a clock: came to its end/);
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
    },
  );

  slowTest('the chair: its states are read off the rule and off the table of its curves', async () => {
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
      expect(await cell(page, 'where')).toMatch(new RegExp(`, ${state}$`));
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

  slowTest(
    'a walk is kept: back at once with the same bytes, a ghost behind others, stale when its leg is another',
    async () => {
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
      // back: nothing is walked again, not after another page either
      const workers: string[] = [];
      page.on('worker', (worker) => workers.push(worker.url()));
      const walkers = () => workers.filter((url) => url.includes('walk-worker'));
      await speed('1.1 m/s');
      await verdict(page, /at 1\.10 m\/s.* As walked before/);
      expect(await print()).toBe(first);
      expect(await scales.count()).toBe(0);
      await page.getByRole('link', { name: /^Demand/ }).click();
      await page.getByRole('link', { name: /^Walk/ }).click();
      await verdict(page, /at 1\.10 m\/s.* As walked before/);
      expect(await print()).toBe(first);
      expect(walkers()).toEqual([]);
      // another ratio: the kept walk is another leg's; undone, it is the same again, and at once
      await page.getByRole('link', { name: /^Drive/ }).click();
      await page.getByRole('slider', { name: /ratio/i }).first().focus();
      await page.keyboard.press('PageUp');
      await page.getByRole('link', { name: /^Walk/ }).click();
      await page.getByText(/^Kept: .*Stale: Tern, or its study, has changed/).waitFor(SLOW);
      await page.keyboard.press('Control+z');
      await verdict(page, /at 1\.10 m\/s.* As walked before/);
      expect(await print()).toBe(first);
      await page.getByText('It is the walk that is shown.').waitFor();
      await page.getByRole('button', { name: 'Remove the kept walk' }).click();
      await page.getByRole('button', { name: 'Keep this walk to compare with' }).waitFor();
      expect(wrong).toEqual([]);
    },
  );

  slowTest(
    'a kept walk outlives a reload; a leg that was changed meanwhile is said, and walked as it is now where that is asked',
    async () => {
      const { page, wrong } = await opened('leg=tern-100&speed=1.1&step=0.5');
      await verdict(page, /^Tern-100 walked/);
      const hip = await page.locator('.strides-table .mean td').nth(3).textContent();
      await page.getByRole('button', { name: 'Keep this walk to compare with' }).click();
      await page.getByText('It is the walk that is shown.').waitFor();
      await page.getByRole('radio', { name: /^Tern,/ }).check({ force: true });
      await verdict(page, /^Tern walked/);
      const kept = page.locator('.strides-table .kept td').nth(3);
      expect(await kept.textContent()).toBe(hip);
      await page.waitForFunction(() => !location.hash.includes('leg='));
      await page.reload();
      await verdict(page, /^Tern walked/);
      await page.getByText(/^Kept: Tern-100, 1\.10 m\/s/).waitFor(SLOW);
      expect(await kept.textContent()).toBe(hip);
      expect(await page.locator('.rule [data-curve$=" kept"]').count()).toBeGreaterThan(8);

      const file = path.join(served.folder, 'legs/tern-100.yaml');
      const sound = await readFile(file, 'utf8');
      await writeFile(file, sound.replaceAll('ratio: 100', 'ratio: 60'));
      await page.reload();
      await page.getByText(/Kept before this page was loaded: Tern-100, .* has changed since/).waitFor(SLOW);
      expect(await kept.count()).toBe(0);
      await page.getByRole('button', { name: 'Walk it with the leg as it is now' }).click();
      await page.getByText(/^Kept: Tern-100, 1\.10 m\/s/).waitFor(SLOW);
      // less rotor to swing along than at 100:1
      expect(Number(await kept.textContent())).toBeLessThan(Number(hip));
      await writeFile(file, sound);
      await page.getByRole('button', { name: 'Remove the kept walk' }).click();
      await page.reload();
      await verdict(page, /^Tern walked/);
      await page.getByRole('button', { name: 'Keep this walk to compare with' }).waitFor();
      expect(wrong).toEqual([]);
    },
  );

  slowTest(
    'power lost at every 5 %, one cut walked again, another leg beside it; a link restores it',
    async () => {
      const { page, wrong } = await opened('speed=1.1');
      await picture(page);
      const cuts = openPowerCut(input, { speed: 1.1 }, 2.5e-4);
      if ('openBecause' in cuts) throw new Error(cuts.openBecause);
      await page.getByRole('button', { name: 'Lose power everywhere' }).click();
      const section = (name: RegExp) => page.locator('section', { has: page.getByRole('heading', { name }) });
      const lost = section(/^Power lost at every/);
      await lost.getByText('Lose power everywhere again').waitFor(SLOW);
      const knob = lost.getByRole('grid');
      await knob.focus();
      for (let k = 0; k < 9; k++) await page.keyboard.press('ArrowRight');
      const cut = cuts.at(0.45);
      expect(await lost.locator('.grid-told').textContent()).toContain(
        `Power lost at 45 % of the stride, in stance, the knee at ${fixed((180 * cut.knee) / Math.PI, 0)}°`,
      );
      await page.keyboard.press('Enter');
      await verdict(
        page,
        new RegExp(
          `^Tern, all power lost at 45 % of the stride: fell after .*, ${fixed(cut.fell!.after, 2)} s after it began`,
        ),
      );
      await page.getByText('all power lost from here').waitFor(SLOW);
      await page.getByRole('radio', { name: 'Tern-100', exact: true }).check({ force: true });
      await page.locator('.walk-face text', { hasText: 'Tern-100' }).waitFor(SLOW);
      await page.waitForFunction(() => /cut=45&beside=Tern-100/.test(location.hash));
      await page.reload();
      await verdict(page, /^Tern, all power lost at 45 % of the stride: fell after/);
      await page.locator('.walk-face text', { hasText: 'Tern-100' }).waitFor(SLOW);
      expect(await axe(page)).toEqual([]);
      expect(wrong).toEqual([]);
    },
  );

  slowTest('prices are those of the engine, and stay while another page is open', async () => {
    const { page, wrong } = await opened('speed=1.1');
    await picture(page);
    await page.getByRole('button', { name: 'Price everything' }).click();
    const first = page.getByRole('img', { name: /^The hip gives/ });
    await first.waitFor({ timeout: 120_000 });
    await page.getByRole('link', { name: /^Evidence/ }).click();
    await page.getByRole('link', { name: /^Walk/ }).click();
    await page.getByText('Price everything again').waitFor({ timeout: 180_000 });
    const run = openWalkPrice(input, { speed: 1.1, ground: 'treadmill' }, { step: 2.5e-4, strides: 8 });
    if ('openBecause' in run) throw new Error(run.openBecause);
    while (run.next());
    const [dearest] = run.result().prices;
    expect(await first.getAttribute('aria-label')).toContain(
      `${dearest!.lever.title} moves that most, by ${fixed(dearest!.effect, 2)} J`,
    );
    expect(await page.locator('.bench-tests tbody tr').count()).toBe(run.result().tests.length);
    expect(await axe(page)).toEqual([]);
    expect(wrong).toEqual([]);
  });

  slowTest('the bracket of the hip and the strides are those of the engine', async () => {
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

  slowTest('played it walks on by itself; where motion is not wanted, by tenths', async () => {
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
    await page.getByRole('button', { name: 'Play this stride' }).click();
    await page.waitForTimeout(200);
    expect(await now()).toBe(0);
    await page.waitForFunction(
      () => Number(document.querySelector('.walk-knob')?.getAttribute('aria-valuenow')) > 100,
    );
    await page.getByRole('button', { name: 'Pause' }).click();
    expect((await now()) % 122).toBeLessThan(3); // tenths of 1217 ticks
    expect(wrong).toEqual([]);
  });

  slowTest(
    'all legs walk one after another; what lacks is said field by field; it can be cancelled',
    async () => {
      const { page, wrong } = await opened('speed=1.1');
      await picture(page);
      const passive = page
        .getByRole('group', { name: 'Leg', exact: true })
        .getByRole('radio', { name: /^Passive/ });
      await passive.waitFor();
      const start = page.getByRole('button', { name: 'Walk all 5 legs of this study' });
      await start.click();
      await page.getByText(/^Walk [2-9] of 10: /).waitFor(SLOW);
      await page.locator('main').getByRole('button', { name: 'Cancel' }).last().click();
      await start.click();
      const rows = page.locator('section[aria-label="Legs side by side"] tbody tr');
      await rows.nth(4).waitFor({ timeout: 120_000 });
      await start.waitFor(SLOW);
      expect(await rows.locator('th').allTextContents()).toEqual([
        'Tern-9',
        'Tern',
        'Tern-50',
        'Tern-100',
        'Passive',
      ]);
      const [of100] = [walked(high, { speed: 1.1, thigh: 'led' }).report.steady!];
      expect(await rows.nth(3).locator('td').nth(2).textContent()).toBe(fixed(of100.hipPositiveWork, 1));
      const figure = page.getByRole('img', { name: /^Work of the hip against the ratio/ });
      expect(await figure.getAttribute('aria-label')).toContain('Tern-9 at 9 to one, hip gives');
      expect(await figure.locator('.reach').count()).toBe(8); // four brackets of each
      // the leg without drives stands apart of the ratio's axis, and its landing is told with figures
      expect(await figure.getAttribute('aria-label')).toContain('Passive, without drives, hip gives');
      expect(
        await page.getByText(/^Passive, 1\.10 m\/s, thigh prescribed: lands on published data: /).count(),
      ).toBe(1);
      await passive.check({ force: true });
      await page.getByText(/^Passive walked 19 whole strides at 1\.10 m\/s/).waitFor(SLOW);
      expect(wrong).toEqual([]);
      const file = path.join(served.folder, 'legs/bare.yaml');
      const whole = await readFile(path.join(served.folder, 'legs/passive.yaml'), 'utf8');
      await writeFile(
        file,
        whole.replace('name: Passive', 'name: Bare').replace(/ {2}heelStiffness:.*\n/, ''),
      );
      const bare = (await openStudy(served.folder, { leg: 'bare' })).input;
      const other = await opened('leg=bare&speed=1.1');
      await other.page.locator('.lacks li').first().waitFor(SLOW);
      expect(await other.page.locator('.lacks li').allTextContents()).toEqual(
        walkNeeds(bare).map((what) => what.replaceAll('`', '')),
      );
      await rm(file);
    },
  );

  slowTest('SVG and CSV files are whole', async () => {
    const { page } = await opened('speed=1.1&at=52');
    await picture(page);
    const saved = async (where: string, name: string) => {
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        page.locator(where).getByRole('button', { name, exact: true }).click(),
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

  slowTest.each(LOOKS)('axe finds nothing, nothing scrolls sideways: $width px by $theme', async (look) => {
    const { page, wrong } = await opened('speed=1.1&at=52', look);
    await picture(page);
    await bracketed(page);
    await page.getByRole('button', { name: 'Show these curves as a table' }).click();
    await page.evaluate(() => document.fonts.ready);
    expect(await axe(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(look.width);
    expect(await page.locator('body').textContent()).not.toMatch(/NaN|undefined|Infinity/);
    await page.getByRole('button', { name: 'Hide the table of these curves' }).click();
    await page.evaluate(() => scrollTo(0, 0));
    await page.screenshot({ path: `screenshots/walk-${look.width}-${look.theme}.png` });
    await page.screenshot({ path: `screenshots/walk-${look.width}-${look.theme}-whole.png`, fullPage: true });
    expect(wrong).toEqual([]);
  });

  // last: it breaks the copy of the study
  slowTest(
    'a walk that falls: when, why, and its last stride; one that cannot be told: the reason',
    async () => {
      const file = path.join(served.folder, 'legs/tern.yaml');
      const text = await readFile(file, 'utf8');
      await writeFile(file, text.replaceAll(/^(\s+)currentLimit: .*$/gm, '$1currentLimit: 2 A'));
      const weak = (await openStudy(served.folder)).input;
      const { fell, strides } = walked(weak, { speed: 1.1 }).report;
      const { page, wrong } = await opened('speed=1.1&at=10');
      await verdict(page, new RegExp(`^Tern fell after ${fixed(fell!.time, 2)} s at 1.10 m/s: the hip sank`));
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
    },
  );
});
