import { Fault } from '@striderule/engine';
import { changedLines, type FileEdit, saveIfUnchanged } from '@striderule/store';
import type { FilePreview, SaveDone } from '@striderule/wire';
import { type Context, Hono } from 'hono';
import { jsonOf } from './json-body.ts';
import { refuse } from './refusal.ts';

/** One kind of change to one file of the study. */
export interface Editing<Edits> {
  /** The change that a body asks for; undefined where it asks for none. */
  readonly read: (body: unknown) => Edits | undefined;
  /** What a body must be, for those who sent another. */
  readonly refusal: { readonly code: string; readonly what: string };
  readonly edit: (folder: string, edits: Edits) => Promise<FileEdit>;
}

/** Shows which lines a change would change, and saves exactly what was shown. */
export function editRoutes<Edits>(folder: string, { read, refusal, edit }: Editing<Edits>): Hono {
  const routes = new Hono();
  const refused = (c: Context): Response =>
    refuse(c, 422, { ...refusal, mend: 'Use the page that this server serves' });

  routes.post('/preview', async (c) => {
    const body = await jsonOf(c);
    if (body instanceof Response) return body;
    const edits = read(body);
    if (edits === undefined) return refused(c);
    return orFaults(c, async () => {
      const { file, sha256, before, after } = await edit(folder, edits);
      const preview: FilePreview = { file, sha256, changes: changedLines(before, after) };
      return c.json(preview);
    });
  });

  routes.post('/', async (c) => {
    const body = await jsonOf(c);
    if (body instanceof Response) return body;
    const edits = read(body);
    const sha256 = (body as { sha256?: unknown } | null | undefined)?.sha256;
    if (edits === undefined || typeof sha256 !== 'string') return refused(c);
    return orFaults(c, async () => {
      const { file, after } = await edit(folder, edits);
      const done: SaveDone = { file, sha256: await saveIfUnchanged(folder, file, sha256, after) };
      return c.json(done);
    });
  });
  return routes;
}

const CONFLICTS = ['store.changed-on-disk', 'store.study-locked'];

async function orFaults(c: Context, work: () => Promise<Response>): Promise<Response> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    const conflict = error.faults.some(({ code }) => CONFLICTS.includes(code));
    return refuse(c, conflict ? 409 : 422, ...error.faults);
  }
}
