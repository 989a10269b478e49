import { Hono } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { checkHost, checkOrigin, checkToken, enter, type Gate } from './guard.ts';
import { importRoutes } from './import-routes.ts';
import type { Jobs } from './jobs.ts';
import type { KeptStudy } from './kept-study.ts';
import { pageFiles } from './page-files.ts';
import { ratioRoutes } from './ratio-routes.ts';
import { notFound, refuse } from './refusal.ts';
import { requirementRoutes } from './requirement-routes.ts';
import { securityHeaders } from './security-headers.ts';
import { studyRoutes } from './study-routes.ts';
import type { Uploads } from './uploads.ts';
import { workRoutes } from './work-routes.ts';

const LARGEST_BODY = 64 * 1024; // requests name files; one address alone takes a file in, and counts it itself
const FILES = '/api/imports/files';

export interface Serving {
  readonly folder: string;
  readonly study: KeptStudy;
  readonly webDir: string;
  readonly gate: Gate;
  readonly jobs: Jobs;
  readonly uploads: Uploads;
  readonly closing: AbortSignal;
}

/** Every address of the server. Nothing but /enter is answered without the token. */
export function app({ folder, study, webDir, gate, jobs, uploads, closing }: Serving): Hono {
  const all = new Hono();
  all.use(securityHeaders, checkHost(gate), checkOrigin(gate));
  all.get('/enter', enter(gate));
  all.use(checkToken(gate));
  const small = bodyLimit({
    maxSize: LARGEST_BODY,
    onError: (c) =>
      refuse(c, 413, {
        code: 'server.body-too-large',
        what: `a request may hold ${LARGEST_BODY / 1024} kB`,
        mend: 'Put the file into the study folder and name it',
      }),
  });
  all.use((c, next) => (c.req.path === FILES ? next() : small(c, next)));
  all.route('/api/study', studyRoutes(folder, study, closing));
  all.route('/api/imports', importRoutes(folder, jobs, uploads, closing));
  all.route('/api/work', workRoutes(folder, study, jobs));
  all.route('/api/ratios', ratioRoutes(folder));
  all.route('/api/requirements', requirementRoutes(folder));
  all.all('/api/*', notFound);
  all.get('/*', pageFiles(webDir));
  all.notFound(notFound);
  all.onError((error, c) => {
    console.error(error);
    return refuse(c, 500, {
      code: 'server.bug',
      what: `this is a bug in Striderule: ${error.message}`,
      mend: 'Report it with what the terminal says',
    });
  });
  return all;
}
