// Requirements as somebody changes them on the evidence page. What it must show is asked of the engine here, on the same study.
import { readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import {
  evaluateStudy,
  type KeptWalk,
  type LedgerRow,
  ledgerWalkName,
  ledgerWalks,
  openLedgerWalk,
  type Requirement,
  type StudyInput,
  withValue,
  withWalks,
} from '@striderule/engine';
import { openStudy } from '@striderule/store';
import type { Browser, Page } from 'playwright-core';
import { beforeEach, describe, expect, test } from 'vitest';
import { boundText, valueText } from '../ledger/row-text.ts';
import { CHROME, type Look, openAt, slowTest, type WatchedPage, WIDE, WITHOUT } from './browser.ts';
import type { ServedCopy } from './served.ts';
import { servedPages } from './served-pages.ts';

const ID = 'ankle-speed';

describe.skipIf(CHROME === undefined)(`evidence page${WITHOUT}`, () => {
  let served: ServedCopy;
  let browser: Browser;
  let input: StudyInput;
  let sound: string;
  const file = () => path.join(served.folder, 'requirements.yaml');
  servedPages(async (made) => {
    ({ served, browser, input } = made);
    sound = await readFile(file(), 'utf8');
  });
  beforeEach(async () => {
    if (sound !== undefined) await writeFile(file(), sound);
  });

  const opened = async (look: Look = WIDE): Promise<WatchedPage> => {
    const watched = await openAt(browser, served, `page=evidence&row=${ID}`, look);
    await watched.page.locator('.ledger[data-whole]').waitFor({ timeout: 60_000 });
    await bound(watched.page).waitFor();
    return watched;
  };
  const line = (page: Page, id = ID) => page.locator(`[data-requirement="${id}"]`);
  const bound = (page: Page) => line(page).getByRole('textbox', { name: /at least/ });
  /** The engine's line with something else asked. */
  const asking = (part: Partial<Requirement>): LedgerRow => {
    const requirements = input.requirements.map((each) => (each.id === ID ? { ...each, ...part } : each));
    return evaluateStudy({ ...input, requirements }).ledger.find(({ requirement }) => requirement.id === ID)!;
  };
  /** Waits until the page says of the requirement what the engine does. */
  const says = async (page: Page, row: LedgerRow) => {
    const cells = line(page).locator(':scope > tr:first-child > td');
    await cells.last().getByText(row.state, { exact: true }).waitFor();
    expect(await cells.nth(0).textContent()).toMatch(new RegExp(`^${boundText(row)}( saved|$)`));
    expect(await cells.nth(1).textContent()).toBe(valueText(row, row.predicted));
  };
  const least = (value: number): Partial<Requirement> => ({ bound: { kind: 'at least', value } });

  test('a bound moves the line’s state; undo, redo; saving shows the exact lines and keeps every comment', async () => {
    const { page, wrong } = await opened();
    const [before, after] = [asking({}), asking(least(2.5))];
    expect(before.state).not.toBe(after.state); // or the test could not tell
    await says(page, before);
    await bound(page).fill('2.5');
    await bound(page).press('Enter');
    await says(page, after);
    await page.getByRole('link', { name: /^Evidence .*unsaved$/ }).waitFor();
    await page.getByRole('button', { name: `Undo ${ID} 1.1 → 2.5` }).click();
    await says(page, before);
    await page.keyboard.press('Control+Shift+z');
    await says(page, after);
    // where it applies, and why
    await line(page).getByRole('combobox', { name: 'in', exact: true }).selectOption('walk-slow');
    await says(page, asking({ ...least(2.5), task: 'walk-slow' }));
    const reason = line(page).getByRole('textbox', { name: 'because' });
    await reason.fill('what the laboratory agreed on: "two and a half"');
    await reason.press('Enter');
    await page.reload();
    await page.locator('.ledger[data-whole]').waitFor({ timeout: 60_000 });
    expect(await bound(page).inputValue()).toBe('2.5'); // not saved, not lost
    await page.getByRole('button', { name: 'Save …' }).click();
    const lines = sound.split('\n');
    const at = lines.indexOf(`- id: ${ID}`);
    await page.locator('.save .diff').waitFor();
    expect(await page.locator('.save .diff').textContent()).toBe(
      [
        `line ${at + 3}  +   task: walk-slow`,
        `line ${at + 4}  −   atLeast: 1.1`,
        `line ${at + 4}  +   atLeast: 2.5`,
        `line ${at + 5}  − ${lines[at + 4]}`,
        `line ${at + 5}  +   because: "what the laboratory agreed on: \\"two and a half\\""`,
        '',
      ].join('\n'),
    );
    expect(await readFile(file(), 'utf8')).toBe(sound);
    await page.getByRole('button', { name: 'Write requirements.yaml' }).click();
    await page.getByText('Saved requirements.yaml.').waitFor();
    expect(await readFile(file(), 'utf8')).toBe(
      lines
        .toSpliced(
          at + 2,
          3,
          '  task: walk-slow',
          lines[at + 2]!,
          '  atLeast: 2.5',
          '  because: "what the laboratory agreed on: \\"two and a half\\""',
        )
        .join('\n'),
    );
    await page.locator('.ledger[data-whole]').waitFor({ timeout: 60_000 });
    await says(page, asking({ ...least(2.5), task: 'walk-slow' }));
    // once the saved study has been read again
    await page.getByRole('link', { name: /^Evidence(?!.*unsaved)/ }).waitFor();
    expect(wrong).toEqual([]);
  }, 180_000);

  test('the ledger is one stop of the Tab key: arrows lead from line to line, Enter opens one, Tab leads into it', async () => {
    const { page, wrong } = await openAt(browser, served, 'page=evidence', WIDE);
    await page.locator('.ledger').waitFor();
    const on = () =>
      page.evaluate(
        () => document.activeElement?.closest<HTMLElement>('[data-requirement]')?.dataset.requirement,
      );
    const ids = input.requirements.map(({ id }) => id);
    await page.getByRole('radio', { name: /^all/ }).focus();
    await page.keyboard.press('Tab');
    expect(await on()).toBe(ids[0]);
    for (const [key, at] of [
      ['ArrowDown', 1],
      ['PageDown', 11],
      ['ArrowUp', 10],
      ['End', ids.length - 1],
      ['ArrowDown', ids.length - 1],
      ['Home', 0],
      ['ArrowDown', 1],
    ] as const) {
      await page.keyboard.press(key);
      expect(await on()).toBe(ids[at]);
    }
    await page.keyboard.press('Tab');
    expect(await on()).toBeUndefined();
    // and back to the line that was left
    await page.keyboard.press('Shift+Tab');
    expect(await on()).toBe(ids[1]);
    await page.keyboard.press('Enter');
    await page.keyboard.press('Tab');
    expect(await on()).toBe(ids[1]);
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('INPUT');
    expect(wrong).toEqual([]);
  });

  test('what walks judge is walked in the background; a ratio makes it stale and says so, and back on the ledger it is walked anew', async () => {
    await writeFile(
      file(),
      `- { id: ankle-speed, metric: speedMargin, joint: ankle, atLeast: 1.1, because: test }
- { id: guide, metric: guideForce, speed: 1.1 m/s, atMost: 50 %, because: test }
`,
    );
    const { page, wrong } = await opened();
    const few = (await openStudy(served.folder)).input;
    const walkedOf = (study: StudyInput): LedgerRow => {
      const kept = new Map<string, KeptWalk>();
      for (const walk of ledgerWalks(study)) {
        const open = openLedgerWalk(study, walk);
        while (open.next() < 1);
        kept.set(ledgerWalkName(walk), { walked: open.walked() });
      }
      return withWalks(study, evaluateStudy(study).ledger, kept)[1]!;
    };
    const settled = async (study: StudyInput) => {
      const row = walkedOf(study);
      const cells = line(page, 'guide').locator(':scope > tr:first-child > td');
      await cells.last().getByText(row.state, { exact: true }).waitFor({ timeout: 60_000 });
      expect(await cells.nth(1).textContent()).toBe(valueText(row, row.predicted));
    };
    await settled(few);
    await line(page, 'guide').locator('.opens').click();
    expect(await line(page, 'guide').locator('.reason').textContent()).toContain('with the thigh prescribed');
    // the ratio is changed on Drive, where nothing is walked
    await page.getByRole('link', { name: /^Drive/ }).click();
    const typed = page.getByRole('textbox', { name: /^Ratio/ });
    await typed.fill('30');
    await typed.press('Enter');
    await page.getByRole('link', { name: /^Walk 1 stale/ }).waitFor();
    const [, joint] = /joint=(knee|ankle)/.exec(page.url())!;
    await page.getByRole('link', { name: /^Evidence/ }).click();
    await line(page, 'guide')
      .getByText(/^stale/)
      .first()
      .waitFor();
    await settled({ ...few, leg: withValue(few.leg, `joints.${joint}.transmission.ratio`, 30) });
    expect(wrong).toEqual([]);
  }, 180_000);

  slowTest(
    'nonsense is refused with words, and what was typed stays to be mended',
    async () => {
      const { page } = await opened();
      for (const [typed, words] of [
        [
          '3 kg',
          '“3 kg” is not taken: `3 kg` is a mass, but this field is a pure number. Use one of: 1 or %.',
        ],
        ['1,2', '“1,2” is not taken: `1,2` has a decimal comma. Write `1.2`.'],
        ['much', '“much” is not taken: `much` is not a number with a unit. Write a pure number such as `1`.'],
      ] as const) {
        await bound(page).fill(typed);
        await bound(page).press('Enter');
        await line(page).getByText(words).waitFor();
        expect(await bound(page).inputValue()).toBe(typed);
      }
      const reason = line(page).getByRole('textbox', { name: 'because' });
      await reason.fill('  ');
      await reason.press('Enter');
      await line(page).getByText('A requirement without a reason is not taken').waitFor();
      expect(await page.getByRole('button', { name: 'Save …' }).isDisabled()).toBe(true);
      await bound(page).press('Escape');
      expect(await bound(page).inputValue()).toBe('1.1');
      expect(await readFile(file(), 'utf8')).toBe(sound);
    },
    120_000,
  );

  // the last: it ends the server
  slowTest(
    'a server that is gone is said, and the edited requirement stays',
    async () => {
      const { page } = await opened();
      await bound(page).fill('2.5');
      await bound(page).press('Enter');
      await served.server.close();
      await page.locator('.lost').waitFor();
      await page.getByRole('button', { name: 'Save …' }).click();
      await page
        .getByRole('alert')
        .getByText('The server does not answer, so nothing was written.')
        .waitFor();
      expect(await bound(page).inputValue()).toBe('2.5');
      await says(page, asking(least(2.5)));
      expect(await page.evaluate(() => Object.values(sessionStorage).join())).toContain('"value":2.5');
      expect(await readFile(file(), 'utf8')).toBe(sound);
    },
    120_000,
  );
});
