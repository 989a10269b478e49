// What the walk page walks beside the walk that is shown: power cuts, prices, every leg.
import { readFile, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { openPowerCut, openWalkPrice, type StudyInput, walkNeeds, withPrices } from '@striderule/engine';
import { openStudy } from '@striderule/store';
import type { Browser, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { fixed } from '../show/number.ts';
import { axe, CHROME, type Look, type WatchedPage, WITHOUT } from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';
import { openWalk, picture, SLOW, verdict, walked } from './walk-page.ts';

describe.skipIf(CHROME === undefined)(`long work of the walk page${WITHOUT}`, { timeout: 300_000 }, () => {
  let served: ServedCopy;
  let browser: Browser;
  let input: StudyInput;
  let high: StudyInput;

  servedPages(async (made) => {
    ({ served, browser, input } = made);
    high = (await openStudy(served.folder, { leg: 'tern-100' })).input;
  });

  const section = (page: Page, name: RegExp) =>
    page.locator('section', { has: page.getByRole('heading', { name }) });
  const opened = (hash: string, look?: Look): Promise<WatchedPage> => openWalk(browser, served, hash, look);

  test('power lost at every 5 %, one cut walked again, another leg beside it; a link restores it', async () => {
    const { page, wrong } = await opened('speed=1.1');
    await picture(page);
    const cuts = openPowerCut(input, { speed: 1.1 }, 2.5e-4);
    if ('openBecause' in cuts) throw new Error(cuts.openBecause);
    await page.getByRole('button', { name: 'Lose power everywhere' }).click();
    const lost = section(page, /^Power lost at every/);
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
        `^No: Tern, all power lost at 45 % of the stride: fell after .*, ${fixed(cut.fell!.after, 2)} s after it began`,
      ),
    );
    await page.getByText('all power lost from here').waitFor(SLOW);
    await page.getByRole('radio', { name: 'Tern-100', exact: true }).check({ force: true });
    await page.locator('.walk-face text', { hasText: 'Tern-100' }).waitFor(SLOW);
    await page.waitForFunction(() => /cut=45&beside=Tern-100/.test(location.hash));
    await page.reload();
    await verdict(page, /^No: Tern, all power lost at 45 % of the stride: fell after/);
    await page.locator('.walk-face text', { hasText: 'Tern-100' }).waitFor(SLOW);
    expect(await axe(page)).toEqual([]);
    expect(wrong).toEqual([]);
  });

  test('prices are those of the engine, and stay while another page is open', async () => {
    const { page, wrong } = await opened('speed=1.1');
    await picture(page);
    await page.getByRole('button', { name: 'Price everything' }).click();
    const first = page.getByRole('img', { name: /^The hip gives/ });
    await first.waitFor({ timeout: 120_000 });
    await page.getByRole('link', { name: /^Evidence/ }).click();
    await page.getByRole('link', { name: /^Walk/ }).click();
    await page.getByText('Price everything again').waitFor({ timeout: 300_000 });
    const run = openWalkPrice(input, { speed: 1.1, ground: 'treadmill' }, { step: 2.5e-4, strides: 8 });
    if ('openBecause' in run) throw new Error(run.openBecause);
    const price = withPrices(
      run.planned,
      run.levers.map((_, k) => run.at(k)),
    );
    const [dearest] = price.prices;
    expect(await first.getAttribute('aria-label')).toContain(
      `${dearest!.lever.title} moves that most, by ${fixed(dearest!.effect, 2)} J`,
    );
    expect(await page.locator('.bench-tests tbody tr').count()).toBe(price.tests.length);
    expect(await axe(page)).toEqual([]);
    expect(wrong).toEqual([]);
  });

  test('all legs walk one after another; what lacks is said field by field; it can be cancelled', async () => {
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
    expect(await rows.nth(3).locator('td').nth(3).textContent()).toBe(fixed(of100.hipPositiveWork, 1));
    const figure = page.getByRole('img', { name: /^Work of the hip against the ratio/ });
    expect(await figure.getAttribute('aria-label')).toContain('Tern-9, 9 : 1, hip gives');
    expect(await figure.locator('.reach').count()).toBe(8); // four brackets of each
    // the leg without drives stands apart of the ratio's axis, and its landing is told with figures
    expect(await figure.getAttribute('aria-label')).toContain('Passive, no drive at the ankle, hip gives');
    expect(
      await page.getByText(/^Passive, 1\.10 m\/s, thigh prescribed: lands on published data: /).count(),
    ).toBe(1);
    await passive.check({ force: true });
    await page.getByText(/: Passive comes through 19 whole strides at 1\.10 m\/s/).waitFor(SLOW);
    expect(wrong).toEqual([]);
    const file = path.join(served.folder, 'legs/bare.yaml');
    const whole = await readFile(path.join(served.folder, 'legs/passive.yaml'), 'utf8');
    await writeFile(file, whole.replace('name: Passive', 'name: Bare').replace(/ {2}heelStiffness:.*\n/, ''));
    const bare = (await openStudy(served.folder, { leg: 'bare' })).input;
    const other = await opened('leg=bare&speed=1.1');
    await other.page.locator('.lacks li').first().waitFor(SLOW);
    expect(await other.page.locator('.lacks li').allTextContents()).toEqual(
      walkNeeds(bare).map((what) => what.replaceAll('`', '')),
    );
    await rm(file);
  });

  // last: the server ends
  test('the fault map goes on while the page is read again; cancelled it keeps what was found; a lost server is said', async () => {
    const { page, wrong } = await opened('speed=1.1');
    await picture(page);
    const map = section(page, /^Fault map$/);
    const start = map.getByRole('button', { name: /^Set off every fault/ });
    await start.click();
    const going = map.getByText(/Breaking it: [1-9]\d* of 150, /);
    await going.waitFor(SLOW);
    const reached = async () => Number(/: (\d+) of/.exec((await going.textContent()) ?? '')?.[1]);
    const before = await reached();
    await page.reload();
    await going.waitFor(SLOW);
    expect(await reached()).toBeGreaterThanOrEqual(before);
    // what was found before it was read again is there
    const told = async () => {
      await map.getByRole('grid').focus();
      return map.locator('.grid-told').textContent();
    };
    expect(await told()).toMatch(/at 0 % of the stride, 1\.10 m\/s: (survived|stumbled|fell)/);
    await map.getByRole('button', { name: 'Cancel' }).click();
    await map.getByText('Cancelled; what was found so far stands below.').waitFor(SLOW);
    expect(await told()).toMatch(/: (survived|stumbled|fell)/);
    expect(wrong).toEqual([]);
    await start.click();
    await going.waitFor(SLOW);
    await served.server.close();
    await map
      .getByText(/^The server does not answer, or was started anew\. What was found so far stands below\./)
      .waitFor(SLOW);
    expect(await told()).toMatch(/: (survived|stumbled|fell)/);
    await start.waitFor(SLOW);
  });
});
