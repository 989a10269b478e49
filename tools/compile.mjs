// The commands, the store, the engine and the server compiled to plain modules: transpiling some 400 sources anew would
// cost every command a second or two. What was compiled lies in node_modules/.cache under a key of every source's name,
// size and time, so that a changed, added or deleted source is compiled again, two commands at once cannot disturb each
// other, and a server that runs keeps the modules it was started with.

import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, renameSync, rmSync, statSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = path.dirname(path.dirname(fileURLToPath(import.meta.url)));
const cache = path.join(root, 'node_modules/.cache/striderule-modules');
const ROOMS = ['engine', 'store', 'wire', 'threads', 'reference', 'apps/cli', 'apps/server'];
const ENTRIES = [
  'engine/index',
  'store/index',
  'apps/server/index',
  'apps/cli/main',
  'apps/cli/evidence-ledger',
];
const KEPT_MS = 24 * 3_600_000; // what an older source gave; a server of yesterday may still read from it

/** Imports one of ENTRIES, such as `apps/cli/main`; all of them share one engine. */
export async function importCompiled(entry) {
  const modules = path.join(cache, keyOfSources());
  if (!existsSync(modules)) await compile(modules);
  return import(pathToFileURL(path.join(modules, `${entry}.mjs`)));
}

async function compile(modules) {
  const { build } = await import('esbuild');
  const made = `${modules}.${process.pid}`;
  await build({
    entryPoints: ENTRIES.map((entry) => path.join(root, `${entry}.ts`)),
    outdir: made,
    outbase: root,
    outExtension: { '.js': '.mjs' },
    bundle: true,
    splitting: true, // a verb is loaded when it is asked for
    format: 'esm',
    platform: 'node',
    target: 'node20',
    logLevel: 'error',
    define: { ENGINE_SOURCES: JSON.stringify(hashOfEngine()) }, // results of another engine are stale: engine/version.ts
    plugins: [{ name: 'our own sources', setup: ownSources }],
  });
  try {
    renameSync(made, modules);
  } catch (error) {
    rmSync(made, { recursive: true, force: true });
    if (!existsSync(modules)) throw error; // otherwise another command was first
  }
  for (const name of readdirSync(cache)) {
    const old = path.join(cache, name);
    const age = Date.now() - (statSync(old, { throwIfNoEntry: false })?.mtimeMs ?? Date.now());
    if (age > KEPT_MS) rmSync(old, { recursive: true, force: true });
  }
}

/** Bundles what is ours, leaves packages where they are, and keeps `import.meta` what it is in the source. */
export function ownSources(build) {
  build.onResolve({ filter: /^[^./]/ }, ({ path: name, kind }) =>
    kind === 'entry-point' || name.startsWith('@striderule/') ? undefined : { path: name, external: true },
  );
  build.onLoad({ filter: /\.ts$/ }, ({ path: file }) => ({
    loader: 'ts',
    contents: readFileSync(file, 'utf8')
      .replaceAll('import.meta.url', JSON.stringify(pathToFileURL(file).href))
      .replaceAll('import.meta.dirname', JSON.stringify(path.dirname(file)))
      .replaceAll('import.meta.filename', JSON.stringify(file)),
  }));
}

/** The root is in it too, since `import.meta` is written out. */
function keyOfSources() {
  const hash = createHash('sha256').update(root);
  for (const name of ['package-lock.json', 'tools/compile.mjs', ...ROOMS.flatMap(sourcesIn)]) {
    const { size, mtimeMs } = statSync(path.join(root, name));
    hash.update(`${name} ${size} ${mtimeMs}\n`);
  }
  return hash.digest('hex').slice(0, 16);
}

/** By what the sources say, wherever and whenever they were laid down. */
function hashOfEngine() {
  const hash = createHash('sha256');
  for (const name of sourcesIn('engine'))
    hash.update(`${name}\n`).update(readFileSync(path.join(root, name)));
  return hash.digest('hex').slice(0, 12);
}

function sourcesIn(room) {
  return readdirSync(path.join(root, room), { withFileTypes: true, recursive: true })
    .filter((entry) => /\.(ts|json)$/.test(entry.name) && !entry.name.endsWith('.test.ts'))
    .map((entry) => path.join(path.relative(root, entry.parentPath ?? entry.path), entry.name))
    .filter((name) => !/(^|\/)node_modules\//.test(name))
    .sort();
}
