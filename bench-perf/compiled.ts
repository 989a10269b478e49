import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { ownSources } from '../tools/compile.mjs';

/**
 * One file of this folder with all it draws on, compiled as the commands and their worker threads are and then imported: what is measured is the
 * code that runs, not the sources through a loader.
 */
export async function compiled<T>(name: string): Promise<T> {
  // beside the modules of the commands, from where packages are found
  const cache = path.join(import.meta.dirname, '../node_modules/.cache');
  mkdirSync(cache, { recursive: true });
  const folder = mkdtempSync(path.join(cache, 'striderule-bench-'));
  try {
    const file = path.join(folder, `${name}.mjs`);
    await build({
      entryPoints: [path.join(import.meta.dirname, `${name}.ts`)],
      outfile: file,
      bundle: true,
      format: 'esm',
      platform: 'node',
      target: 'node20',
      logLevel: 'error',
      define: { ENGINE_SOURCES: '"bench"' },
      plugins: [{ name: 'our own sources', setup: ownSources }],
    });
    return (await import(pathToFileURL(file).href)) as T;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
