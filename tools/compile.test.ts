import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { expect, onTestFinished, test } from 'vitest';

const ROOT = path.dirname(import.meta.dirname);

test('what was compiled follows every source that is changed, added or taken away', () => {
  const root = tree();
  expect(said(root)).toBe('7 in engine');
  expect(said(root)).toBe('7 in engine');
  expect(kept(root)).toHaveLength(1);
  writeFileSync(path.join(root, 'engine/seven.ts'), 'export const seven: number = 77;\n');
  expect(said(root)).toBe('77 in engine');
  rmSync(path.join(root, 'engine/seven.ts'));
  const { status, stderr } = run(root);
  expect(status).not.toBe(0);
  expect(stderr).toContain('Could not resolve "./seven.ts"');
});

test('a folder that was moved is compiled again, since sources know where they lie', () => {
  const root = tree();
  expect(said(root)).toBe('7 in engine');
  const moved = path.join(path.dirname(root), 'moved');
  cpSync(root, moved, { recursive: true, preserveTimestamps: true, verbatimSymlinks: true });
  rmSync(root, { recursive: true });
  const { stdout } = run(moved);
  expect(stdout).toContain(path.join(moved, 'engine'));
});

test('the engine knows its sources by what they say: changed, another engine; changed back, the same', () => {
  const root = tree();
  const seven = path.join(root, 'engine/seven.ts');
  writeFileSync(
    path.join(root, 'engine/index.ts'),
    "import { seven } from './seven.ts';\nexport const said = [ENGINE_SOURCES, 'of', seven].join(' ');\n",
  );
  const first = said(root);
  expect(first).toMatch(/^[\da-f]{12} of 7$/);
  writeFileSync(seven, 'export const seven: number = 8;\n');
  expect(said(root)).not.toContain(first.slice(0, 12));
  writeFileSync(seven, 'export const seven: number = 7;\n');
  expect(said(root)).toBe(first);
});

test('a test file and a file of data are no reason to compile again', () => {
  const root = tree();
  said(root);
  writeFileSync(path.join(root, 'engine/seven.test.ts'), 'nothing\n');
  writeFileSync(path.join(root, 'engine/table.csv'), '1\n');
  said(root);
  expect(kept(root)).toHaveLength(1);
});

/** A clone in small: every entry is there, and the engine's says its number and its folder. */
function tree(): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'striderule-compile-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const root = path.join(folder, 'clone');
  for (const entry of ['store/index', 'apps/server/index', 'apps/cli/main', 'apps/cli/evidence-ledger']) {
    mkdirSync(path.join(root, path.dirname(entry)), { recursive: true });
    writeFileSync(path.join(root, `${entry}.ts`), 'export const nothing = 0;\n');
  }
  for (const room of ['engine', 'wire', 'threads', 'reference', 'tools', 'node_modules'])
    mkdirSync(path.join(root, room));
  writeFileSync(path.join(root, 'engine/seven.ts'), 'export const seven: number = 7;\n');
  writeFileSync(
    path.join(root, 'engine/index.ts'),
    "import { seven } from './seven.ts';\nexport const said = [seven, 'in', import.meta.dirname].join(' ');\n",
  );
  writeFileSync(path.join(root, 'package-lock.json'), '{}\n');
  cpSync(path.join(ROOT, 'tools/compile.mjs'), path.join(root, 'tools/compile.mjs'));
  for (const name of ['esbuild', '@esbuild']) {
    symlinkSync(path.join(ROOT, 'node_modules', name), path.join(root, 'node_modules', name));
  }
  return root;
}

/** What a fresh process imports. */
function run(root: string) {
  const program = `import { importCompiled } from ${JSON.stringify(path.join(root, 'tools/compile.mjs'))};
    console.log((await importCompiled('engine/index')).said);`;
  return spawnSync(process.execPath, ['--input-type=module', '-e', program], { encoding: 'utf8' });
}

function said(root: string): string {
  const { status, stdout, stderr } = run(root);
  expect(stderr).toBe('');
  expect(status).toBe(0);
  return stdout.trim().replace(path.join(root, 'engine'), 'engine');
}

const kept = (root: string): string[] =>
  readdirSync(path.join(root, 'node_modules/.cache/striderule-modules'));
