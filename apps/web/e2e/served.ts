import { cp, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { type ServedStudy, serveStudy } from '@striderule/server';
import { buildPage } from '../../../tools/build-page.mjs';

const demo = path.join(import.meta.dirname, '../../../examples/tern');

export interface ServedCopy {
  /** A copy of the demo study, free to be broken. */
  readonly folder: string;
  readonly webDir: string;
  readonly server: ServedStudy;
  readonly origin: string;
  readonly end: () => Promise<void>;
}

/** The real server on a copy of the demo study, in this process, on any free port. The page is the one that `npm start` serves. */
export async function servedCopy(): Promise<ServedCopy> {
  const webDir = buildPage();
  if (webDir === undefined) throw new Error('the page could not be built; the reason stands above');
  const home = await mkdtemp(path.join(tmpdir(), 'striderule-page-'));
  const folder = path.join(home, 'tern');
  await cp(demo, folder, { recursive: true, filter: (name) => path.basename(name) !== 'results' });
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
