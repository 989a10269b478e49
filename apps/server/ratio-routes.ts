import { type DrivenJoint, Fault } from '@striderule/engine';
import { editRatios, lineDiff, saveIfUnchanged } from '@striderule/store';
import type { RatioPreview, RatioRequest, SaveDone } from '@striderule/wire';
import { type Context, Hono } from 'hono';
import { jsonOf } from './json-body.ts';
import { refuse } from './refusal.ts';

/** Shows what new ratios change in the leg file, and saves exactly what was shown. */
export function ratioRoutes(folder: string): Hono {
  const routes = new Hono();

  routes.post('/preview', async (c) => {
    const body = await jsonOf(c);
    if (body instanceof Response) return body;
    const ratios = ratiosOf(body);
    if (ratios === undefined) return noRatios(c);
    return orFaults(c, async () => {
      const { file, sha256, before, after } = await editRatios(folder, ratios);
      const preview: RatioPreview = { file, sha256, changes: lineChanges(before, after) };
      return c.json(preview);
    });
  });

  routes.post('/', async (c) => {
    const body = await jsonOf(c);
    if (body instanceof Response) return body;
    const ratios = ratiosOf(body);
    const sha256 = (body as { sha256?: unknown } | null | undefined)?.sha256;
    if (ratios === undefined || typeof sha256 !== 'string') return noRatios(c);
    return orFaults(c, async () => {
      const { file, after } = await editRatios(folder, ratios);
      const done: SaveDone = { file, sha256: await saveIfUnchanged(folder, file, sha256, after) };
      return c.json(done);
    });
  });
  return routes;
}

const JOINTS: readonly DrivenJoint[] = ['knee', 'ankle'];

/** At least one joint, each with a number above zero; undefined where the body is anything else. */
function ratiosOf(body: unknown): RatioRequest['ratios'] | undefined {
  const ratios = (body as Partial<RatioRequest> | null | undefined)?.ratios;
  if (typeof ratios !== 'object' || ratios === null) return undefined;
  const entries = Object.entries(ratios);
  const sound = entries.every(
    ([joint, ratio]) => JOINTS.some((known) => known === joint) && Number.isFinite(ratio) && ratio > 0,
  );
  return sound && entries.length > 0 ? ratios : undefined;
}

function noRatios(c: Context): Response {
  return refuse(c, 422, {
    code: 'server.ratio-request',
    what: 'the request does not name `ratios` above zero by `knee` or `ankle`, and on saving the `sha256` of what was shown',
    mend: 'Use the page that this server serves',
  });
}

/** The files stay line by line: an edit of values neither adds nor takes lines, save where a value had several. */
function lineChanges(before: string, after: string): RatioPreview['changes'] {
  const [was, is] = [before.split('\n'), after.split('\n')];
  if (was.length === is.length)
    return was.flatMap((line, k) => {
      const now = is[k] ?? '';
      return line === now ? [] : [{ line: k + 1, before: line, after: now }];
    });
  const run = lineDiff(before, after);
  return run === null ? [] : [{ line: run.line, before: run.before.join('\n'), after: run.after.join('\n') }];
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
