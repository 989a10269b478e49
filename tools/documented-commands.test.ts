import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { striderule } from '../apps/cli/test-command.ts';
import { ROOT } from './run-tool.ts';
import { trackedFiles } from './tracked-files.ts';

interface Line {
  readonly page: string;
  readonly line: string;
  readonly words: readonly string[];
}

/** Lines of ```sh blocks that start with `striderule` or `npx striderule`, in the order in which they stand. */
function commandsOf(page: string): readonly Line[] {
  const text = readFileSync(path.join(ROOT, page), 'utf8');
  return [...text.matchAll(/^```sh\n([\s\S]*?)^```/gm)].flatMap(([, block]) =>
    block!
      .split('\n')
      .map((line) => line.replace(/\s+#.*$/, '').trim())
      .filter((line) => /^(npx )?striderule\b/.test(line))
      .map((line) => ({ page, line, words: line.split(/\s+/).slice(line.startsWith('npx') ? 2 : 1) })),
  );
}

const LINES = trackedFiles()
  .filter((name) => name.endsWith('.md') && existsSync(path.join(ROOT, name)))
  .flatMap(commandsOf);

describe('documented commands', () => {
  let clone: string; // what a reader has around him: the demo study at its place, and a study of his own

  beforeAll(async () => {
    clone = mkdtempSync(path.join(tmpdir(), 'striderule-docs-'));
    mkdirSync(path.join(clone, 'examples'));
    cpSync(path.join(ROOT, 'examples/tern'), path.join(clone, 'examples/tern'), {
      recursive: true,
      filter: (name) => path.basename(name) !== 'results',
    });
  });
  afterAll(() => rmSync(clone, { recursive: true, force: true }));

  test('there are some', () => expect(LINES.length).toBeGreaterThan(8));

  test.each(LINES)('$page: $line', async ({ words }) => {
    const own = path.join(clone, 'my-leg');
    if (words[0] === 'study' && words[1] === 'new')
      rmSync(path.join(clone, words[2]!), { recursive: true, force: true });
    else if (words.includes('my-leg') && !existsSync(own)) await striderule(['study', 'new', own]);
    const { code, stdout, stderr } = await striderule(words, clone);
    expect(code, stdout + stderr).toBe(0);
  });
});
