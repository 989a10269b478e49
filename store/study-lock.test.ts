import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { fingerprintOfBytes } from './fingerprint.ts';
import { saveIfUnchanged } from './save-if-unchanged.ts';
import { withStudyLock } from './study-lock.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'striderule-lock-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const lockFile = () => path.join(folder, '.striderule.lock');

async function otherWriter(): Promise<ChildProcess> {
  const program = fileURLToPath(new URL('./test-lock-holder.ts', import.meta.url));
  const child = spawn(process.execPath, ['--import', 'tsx', program, folder], {
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  await once(child.stdout!, 'data');
  return child;
}

test('the second of two processes is told who writes, since when and what', async () => {
  const child = await otherWriter();
  const { since } = JSON.parse(readFileSync(lockFile(), 'utf8')) as { since: string };
  expect(Math.abs(Date.parse(since) - Date.now())).toBeLessThan(60_000);
  await expect(withStudyLock(folder, async () => 'in', { waitMs: 100 })).rejects.toThrow(
    `${folder}: process ${child.pid} is writing to this study since ${since}: demand import. Wait until it is done, or stop it, and try again.`,
  );
  const waiting = withStudyLock(folder, async () => 'in', { waitMs: 20_000 });
  child.stdin!.end();
  expect(await waiting).toBe('in');
  expect(readdirSync(folder)).toEqual([]);
});

test('the lock of a process that was killed is taken over', async () => {
  const child = await otherWriter();
  const ended = once(child, 'exit');
  child.kill('SIGKILL');
  await ended;
  expect(readdirSync(folder)).toEqual(['.striderule.lock']);
  expect(await withStudyLock(folder, async () => 'in', { waitMs: 0 })).toBe('in');
  expect(readdirSync(folder)).toEqual([]);
});

// elsewhere the start of a process is not known, and the lock holds
test.skipIf(process.platform !== 'linux')(
  'a lock whose process id now belongs to another process is taken over',
  async () => {
    const lock = {
      pid: process.ppid,
      started: '1',
      host: hostname(),
      since: '2026-01-01T00:00:00Z',
      doing: 'a save',
    };
    writeFileSync(lockFile(), JSON.stringify({ ...lock, nonce: 'n' }));
    expect(await withStudyLock(folder, async () => 'in', { waitMs: 0 })).toBe('in');
  },
);

test('a lock of another machine is never taken over: nobody here can tell whether it runs', async () => {
  const lock = {
    pid: 1,
    started: null,
    host: 'bench-room',
    since: '2026-01-01T00:00:00Z',
    doing: 'a save',
    nonce: 'n',
  };
  writeFileSync(lockFile(), JSON.stringify(lock));
  await expect(withStudyLock(folder, async () => 'in', { waitMs: 0 })).rejects.toThrow(
    `${folder}: process 1 on bench-room is writing to this study since 2026-01-01T00:00:00Z: a save. Wait until it is done; if it no longer runs there, delete .striderule.lock.`,
  );
});

test('a lock without content holds while it is young and is taken over when it is old', async () => {
  writeFileSync(lockFile(), '');
  await expect(withStudyLock(folder, async () => 'in', { waitMs: 0 })).rejects.toThrow(
    'another process is writing',
  );
  const old = Date.now() / 1000 - 60;
  utimesSync(lockFile(), old, old);
  expect(await withStudyLock(folder, async () => 'in', { waitMs: 0 })).toBe('in');
});

test('only one at a time, and all get their turn, also behind a dead lock', async () => {
  const pid = spawnSync(process.execPath, ['-e', '']).pid;
  const dead = {
    pid,
    started: null,
    host: hostname(),
    since: '2026-01-01T00:00:00Z',
    doing: 'a save',
    nonce: 'n',
  };
  writeFileSync(lockFile(), JSON.stringify(dead));
  let [inside, most, turns] = [0, 0, 0];
  const work = async () => {
    most = Math.max(most, ++inside);
    await sleep(2);
    inside--;
    turns++;
  };
  await Promise.all(Array.from({ length: 30 }, () => withStudyLock(folder, work, { waitMs: 30_000 })));
  expect([most, turns]).toEqual([1, 30]);
  expect(readdirSync(folder)).toEqual([]);
});

test('who holds the lock may ask again; a throw gives it back', async () => {
  const nested = withStudyLock(folder, () => withStudyLock(folder, async () => 'in', { waitMs: 0 }));
  expect(await nested).toBe('in');
  await expect(withStudyLock(folder, () => Promise.reject(new Error('no')))).rejects.toThrow('no');
  expect(readdirSync(folder)).toEqual([]);
});

test('of two that read the same file the second save is refused, and both versions are kept', async () => {
  const file = path.join(folder, 'requirements.yaml');
  writeFileSync(file, 'as read');
  const read = fingerprintOfBytes('as read');
  const first = await saveIfUnchanged(folder, 'requirements.yaml', read, 'first');
  for (const kept of ['requirements.yaml.mine', 'requirements.yaml.mine-2']) {
    await expect(saveIfUnchanged(folder, 'requirements.yaml', read, `for ${kept}`)).rejects.toThrow(
      `requirements.yaml: this file was changed on disk since it was read, so it was not saved over; your version is in ${kept}. Compare the two, keep what you want in the first and delete the second.`,
    );
    expect(readFileSync(path.join(folder, kept), 'utf8')).toBe(`for ${kept}`);
  }
  expect(readFileSync(file, 'utf8')).toBe('first');
  await saveIfUnchanged(folder, 'requirements.yaml', first, 'second');
  expect(readFileSync(file, 'utf8')).toBe('second');
});

test('a new file is saved if nobody else made it; a deleted one is not brought back silently', async () => {
  await saveIfUnchanged(folder, 'a.yaml', null, 'new');
  await expect(saveIfUnchanged(folder, 'a.yaml', null, 'also new')).rejects.toThrow('changed on disk');
  await expect(saveIfUnchanged(folder, 'b.yaml', fingerprintOfBytes('x'), 'y')).rejects.toThrow(
    'b.yaml: this file was deleted since it was read, so it was not saved over; your version is in b.yaml.mine.',
  );
  expect(readdirSync(folder).sort()).toEqual(['a.yaml', 'a.yaml.mine', 'b.yaml.mine']);
});

test('of ten concurrent savers of one reading exactly one wins and no version is lost', async () => {
  writeFileSync(path.join(folder, 'a.yaml'), 'read');
  const read = fingerprintOfBytes('read');
  const texts = Array.from({ length: 10 }, (_, k) => `version ${k}`);
  const outcomes = await Promise.allSettled(
    texts.map((text) => saveIfUnchanged(folder, 'a.yaml', read, text)),
  );
  expect(outcomes.filter(({ status }) => status === 'fulfilled')).toHaveLength(1);
  const kept = readdirSync(folder).map((name) => readFileSync(path.join(folder, name), 'utf8'));
  expect(kept.sort()).toEqual(texts);
});
