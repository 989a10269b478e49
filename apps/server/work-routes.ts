import { Fault } from '@striderule/engine';
import type {
  WorkAsk,
  WorkEnd,
  WorkFound,
  WorkNews,
  WorkParts,
  WorkRequest,
  WorkStarted,
} from '@striderule/wire';
import { type Context, Hono } from 'hono';
import { type AskedDesign, askedDesigns, StaleDesign } from './asked-design.ts';
import type { JobEvent, Jobs } from './jobs.ts';
import { jsonOf } from './json-body.ts';
import type { KeptStudy } from './kept-study.ts';
import { longWork, type WorkedOut } from './long-work.ts';
import { notFound, refuse } from './refusal.ts';
import { sentNumber } from './sent-number.ts';
import { workRequest } from './work-request.ts';

/**
 * Long work, begun, followed and stopped by the page, and going on while none is open. Whoever asks the same again finds it, or what came of it.
 * Of one kind there is one at a time, and so at most four: each takes all cores, and the one before is of no use to a page that asks for
 * another. The page asks for news again and again: a stream for each would soon use up the six connections that a browser opens to one server.
 */
export function workRoutes(folder: string, study: KeptStudy, jobs: Jobs): Hono {
  const routes = new Hono();
  const designOf = askedDesigns(folder, study);
  const latest = new Map<WorkAsk['kind'], string>();

  /** Answers with what `then` makes of a request that is sound, or with the refusal it meets. */
  const asked = async (
    c: Context,
    then: (request: WorkRequest, design: AskedDesign) => Response,
    stale: (error: StaleDesign) => Response,
  ): Promise<Response> => {
    const body = await jsonOf(c);
    if (body instanceof Response) return body;
    const request = workRequest(body);
    if (!('ask' in request)) return refuse(c, 422, ...request);
    try {
      return then(request, await designOf(request));
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      return error instanceof StaleDesign ? stale(error) : refuse(c, 422, ...error.faults);
    }
  };

  routes.post('/', (c) =>
    asked(
      c,
      ({ ask, anew }, { input, key }) => {
        let id = jobs.find(key);
        if (id === undefined || (anew === true && !jobs.goesOn(id))) {
          const before = latest.get(ask.kind);
          if (before !== undefined) jobs.cancel(before);
          id = jobs.start(longWork(input, ask), key);
          latest.set(ask.kind, id);
        }
        const started: WorkStarted = { id };
        return c.json(started, 202);
      },
      ({ faults }) => refuse(c, 409, ...faults),
    ),
  );

  routes.post('/find', (c) =>
    asked(
      c,
      (_, { key }) => {
        const id = jobs.find(key);
        const found: WorkFound = id === undefined ? {} : { id };
        return c.json(found);
      },
      // of a study that has become another there is nothing to be found
      () => c.json({} satisfies WorkFound),
    ),
  );

  routes.get('/:id', (c) => {
    const id = c.req.param('id');
    const from = Number(c.req.query('from') ?? 0);
    if (!jobs.has(id)) return notFound(c);
    if (!Number.isInteger(from) || from < 0)
      return refuse(c, 422, {
        code: 'server.work-news',
        what: '`from` is no number of parts',
        mend: 'Give how many parts are known already',
      });
    c.header('Cache-Control', 'no-store');
    c.header('Content-Type', 'application/json; charset=utf-8');
    return c.body(JSON.stringify(newsOf(jobs.news(id, from)), sentNumber));
  });

  routes.delete('/:id', (c) => {
    const id = c.req.param('id');
    if (!jobs.has(id)) return notFound(c);
    jobs.cancel(id);
    return c.json({}, 202);
  });
  return routes;
}

function newsOf({ parts, latest }: ReturnType<Jobs['news']>): WorkNews {
  return {
    parts: parts as WorkParts[WorkAsk['kind']][],
    ...(latest?.event === 'progress' && { progress: latest.data }),
    ...(latest !== undefined && latest.event !== 'progress' && { end: endOf(latest) }),
  };
}

function endOf(end: Exclude<JobEvent, { readonly event: 'progress' }>): WorkEnd {
  if (end.event === 'fault') return { kind: 'faults', faults: end.data.faults };
  if (end.event === 'cancelled') return { kind: 'cancelled' };
  const came = end.data as WorkedOut;
  return 'took' in came ? { kind: 'done', took: came.took } : { kind: 'open', because: came.openBecause };
}
