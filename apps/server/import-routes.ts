import type { ReadableStream } from 'node:stream/web';
import { Fault, type Recipe } from '@striderule/engine';
import {
  importRecording,
  lookAtRecording,
  previewCsv,
  recipeFromText,
  recipeOf,
  resolveInside,
  type ImportRequest as StoreRequest,
} from '@striderule/store';
import type {
  CheckRequest,
  CsvPreview,
  CsvPreviewRequest,
  ImportDone,
  ImportRequest,
  ImportStarted,
  RecordingChecked,
  UploadDone,
  UploadImportRequest,
} from '@striderule/wire';
import { type Context, Hono } from 'hono';
import { streamSSE } from 'hono/streaming';
import type { Jobs, Work } from './jobs.ts';
import { jsonOf } from './json-body.ts';
import { notFound, refuse } from './refusal.ts';
import type { Upload, Uploads } from './uploads.ts';

/**
 * Makes a task of a recording: begun, followed and stopped by the page, and going on while none is open. The recording is a file of
 * the study, or one that was dropped onto the page; that one can be looked at and checked before.
 */
export function importRoutes(folder: string, jobs: Jobs, uploads: Uploads, closing: AbortSignal): Hono {
  const routes = new Hono();

  routes.post('/files', async (c) => {
    const { body } = c.req.raw;
    const name = c.req.query('name') ?? '';
    return orFaults(c, async () => {
      const { id, size } = await uploads.take(
        name,
        (body ?? new Blob([]).stream()) as ReadableStream<Uint8Array>,
      );
      const done: UploadDone = { upload: id, name, size };
      return c.json(done, 201);
    });
  });

  routes.post('/preview', async (c) => {
    const body = await jsonOf(c);
    if (body instanceof Response) return body;
    const { upload, layout } = (body ?? {}) as Partial<CsvPreviewRequest>;
    if (typeof upload !== 'string' || !isLayout(layout)) return noUpload(c);
    return orFaults(c, async () => {
      const { file, name } = uploads.get(upload);
      const preview: CsvPreview = await previewCsv(file, name, layout);
      return c.json(preview);
    });
  });

  routes.post('/checks', async (c) => {
    const body = await jsonOf(c);
    if (body instanceof Response) return body;
    const { upload, recipe } = (body ?? {}) as Partial<CheckRequest>;
    if (typeof upload !== 'string' || typeof recipe !== 'string') return noUpload(c);
    return orFaults(c, async () => {
      const started: ImportStarted = { id: jobs.start(checkOf(uploads.get(upload), recipe)) };
      return c.json(started, 202);
    });
  });

  routes.post('/', async (c) => {
    const request = await requestOf(c);
    if (request instanceof Response) return request;
    if ('upload' in request)
      return orFaults(c, async () => {
        const { file: csv, name } = uploads.get(request.upload);
        const { recipe: text, task, title } = request;
        const work = importOf({ folder, csv, recipe: { text }, id: task, title }, name);
        const started: ImportStarted = { id: jobs.start(work) };
        return c.json(started, 202);
      });
    try {
      const { file, recipe, task } = request;
      const [csv, recipeFile] = [resolveInside(folder, file), resolveInside(folder, recipe)];
      const started: ImportStarted = {
        id: jobs.start(importOf({ folder, csv, recipe: recipeFile, id: task }, file)),
      };
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

/** The work of one import; `name` is how its progress calls the recording. */
function importOf(request: StoreRequest, name: string): Work {
  return async (signal, onProgress): Promise<ImportDone> => {
    const made = await importRecording({
      ...request,
      signal,
      onProgress: (done, total) => onProgress({ done, total, label: `bytes of ${name}` }),
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

/** The work of one check. A fault of the recording is its answer, not its end: the curves come with it. */
function checkOf({ file, name }: Upload, text: string): Work {
  return async (signal, onProgress): Promise<RecordingChecked> => {
    const about = { id: 'recording', title: 'Recording', name, recipeName: 'recipe' };
    let recipe: Recipe;
    try {
      recipe = recipeOf(recipeFromText('recipe', text).recipe);
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      return { faults: error.faults, curves: [], checks: [] };
    }
    const { curves, recorded, faults } = await lookAtRecording(file, recipe, about, {
      signal,
      onProgress: (done, total) => onProgress({ done, total, label: `bytes of ${name}` }),
    });
    return {
      faults,
      curves: Object.entries(curves).map(([channel, values]) => ({ channel, values: [...values] })),
      checks: recorded?.checks.map(({ verdict, text: said }) => ({ verdict, text: said })) ?? [],
      ...(recorded && {
        strides: recorded.count,
        strideTime: recorded.strideTime.mean,
        stance: recorded.stride.stance,
        ...(recorded.stride.incline !== undefined && { incline: recorded.stride.incline }),
      }),
    };
  };
}

const FIELDS = ['file', 'recipe', 'task'] as const;
const UPLOADED = ['upload', 'recipe', 'task', 'title'] as const;

function isLayout(layout: unknown): layout is CsvPreviewRequest['layout'] {
  if (layout === undefined) return true;
  if (typeof layout !== 'object' || layout === null) return false;
  const { delimiter, decimal, namesLine, dataLine } = layout as Record<string, unknown>;
  const line = (x: unknown) => x === undefined || (Number.isInteger(x) && Number(x) > 0);
  return (
    [undefined, ',', ';', 'tab'].some((each) => each === delimiter) &&
    [undefined, '.', ','].some((each) => each === decimal) &&
    line(namesLine) &&
    line(dataLine)
  );
}

const noUpload = (c: Context): Response =>
  refuse(c, 422, {
    code: 'server.upload-request',
    what: 'the request does not name an `upload` and how to read it',
    mend: 'Use the page that this server serves',
  });

async function orFaults(c: Context, work: () => Promise<Response>): Promise<Response> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    return refuse(c, 422, ...error.faults);
  }
}

/** The request's body, or the refusal it meets. */
async function requestOf(c: Context): Promise<ImportRequest | UploadImportRequest | Response> {
  const body = await jsonOf(c);
  if (body instanceof Response) return body;
  const ask = body as Record<string, unknown> | null | undefined;
  if (typeof ask === 'object' && ask !== null && UPLOADED.every((field) => typeof ask[field] === 'string')) {
    const [upload, recipe, task, title] = UPLOADED.map((field) => ask[field] as string) as [
      string,
      string,
      string,
      string,
    ];
    return { upload, recipe, task, title };
  }
  if (typeof ask === 'object' && ask !== null && FIELDS.every((field) => typeof ask[field] === 'string')) {
    return { file: ask.file as string, recipe: ask.recipe as string, task: ask.task as string };
  }
  return refuse(c, 422, {
    code: 'server.import-request',
    what: 'the request does not name `file`, `recipe` and `task`',
    mend: 'Send all three as text',
  });
}
