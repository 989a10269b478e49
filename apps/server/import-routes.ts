import { Fault } from '@striderule/engine';
import { importRecording, resolveInside } from '@striderule/store';
import type { ImportDone, ImportRequest, ImportStarted } from '@striderule/wire';
import { type Context, Hono } from 'hono';
import { streamSSE } from 'hono/streaming';
import type { Jobs, Work } from './jobs.ts';
import { jsonOf } from './json-body.ts';
import { notFound, refuse } from './refusal.ts';

/** Makes a task of a recording: begun, followed and stopped by the page, and going on while none is open. */
export function importRoutes(folder: string, jobs: Jobs, closing: AbortSignal): Hono {
  const routes = new Hono();

  routes.post('/', async (c) => {
    const request = await requestOf(c);
    if (request instanceof Response) return request;
    try {
      const started: ImportStarted = { id: jobs.start(importOf(folder, request)) };
      return c.json(started, 202);
    } catch (error) {
      if (error instanceof Fault) return refuse(c, 403, ...error.faults);
      throw error;
    }
  });

  routes.get('/:id/events', (c) => {
    const id = c.req.param('id');
    if (!jobs.has(id)) return notFound(c);
    return streamSSE(c, async (stream) => {
      for await (const { event, data } of jobs.events(id)) {
        if (stream.aborted || closing.aborted) return;
        await stream.writeSSE({ event, data: JSON.stringify(data) });
      }
    });
  });

  routes.delete('/:id', (c) => {
    const id = c.req.param('id');
    if (!jobs.has(id)) return notFound(c);
    jobs.cancel(id);
    return c.json({}, 202);
  });
  return routes;
}

/** The work of one import. Paths that leave the study are a fault before anything is begun. */
function importOf(folder: string, { file, recipe, task }: ImportRequest): Work {
  const [csv, recipeFile] = [resolveInside(folder, file), resolveInside(folder, recipe)];
  return async (signal, onProgress): Promise<ImportDone> => {
    const made = await importRecording({
      folder,
      csv,
      recipe: recipeFile,
      id: task,
      signal,
      onProgress: (done, total) => onProgress({ done, total, label: `bytes of ${file}` }),
    });
    return {
      task: made.task,
      file: made.file,
      sha256: made.sha256,
      strides: made.count,
      checks: made.checks.map(({ verdict, text }) => ({ verdict, text })),
    };
  };
}

const FIELDS = ['file', 'recipe', 'task'] as const;

/** The request's body, or the refusal it meets. */
async function requestOf(c: Context): Promise<ImportRequest | Response> {
  const body = await jsonOf(c);
  if (body instanceof Response) return body;
  const ask = body as Record<string, unknown> | null | undefined;
  if (typeof ask === 'object' && ask !== null && FIELDS.every((field) => typeof ask[field] === 'string')) {
    return { file: ask.file as string, recipe: ask.recipe as string, task: ask.task as string };
  }
  return refuse(c, 422, {
    code: 'server.import-request',
    what: 'the request does not name `file`, `recipe` and `task`',
    mend: 'Send all three as text',
  });
}
