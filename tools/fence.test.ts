import { mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Breach, breaches } from './fence.ts';
import { ENGINE_ROOMS, FENCE } from './fence-rules.ts';

const ROOT = path.dirname(import.meta.dirname);

test('no import crosses the fence', async () => {
  const found = await breaches(ROOT);
  expect(found.files).toBeGreaterThan(40); // the checker did read the tree
  expect(found.breaches.map(({ rule, from, to }) => `${rule}: ${from} → ${to}`)).toEqual([]);
});

test('the engine has no room that the fence does not know', () => {
  const rooms = readdirSync(path.join(ROOT, 'engine'), { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && entry.name !== 'node_modules')
    .map((entry) => entry.name);
  expect(rooms.filter((room) => !(ENGINE_ROOMS as readonly string[]).includes(room))).toEqual([]);
});

// One seeded breach a rule, in a tree of its own: a fence that never catches anything proves nothing.
const SEEDS: readonly (readonly [rule: string, file: string, text: string])[] = [
  ['engine-quantity-imports-no-later-room', 'engine/quantity/a.ts', "import '../gait/z.ts';"],
  ['engine-numeric-imports-no-later-room', 'engine/numeric/a.ts', "import '../gait/z.ts';"],
  [
    'engine-gait-imports-no-later-room',
    'engine/gait/a.ts',
    "import type { Z } from '../drive/z.ts';\nexport type A = Z;",
  ],
  ['engine-control-imports-no-later-room', 'engine/control/a.ts', "import '../study/z.ts';"],
  ['engine-walk-imports-no-later-room', 'engine/walk/a.ts', "import '../evidence/z.ts';"],
  ['engine-drive-imports-no-later-room', 'engine/drive/a.ts', "export type { Z } from '../evidence/z.ts';"],
  ['engine-control-imports-no-later-room', 'engine/control/a.ts', "import '../study/z.ts';"],
  ['engine-evidence-imports-no-later-room', 'engine/evidence/a.ts', "import '../study/z.ts';"],
  ['engine-imports-nothing-outside', 'engine/gait/b.ts', "import 'node:fs';"],
  [
    'engine-imports-nothing-outside',
    'engine/gait/c.ts',
    "import type { P } from 'some-package';\nexport type C = P;",
  ],
  ['engine-imports-nothing-outside', 'engine/gait/d.ts', "import '@striderule/reference';"],
  ['engine-numeric-is-pure', 'engine/numeric/b.ts', "import 'node:fs';"],
  ['engine-numeric-imports-packages-only', 'engine/numeric/c.ts', "import '@striderule/store';"],
  ['engine-index-is-for-apps', 'engine/study/a.ts', "import '../index.ts';"],
  ['engine-index-is-for-apps', 'engine/study/b.ts', "import '@striderule/engine';"],
  ['apps-never-import-one-another', 'apps/cli/a.ts', "import '@striderule/server';"],
  ['apps-import-engine-store-wire-only', 'apps/cli/b.ts', "import '@striderule/reference';"],
  [
    'web-not-store',
    'apps/web/a.tsx',
    "import type { Z } from '@striderule/store';\nexport const a: Z | null = null;",
  ],
  ['web-not-node', 'apps/web/b.ts', "import 'node:fs';"],
  ['store-imports-engine-and-reference-only', 'store/a.ts', "import '@striderule/server';"],
  ['threads-import-engine-only', 'threads/a.ts', "import '@striderule/store';"],
  ['wire-has-shapes-only', 'wire/a.ts', "import '@striderule/store';"],
  ['wire-has-shapes-only', 'wire/b.ts', "import 'some-package';"],
  ['reference-is-read-by-few', 'apps/server/a.ts', "import '@striderule/reference';"],
  ['reference-imports-engine-only', 'reference/a.ts', "import '@striderule/store';"],
  ['through-the-index', 'apps/cli/c.ts', "import '../../engine/gait/z.ts';"],
  ['no-circle', 'store/b.ts', "import './c.ts';"],
  ['resolves', 'store/d.ts', "import './nowhere.ts';"],
];

// Allowed, and close to a breach.
const INNOCENT: readonly (readonly [file: string, text: string])[] = [
  ['engine/study/fine.ts', "import '../quantity/z.ts';\nimport '../evidence/z.ts';"],
  ['engine/numeric/fine.ts', "import 'some-package';"],
  ['engine/gait/fine.test.ts', "import 'node:fs';\nimport '@striderule/reference';"],
  ['apps/cli/fine.ts', "import 'node:fs';\nimport '@striderule/engine';\nimport '@striderule/store';"],
  ['threads/fine.ts', "import 'node:worker_threads';\nimport '@striderule/engine';"],
  ['apps/web/fine.tsx', "import '@striderule/engine';\nimport '@striderule/wire';"],
  ['store/fine.ts', "import 'node:fs';\nimport '@striderule/reference';"],
  ['examples/fine.ts', "import '@striderule/reference';"],
];

describe('seeded breaches', () => {
  let root: string;
  let found: readonly Breach[];

  beforeAll(async () => {
    root = mkdtempSync(path.join(tmpdir(), 'striderule-fence-'));
    const write = (file: string, text: string): void => {
      mkdirSync(path.join(root, path.dirname(file)), { recursive: true });
      writeFileSync(path.join(root, file), text);
    };
    for (const room of ENGINE_ROOMS) write(`engine/${room}/z.ts`, 'export type Z = number;');
    write('store/c.ts', "import './b.ts';");
    const workspaces = [
      'engine',
      'reference',
      'store',
      'wire',
      'threads',
      'examples',
      'apps/cli',
      'apps/server',
      'apps/web',
    ];
    for (const folder of workspaces) {
      const name = `@striderule/${path.basename(folder)}`;
      write(`${folder}/package.json`, JSON.stringify({ name, exports: { '.': './index.ts' } }));
      write(`${folder}/index.ts`, 'export type Z = number;');
      mkdirSync(path.join(root, 'node_modules/@striderule'), { recursive: true });
      symlinkSync(path.join(root, folder), path.join(root, 'node_modules', name), 'dir');
    }
    write(
      'node_modules/some-package/package.json',
      JSON.stringify({ name: 'some-package', main: 'index.js' }),
    );
    write('node_modules/some-package/index.js', '');
    for (const [, file, text] of SEEDS) write(file, text);
    for (const [file, text] of INNOCENT) write(file, text);
    found = (await breaches(root, ['engine', 'reference', 'store', 'wire', 'threads', 'apps', 'examples']))
      .breaches;
  });
  afterAll(() => rmSync(root, { recursive: true, force: true }));

  test.each(SEEDS)('%s is caught in %s', (rule, file) => {
    expect(found.filter((breach) => breach.from === file).map((breach) => breach.rule)).toContain(rule);
  });

  test('every rule has a seed', () => {
    const seeded = new Set(SEEDS.map(([rule]) => rule));
    expect(FENCE.map((rule) => rule.name).filter((name) => !seeded.has(name!))).toEqual([]);
  });

  test('what is allowed passes', () => {
    const innocent = new Set(INNOCENT.map(([file]) => file));
    expect(found.filter((breach) => innocent.has(breach.from))).toEqual([]);
  });
});
