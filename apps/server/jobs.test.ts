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
