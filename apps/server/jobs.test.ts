import { setTimeout as sleep } from 'node:timers/promises';
import { Fault } from '@striderule/engine';
import { expect, test } from 'vitest';
import { type JobEvent, Jobs } from './jobs.ts';

async function all(jobs: Jobs, id: string): Promise<JobEvent[]> {
  const seen: JobEvent[] = [];
  for await (const event of jobs.events(id)) seen.push(event);
  return seen;
}

/** Counts to ten, a step each turn of the event loop. */
const counting = async (
  signal: AbortSignal,
  onProgress: (at: { done: number; total: number; label: string }) => void,
) => {
  for (let done = 1; done <= 10; done++) {
    await sleep(1);
    signal.throwIfAborted();
    onProgress({ done, total: 10, label: 'counted' });
  }
  return 'ten';
};

test('progress comes in order, the result once and last, to each listener', async () => {
  const jobs = new Jobs();
  const id = jobs.start(counting);
  for (const seen of await Promise.all([all(jobs, id), all(jobs, id)])) {
    const counts = seen.flatMap((event) => (event.event === 'progress' ? [event.data.done] : []));
    expect(counts).toEqual([...counts].sort((a, b) => a - b));
    expect(counts.at(-1)).toBe(10);
    expect(seen.at(-1)).toEqual({ event: 'done', data: 'ten' });
    expect(seen).toHaveLength(counts.length + 1);
  }
  expect(await all(jobs, id)).toEqual([{ event: 'done', data: 'ten' }]); // whoever comes late
});

test('a job that is cancelled says so; one that is done already stays done', async () => {
  const jobs = new Jobs();
  const id = jobs.start(counting);
  for await (const { event } of jobs.events(id)) if (event === 'progress') jobs.cancel(id);
  expect(await all(jobs, id)).toEqual([{ event: 'cancelled', data: {} }]);
  const done = jobs.start(async () => 'at once');
  await all(jobs, done);
  jobs.cancel(done);
  expect(await all(jobs, done)).toEqual([{ event: 'done', data: 'at once' }]);
});

test('a fault arrives with all it says; anything else as the work that stopped', async () => {
  const jobs = new Jobs();
  const fault = { code: 'store.x', what: 'it is so', mend: 'Mend it', place: { file: 'a.csv', line: 3 } };
  expect(
    await all(
      jobs,
      jobs.start(() => Promise.reject(new Fault(fault))),
    ),
  ).toEqual([{ event: 'fault', data: { faults: [fault] } }]);
  const [end] = await all(
    jobs,
    jobs.start(() => Promise.reject(new Error('no such thing'))),
  );
  expect(end).toMatchObject({
    event: 'fault',
    data: { faults: [{ what: 'the work stopped: no such thing' }] },
  });
});

test('stopping all waits until each has put its things in order', async () => {
  const jobs = new Jobs();
  let inOrder = 0;
  const tidy = async (signal: AbortSignal) => {
    await sleep(60_000, undefined, { signal }).catch(() => {});
    await sleep(20);
    inOrder++;
    signal.throwIfAborted();
  };
  for (let k = 0; k < 3; k++) jobs.start(tidy);
  await sleep(5);
  await jobs.stopAll();
  expect(inOrder).toBe(3);
});

test('old jobs are forgotten once they have ended, running ones never', async () => {
  const jobs = new Jobs();
  const running = jobs.start((signal) => sleep(60_000, undefined, { signal }));
  const ended: string[] = [];
  for (let k = 0; k < 30; k++) {
    ended.push(jobs.start(async () => k));
    await all(jobs, ended.at(-1)!);
  }
  expect([jobs.has(running), jobs.has(ended[0]!), jobs.has(ended[29]!)]).toEqual([true, false, true]);
  await jobs.stopAll();
});

test('parts are all kept in their order, to be read from any one on; what is asked again is found while it goes on and once it is done', async () => {
  const jobs = new Jobs();
  const work = async (signal: AbortSignal, _: unknown, onPart: (part: unknown) => void) => {
    for (let k = 0; k < 5; k++) onPart(k);
    await sleep(20, undefined, { signal });
    onPart(5);
  };
  const id = jobs.start(work, 'five');
  await sleep(5);
  expect([jobs.find('five'), jobs.find('six'), jobs.goesOn(id)]).toEqual([id, undefined, true]);
  expect(jobs.news(id, 3)).toEqual({ parts: [3, 4], latest: undefined });
  await all(jobs, id);
  expect([jobs.find('five'), jobs.goesOn(id)]).toEqual([id, false]);
  expect(jobs.news(id, 0).parts).toEqual([0, 1, 2, 3, 4, 5]);
  const other = jobs.start(work, 'six');
  await sleep(5);
  jobs.cancel(other);
  expect([jobs.find('six'), jobs.goesOn(other)]).toEqual([undefined, false]); // it has been asked to stop
  await all(jobs, other);
  expect(jobs.news(other, 0).parts).toEqual([0, 1, 2, 3, 4]);
  const failed = jobs.start(() => Promise.reject(new Error('no')), 'never');
  await all(jobs, failed);
  expect(jobs.find('never')).toBeUndefined();
});
