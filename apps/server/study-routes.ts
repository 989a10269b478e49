import { readdir } from 'node:fs/promises';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { Fault } from '@striderule/engine';
import { canonicalJson, evidenceOf, openStudy } from '@striderule/store';
import type { FolderState, HazardsPayload, LegsPayload } from '@striderule/wire';
import { Hono } from 'hono';
import { compress } from 'hono/compress';
import { type SSEStreamingApi, streamSSE } from 'hono/streaming';
import { changedFiles, looksOf, stateOf } from './folder-state.ts';
import type { KeptStudy, ReadStudy } from './kept-study.ts';
import { refuse } from './refusal.ts';
import { legAsSent } from './sent-leg.ts';
import { takesGzip } from './takes-gzip.ts';

const LOOK_MS = 300;
const BEAT_MS = 15_000; // shorter than proxies and browsers take a silent stream for dead

/** The study as it is on disk now, and word of each change. `closing` ends the streams. */
export function studyRoutes(folder: string, study: KeptStudy, closing: AbortSignal): Hono {
  const routes = new Hono();

  routes.get('/', async (c) => {
    let body: ReadStudy;
    try {
      body = await study();
    } catch (error) {
      if (error instanceof Fault) return refuse(c, 422, ...error.faults);
      throw error;
    }
    c.header('Cache-Control', 'no-store');
    c.header('Content-Type', 'application/json; charset=utf-8');
    c.header('Vary', 'Accept-Encoding');
    if (!takesGzip(c)) return c.body(body.text);
    c.header('Content-Encoding', 'gzip');
    return c.body(body.packed);
  });

  routes.get('/legs', compress(), async (c) => {
    c.header('Cache-Control', 'no-store');
    c.header('Content-Type', 'application/json; charset=utf-8');
    return c.body(canonicalJson(await legsOf(folder)));
  });

  routes.get('/hazards', async (c) => {
    c.header('Cache-Control', 'no-store');
    try {
      const { hazards } = await openStudy(folder);
      const payload: HazardsPayload = {
        hazards: hazards.map(({ id, hazard, measure, shownBy }) => ({
          ...{ id, hazard, measure },
          evidence: evidenceOf(shownBy),
        })),
      };
      return c.json(payload);
    } catch (error) {
      if (error instanceof Fault) return refuse(c, 422, ...error.faults);
      throw error;
    }
  });

  routes.get('/changes', (c) => streamSSE(c, (stream) => tellChanges(stream, folder, closing)));
  return routes;
}

/** Every leg of the study that can be read; names of the others. */
async function legsOf(folder: string): Promise<LegsPayload> {
  const names = (await readdir(path.join(folder, 'legs')).catch(() => []))
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => name.slice(0, -'.yaml'.length))
    .sort();
  const legs: LegsPayload['legs'][number][] = [];
  const faulty: string[] = [];
  for (const name of names) {
    try {
      const { leg, spreads } = (await openStudy(folder, { leg: name })).input;
      legs.push({ name, ...legAsSent(leg, spreads) });
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      faulty.push(name);
    }
  }
  return { legs, faulty };
}

async function tellChanges(stream: SSEStreamingApi, folder: string, closing: AbortSignal): Promise<void> {
  let told = await looksOf(folder);
  let seen = told;
  const tell = (event: FolderState) => stream.writeSSE({ event: 'state', data: JSON.stringify(event) });
  await tell({ state: stateOf(told), files: [] });
  // ms of the last two looks: one alone is long where the study is read meanwhile, which says nothing of the disk
  let took = [0, 0];
  let beat = Date.now();
  while (!stream.aborted && !closing.aborted) {
    await sleep(Math.max(LOOK_MS, 20 * Math.min(...took)), undefined, { signal: closing }).catch(() => {});
    const start = performance.now();
    const now = await looksOf(folder);
    took = [took[1]!, performance.now() - start]; // a large study on a slow disk is looked at less often
    const settled = changedFiles(seen, now).length === 0; // an editor may write in several steps
    seen = now;
    const files = changedFiles(told, now);
    if (settled && files.length > 0) {
      told = now;
      await tell({ state: stateOf(now), files });
    } else if (Date.now() - beat > BEAT_MS) {
      beat = Date.now();
      await stream.writeSSE({ event: 'beat', data: '' });
    }
  }
}
