import { setMaxListeners } from 'node:events';
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { serve } from '@hono/node-server';
import { Fault } from '@striderule/engine';
import { app } from './app.ts';
import { newToken } from './guard.ts';
import { Jobs } from './jobs.ts';
import { keepStudy } from './kept-study.ts';
import { Uploads } from './uploads.ts';

/** Bytes of a file that may be dropped onto the page: an hour at 1 kHz. Our choice; the command line takes any size. */
const LARGEST_UPLOAD = 512 * 2 ** 20;

export interface ServedStudy {
  /** The address to open, with the token of this start. */
  readonly url: string;
  readonly port: number;
  /** Stops imports, ends event streams, frees the port. */
  readonly close: () => Promise<void>;
}

/**
 * Serves one study and its page on 127.0.0.1 only. `webDir` is the built page. `port` 0, as left out, takes any free
 * one; a taken one rejects with the system's EADDRINUSE.
 */
export async function serveStudy({
  folder,
  webDir,
  port = 0,
}: {
  readonly folder: string;
  readonly webDir: string;
  readonly port?: number;
}): Promise<ServedStudy> {
  const token = newToken();
  const jobs = new Jobs();
  const uploads = new Uploads(LARGEST_UPLOAD);
  const closing = new AbortController();
  setMaxListeners(0, closing.signal); // every open page waits on it: their number is no leak
  let listening = 0;
  const study = keepStudy(folder);
  // whoever opens the page waits for nothing that could be done before; a study with a fault says so when it is asked for
  await study().catch((error) => {
    if (!(error instanceof Fault)) throw error;
  });
  const { fetch } = app({
    folder,
    study,
    webDir,
    gate: { token, port: () => listening },
    jobs,
    uploads,
    closing: closing.signal,
  });
  const server = await new Promise<Server>((resolve, reject) => {
    const made = serve({ fetch, hostname: '127.0.0.1', port }, () => resolve(made)) as Server;
    made.once('error', reject);
  });
  listening = (server.address() as AddressInfo).port;
  let closed: Promise<void> | undefined;
  const close = async () => {
    const freed = new Promise<void>((resolve) => server.close(() => resolve()));
    await jobs.stopAll();
    await uploads.end();
    closing.abort();
    // a connection falls idle when its stream has ended; what has not after half a second is cut off
    const sweep = setInterval(() => server.closeIdleConnections(), 10);
    const cut = setTimeout(() => server.closeAllConnections(), 500);
    await freed;
    clearInterval(sweep);
    clearTimeout(cut);
  };
  return {
    url: `http://127.0.0.1:${listening}/enter?token=${token}`,
    port: listening,
    close: () => (closed ??= close()),
  };
}
