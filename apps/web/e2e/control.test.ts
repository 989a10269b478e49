// The control page as somebody uses it: by mouse, thumb and keys. What it must show is asked of the engine here, on the same study.
import { readFile } from 'node:fs/promises';
import {
  askedImpedance,
  evaluateStudy,
  type Gains,
  type HandSwing,
  handSwing,
  loadsOf,
  type StudyInput,
  sampledDrive,
  stableStiffness,
  statedGains,
} from '@striderule/engine';
import type { Browser, Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { onGainScales } from '../design/gain-reach.ts';
import { valueText } from '../ledger/row-text.ts';
import { significant, written } from '../show/number.ts';
import { degrees } from '../show/unit.ts';
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

const TASK = 'walk-natural';

describe.skipIf(CHROME === undefined)(`control page${WITHOUT}`, () => {
  let served: ServedCopy;
  let browser: Browser;
  let input: StudyInput;
  let swing: HandSwing;

  servedPages((made) => {
    ({ served, browser, input } = made);
    const of = handSwing(input, TASK, 'latch');
    if ('openBecause' in of) throw new Error(of.openBecause);
    swing = of;
  });

  const opened = async (hash: string, look: Look = WIDE): Promise<WatchedPage> => {
    const watched = await openAt(browser, served, `page=control&${hash}`, look);
    await watched.page.locator('.hand-now td:not(:empty)').first().waitFor();
    return watched;
  };
  const thigh = (page: Page) => page.getByRole('slider', { name: /^Thigh/ });
  const number = async (page: Page, key: string): Promise<number> =>
    Number((await page.locator(`[data-now="${key}"]`).textContent())?.replace('\u2212', '-'));
  const meter = (page: Page, key: string) => page.locator(`[data-meter="${key}"]`).textContent();
  const stiffness = (page: Page) => page.getByRole('slider', { name: /^Stiffness of/ });
  /** The handle's middle, px of the window, once the thigh stands at an angle, degrees. */
  const handle = async (page: Page) => {
    const box = (await thigh(page).boundingBox())!;
    return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  };
  /** The hip in the window, from where the drawing is. */
  const hip = async (page: Page) => {
    const box = (await page.locator('.hand-face svg').boundingBox())!;
    const scale = box.width / 440;
    return { x: box.x + 188 * scale, y: box.y + 58 * scale };
  };
  /** Path of the pointer, round the hip, from the handle to where the thigh stands at an angle, degrees. */
  const way = async (page: Page, to: number, steps: number) => {
    const [from, centre] = [await handle(page), await hip(page)];
    const radius = Math.hypot(from.x - centre.x, from.y - centre.y);
    const start = Math.atan2(from.x - centre.x, from.y - centre.y);
    const end = (to * Math.PI) / 180;
    return Array.from({ length: steps }, (_, k) => {
      const angle = start + ((end - start) * (k + 1)) / steps;
      return { x: centre.x + radius * Math.sin(angle), y: centre.y + radius * Math.cos(angle) };
    });
  };
  /** Waits until the thigh stands at an angle, degrees. */
  const stands = (page: Page, wanted: number, within = 0.11) =>
    page.waitForFunction(
      ([to, near]) =>
        Math.abs(
          Number(document.querySelector('[data-now="thigh"]')?.textContent?.replace('\u2212', '-')) - to,
        ) < near,
      [wanted, within] as const,
    );
  const half = () => degrees((swing.ownWay[0]! + swing.ownWay.at(-1)!) / 2);

  test('the thigh is dragged half way and held: the knee stays; with an oscillator it walks on', async () => {
    const { page, wrong } = await opened(`task=${TASK}&joint=ankle`);
    const from = await handle(page);
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    for (const { x, y } of await way(page, half(), 40)) {
      await page.mouse.move(x, y);
      await page.waitForTimeout(12);
    }
    await page.waitForFunction(() =>
      /^Held [1-9]/.test(document.querySelector('[data-meter="hold"]')?.textContent ?? ''),
    );
    expect(Math.abs((await number(page, 'thigh')) - half())).toBeLessThan(0.5);
    const knee = await number(page, 'knee');
    expect(knee).toBeGreaterThan(50); // near the recorded knee half way, far from both ends
    expect(Math.abs(knee - (await number(page, 'own knee')))).toBeLessThan(3);
    await page.waitForTimeout(3000);
    expect(Math.abs((await number(page, 'knee')) - knee)).toBeLessThanOrEqual(0.1);
    const drift = /phase moved (?:less than )?([\d.]+) %/.exec((await meter(page, 'hold')) ?? '')?.[1];
    expect(Number(drift)).toBeLessThanOrEqual(0.1);
    const load = JSON.parse((await page.locator('[data-load]').getAttribute('data-load')) ?? '{}');
    console.log(
      `swing by hand: ${load.ticks.toFixed(0)} ticks a second, ${(100 * load.tick).toFixed(2)} % of one core; with the drawing ${(100 * load.frame).toFixed(1)} %`,
    );
    await page.mouse.up();
    await page.getByRole('radio', { name: 'adaptive oscillator' }).check({ force: true });
    await page.waitForFunction(() => {
      const said = document.querySelector('[data-meter="hold"]')?.textContent ?? '';
      return Number(/phase moved (?:less than )?([\d.]+) %/.exec(said)?.[1]) > 10;
    });
    expect(Math.abs((await number(page, 'thigh')) - half())).toBeLessThan(0.5);
    expect(Math.abs((await number(page, 'knee')) - knee)).toBeGreaterThan(20);
    expect(page.url()).toContain('phase=oscillator');
    expect(wrong).toEqual([]);
  });

  slowTest(
    'keys lead the thigh; unplugged the leg waits and says so; a foot lifted too far forward is refused',
    async () => {
      const { page, wrong } = await opened(`task=${TASK}&joint=ankle`);
      await thigh(page).focus();
      for (let k = 0; k < 3; k++) await page.keyboard.press('Shift+ArrowRight');
      await page.keyboard.press('ArrowRight');
      const on = degrees(swing.ownWay[0]!);
      await stands(page, on + 16);
      expect(await thigh(page).getAttribute('aria-valuetext')).toMatch(
        /^9 degrees forward\. Phase \d\d per cent/,
      );
      const knee = await number(page, 'knee');
      await page.getByRole('button', { name: 'Unplug the sensor' }).click();
      await page.getByText('Sensor unplugged: the controller hears no thigh').waitFor();
      await thigh(page).focus();
      await page.keyboard.press('PageUp');
      await stands(page, on + 26);
      expect(await number(page, 'knee')).toBe(knee);
      await page.getByRole('button', { name: 'Plug the sensor in' }).click();
      await page.waitForFunction(
        (was) => document.querySelector('[data-now="knee"]')?.textContent !== was,
        knee.toFixed(1),
      );
      await page.getByRole('button', { name: /lift it here/ }).click();
      await page.getByText('less than 15° to go').waitFor();
      expect(wrong).toEqual([]);
    },
  );

  slowTest(
    'the recorded stride plays before anybody touches it, in a moment where motion is not wanted',
    async () => {
      const { page } = await opened(`task=${TASK}&joint=ankle`);
      await page.getByRole('button', { name: 'Play the recorded stride' }).click();
      await page.getByText('The recorded thigh is held half way.').waitFor();
      await page.getByText('The thigh leads.').waitFor();
      expect(
        Number(/phase moved (?:less than )?([\d.]+) %/.exec((await meter(page, 'hold')) ?? '')?.[1]),
      ).toBeLessThanOrEqual(0.1);
      await page.emulateMedia({ reducedMotion: 'reduce' });
      await page.reload();
      await page.locator('.hand-now td:not(:empty)').first().waitFor();
      await page.getByRole('button', { name: 'Play the recorded stride' }).click();
      await page.getByText('The thigh leads.').waitFor({ timeout: 1500 });
      await page.getByRole('button', { name: 'Show the last seconds as a table' }).click();
      expect(
        await page.locator('section[aria-label$=", each half second, as a table"] tbody tr').count(),
      ).toBeGreaterThan(7);
    },
  );

  slowTest('a thumb drags the thigh on a telephone', async () => {
    const { page, wrong } = await opened(`task=${TASK}&joint=ankle`, { width: 390, theme: 'day' });
    await page.locator('.hand-face').scrollIntoViewIfNeeded();
    // the counts of the head arrive when the ledger is known, and on a narrow page they move the leg
    let [before, from] = [{ x: 0, y: 0 }, await handle(page)];
    while (Math.hypot(from.x - before.x, from.y - before.y) > 0.5) {
      await page.waitForTimeout(400);
      [before, from] = [from, await handle(page)];
    }
    const client = await page.context().newCDPSession(page);
    const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', points: { x: number; y: number }[]) =>
      client.send('Input.dispatchTouchEvent', { type, touchPoints: points });
    const points = await way(page, half(), 20);
    await touch('touchStart', [from]);
    for (const point of points) {
      await touch('touchMove', [point]);
      await page.waitForTimeout(16);
    }
    await touch('touchEnd', []);
    await stands(page, half(), 1);
    expect(wrong).toEqual([]);
  });

  test('the stiffness is dragged until it is unstable; undo leads back; a reload is where one was', async () => {
    const { page, wrong } = await opened(`task=${TASK}&joint=ankle&phase=plane`);
    const stated = onGainScales(statedGains(input));
    const sampled = sampledDrive(input, 'ankle');
    if ('openBecause' in sampled) throw new Error(sampled.openBecause);
    const limit = stableStiffness(sampled, loadsOf(input, 'ankle'), stated.damping).joint.stiffness;
    const said = page.locator('.gain-said [role=status]');
    const saying = (word: string) =>
      page.locator('.gain-said [role=status]', { hasText: new RegExp(`^${word}`) }).waitFor();
    await page.getByText(/^200 × 200 points in/).waitFor();
    const took = Number(await page.locator('[data-map-took]').getAttribute('data-map-took'));
    console.log(`map of gains: 200 × 200 points in ${took.toFixed(2)} s, in a worker`);
    expect(await said.textContent()).toMatch(/^Stable, not passive/);
    await page.locator('.gain-face').scrollIntoViewIfNeeded();
    const knob = (await stiffness(page).boundingBox())!;
    const at = { x: knob.x + knob.width / 2, y: knob.y + knob.height / 2 };
    await page.mouse.move(at.x, at.y);
    await page.mouse.down();
    // three decades over 700 px: to a tenth beyond the engine’s own limit
    const dx = (700 / 3) * Math.log10((1.1 * limit) / stated.stiffness);
    await page.mouse.move(at.x + dx / 2, at.y, { steps: 4 });
    expect(await said.textContent()).toMatch(/^Stable/);
    await page.mouse.move(at.x + dx, at.y, { steps: 4 });
    await saying('Unstable');
    expect(await page.getByRole('button', { name: /^Undo/ }).isDisabled()).toBe(true); // still held
    await page.mouse.up();
    const now = Number(await stiffness(page).getAttribute('aria-valuenow'));
    expect(now / (1.1 * limit)).toBeGreaterThan(0.97);
    expect(now / (1.1 * limit)).toBeLessThan(1.03);
    await page
      .getByRole('button', { name: `Undo ankle ${written(stated.stiffness)} → ${written(now)} N·m/rad` })
      .waitFor();
    await page.waitForFunction((k) => location.hash.includes(`k=${k}&`), now);
    await page.reload();
    await saying('Unstable');
    expect(await stiffness(page).getAttribute('aria-valuenow')).toBe(String(now));
    expect(await page.getByRole('radio', { name: 'phase plane' }).isChecked()).toBe(true);
    await page.keyboard.press('Control+z');
    await saying('Stable, not passive');
    expect(await stiffness(page).getAttribute('aria-valuenow')).toBe(String(stated.stiffness));
    await page.keyboard.press('Control+Shift+z');
    await saying('Unstable');
    // undone on another page it stays undone here
    await page.getByRole('link', { name: /^Drive/ }).click();
    await page.locator('.slide').waitFor();
    await page.keyboard.press('Control+z');
    await page.getByRole('link', { name: /^Control/ }).click();
    await saying('Stable, not passive');
    expect(wrong).toEqual([]);
  });

  slowTest(
    'a link brings its gains as a step; each joint has its own; typed ones are taken or said not to be',
    async () => {
      const { page, wrong } = await opened(`task=${TASK}&joint=knee&k=412&b=6.5`);
      expect(await stiffness(page).getAttribute('aria-valuenow')).toBe('412');
      const says = async (joint: 'knee' | 'ankle', gains: Gains) => {
        const asked = askedImpedance(input, joint, gains);
        if ('openBecause' in asked) throw new Error(asked.openBecause);
        const rows = page.locator('.gain-said tbody tr');
        const upTo = await rows.filter({ hasText: 'stiffness within' }).locator('td').first().textContent();
        expect(upTo).toBe(significant(asked.stiffnessBandwidth));
        expect(await rows.filter({ hasText: 'software holds' }).locator('td').first().textContent()).toBe(
          `${significant(asked.software.stiffness)}, ${significant(asked.software.damping)}`,
        );
      };
      await says('knee', { stiffness: 412, damping: 6.5 });
      await page.getByRole('radio', { name: 'ankle', exact: true }).check({ force: true });
      const stated = onGainScales(statedGains(input));
      expect(await stiffness(page).getAttribute('aria-valuenow')).toBe(String(stated.stiffness));
      const field = page.getByRole('textbox', { name: 'Stiffness' });
      await field.fill('150,5');
      await field.press('Enter');
      await says('ankle', { stiffness: 151, damping: stated.damping }); // three figures
      await field.fill('stiff');
      await field.press('Enter');
      await page.getByText('“stiff” is not taken: type a number from 3 to 3000.').waitFor();
      await field.press('Escape');
      await field.fill('950');
      await field.press('Enter');
      await page.getByText(/^Not rendered: the gears of the ankle yield by themselves/).waitFor();
      await page.getByRole('radio', { name: 'knee', exact: true }).check({ force: true });
      expect(await stiffness(page).getAttribute('aria-valuenow')).toBe('412');
      expect(wrong).toEqual([]);
    },
  );

  slowTest(
    'what the study asks of control stands there as the engine judges it, and leads to its evidence',
    async () => {
      const { page, wrong } = await opened(`task=${TASK}&joint=knee`);
      const asked = evaluateStudy(input).ledger.filter(({ chapter }) => chapter.startsWith('control.md'));
      const lines = page.locator('.of-stage tbody tr');
      await page
        .locator('.of-stage td:last-child', { hasText: /^(met|open)$/ })
        .first()
        .waitFor();
      expect(await lines.count()).toBe(asked.length);
      for (const [k, row] of asked.entries()) {
        const cells = await lines.nth(k).locator('td').allTextContents();
        expect([cells[1], cells.at(-1)]).toEqual([valueText(row, row.predicted), row.state]);
      }
      await lines.first().locator('a').click();
      await page.locator(`[data-requirement="${asked[0]!.requirement.id}"] .reason`).waitFor();
      expect(wrong).toEqual([]);
    },
  );

  slowTest('a stride that cannot be swung says why, and the rest of the page stands', async () => {
    const { page, wrong } = await openAt(browser, served, 'page=control&task=stair-down&joint=knee', WIDE);
    await page
      .getByText('Stairs down cannot be swung: From toe-off to its peak the thigh moves 8.5°')
      .waitFor();
    expect(await page.locator('.gain-map').count()).toBe(1);
    await page.locator('.rule .gap').first().waitFor();
    expect(await page.locator('body').textContent()).not.toMatch(/NaN|undefined|Infinity/);
    expect(wrong).toEqual([]);
  });

  slowTest('SVG and CSV files are whole', async () => {
    const { page } = await opened(`task=${TASK}&joint=ankle`);
    await page.getByText(/^200 × 200 points in/).waitFor();
    await page.emulateMedia({ reducedMotion: 'reduce' });
    await page.getByRole('button', { name: 'Play the recorded stride' }).click();
    await page.getByText('The thigh leads.').waitFor();
    const saved = async (where: string, name: string) => {
      const [file] = await Promise.all([
        page.waitForEvent('download'),
        page.locator(where).getByRole('button', { name }).click(),
      ]);
      return readFile(await file.path(), 'utf8');
    };
    for (const [where, name] of [
      ['.hand-leg', 'Save the leg as SVG'],
      ['.hand-said', 'Save the strip as SVG'],
      ['.rule', 'Save as SVG'],
      ['.gain-map', 'Save the map as SVG'],
      ['.rendered', 'Save as SVG'],
      ['section:has(h2:text("Tuning burden"))', 'Save as SVG'],
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
    const map = (await saved('.gain-map', 'Save the map as CSV')).trim().split('\r\n');
    expect(map).toHaveLength(200 * 200 + 1);
    for (const [where, name] of [
      ['.hand-said', 'Save it as CSV'],
      ['.rendered', 'Save as CSV'],
    ] as const) {
      const [head, ...rows] = (await saved(where, name)).trim().split('\r\n');
      expect(rows.length).toBeGreaterThan(5);
      for (const row of rows) expect(row.split(',').length).toBe(head!.match(/(?:"[^"]*"|[^,])+/g)!.length);
    }
  });

  slowTest.each(LOOKS)('axe finds nothing, nothing scrolls sideways: $width px by $theme', async (look) => {
    const { page, wrong } = await opened(`task=${TASK}&joint=ankle&at=45`, look);
    await page.getByText(/^200 × 200 points in/).waitFor();
    await page.getByRole('button', { name: 'Play the recorded stride' }).click();
    await page.getByText('The thigh leads.').waitFor();
    await page.getByRole('button', { name: 'Show it as a table' }).first().click();
    await page.getByRole('button', { name: 'Show the last seconds as a table' }).click();
    await page.evaluate(() => document.fonts.ready);
    expect(await axe(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(look.width);
    expect(await page.locator('body').textContent()).not.toMatch(/NaN|undefined|Infinity/);
    await page.getByRole('button', { name: 'Hide its table' }).first().click();
    await page.getByRole('button', { name: 'Hide the table of the last seconds' }).click();
    await page.evaluate(() => scrollTo(0, 0));
    await page.screenshot({ path: `screenshots/control-${look.width}-${look.theme}.png` });
    await page.screenshot({
      path: `screenshots/control-${look.width}-${look.theme}-whole.png`,
      fullPage: true,
    });
    expect(wrong).toEqual([]);
  });
});
