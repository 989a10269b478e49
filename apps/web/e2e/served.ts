import { execFile } from 'node:child_process';
import { cp, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { type ServedStudy, serveStudy } from '@striderule/server';

const root = path.join(import.meta.dirname, '../../..');
const demo = path.join(root, 'examples/tern');
const run = promisify(execFile);

export interface ServedCopy {
  /** A copy of the demo study, free to be broken. */
  readonly folder: string;
  readonly webDir: string;
  readonly server: ServedStudy;
  readonly origin: string;
  readonly end: () => Promise<void>;
}

/** Builds the page into a folder of its own, so that tests neither need nor disturb apps/web/dist. */
export async function builtPage(into: string): Promise<string> {
  const webDir = path.join(into, 'page');
  const vite = path.join(root, 'node_modules/vite/bin/vite.js');
  await run(process.execPath, [
    vite,
    'build',
    path.join(root, 'apps/web'),
    '--outDir',
    webDir,
    '--logLevel',
    'warn',
  ]);
  return webDir;
}

/** The real server on a copy of the demo study, in this process, on any free port. */
export async function servedCopy(): Promise<ServedCopy> {
  const home = await mkdtemp(path.join(tmpdir(), 'striderule-page-'));
  const folder = path.join(home, 'tern');
  await cp(demo, folder, { recursive: true, filter: (name) => path.basename(name) !== 'results' });
  const webDir = await builtPage(home);
  const server = await serveStudy({ folder, webDir });
  return {
    folder,
    webDir,
    server,
    origin: new URL(server.url).origin,
    async end() {
      await server.close();
      await rm(home, { recursive: true, force: true });
    },
  };
}
