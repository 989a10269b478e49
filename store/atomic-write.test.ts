import { execFileSync, spawnSync } from 'node:child_process';
import {
  chmodSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { writeFileAtomic } from './atomic-write.ts';
import { HOST_TAG } from './process-identity.ts';
import { killSeries } from './test-kill-series.ts';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'striderule-atomic-'));
  chmodSync(folder, 0o755);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const make = (name: string): string => {
  const made = path.join(folder, name);
  mkdirSync(made);
  return made;
};

/** A process id that surely no longer runs. */
const deadPid = (): number => spawnSync(process.execPath, ['-e', '']).pid;

test('saves, keeps the mode, leaves nothing beside', async () => {
  const home = make('plain');
  const file = path.join(home, 'leg.yaml');
  await writeFileAtomic(file, 'one');
  chmodSync(file, 0o640);
  await writeFileAtomic(file, 'two');
  expect(readFileSync(file, 'utf8')).toBe('two');
  expect(statSync(file).mode & 0o777).toBe(0o640);
  expect(readdirSync(home)).toEqual(['leg.yaml']);
});

test('a link stays a link: the file it points to is saved', async () => {
  const home = make('link');
  writeFileSync(path.join(home, 'real.yaml'), 'one');
  symlinkSync('real.yaml', path.join(home, 'leg.yaml'));
  await writeFileAtomic(path.join(home, 'leg.yaml'), 'two');
  expect(readFileSync(path.join(home, 'real.yaml'), 'utf8')).toBe('two');
});

test('twenty saves of one file at once leave one of them, whole', async () => {
  const file = path.join(make('at-once'), 'leg.yaml');
  const texts = Array.from({ length: 20 }, (_, k) => String(k).repeat(50_000));
  await Promise.all(texts.map((text) => writeFileAtomic(file, text)));
  expect(texts).toContain(readFileSync(file, 'utf8'));
});

test("removes what a killed process left, and nothing of anybody else's", async () => {
  const home = make('leftovers');
  const dead = `.leg.yaml.${HOST_TAG}-${deadPid()}-3.striderule-tmp`;
  const foreign = [
    '.leg.yaml.swp',
    `.leg.yaml.${HOST_TAG}-${process.ppid}-1.striderule-tmp`, // runs
    '.leg.yaml.00000000-1-1.striderule-tmp', // another machine
    `leg.yaml.${HOST_TAG}-1-1.striderule-tmp`, // not our form
  ];
  for (const name of [dead, ...foreign]) writeFileSync(path.join(home, name), 'x');
  const stuck = dead.replace('-3.', '-4.'); // a folder under such a name is in nobody's way
  mkdirSync(path.join(home, stuck));
  await writeFileAtomic(path.join(home, 'leg.yaml'), 'one');
  expect(readdirSync(home).sort()).toEqual([...foreign, stuck, 'leg.yaml'].sort());
});

test('no folder, and a folder in the way, are faults', async () => {
  const home = make('wrong');
  await expect(writeFileAtomic(path.join(home, 'legs', 'a.yaml'), '')).rejects.toThrow(
    `${home}/legs/a.yaml: there is no folder ${home}/legs. Make the folder first, or correct the path.`,
  );
  await expect(writeFileAtomic(home, '')).rejects.toThrow(
    `${home}: a folder of this name stands in the way. Rename the folder, or save under another name.`,
  );
});

test('kill -9 during save, 20 times: always a whole version, and no temporary file stays', async () => {
  const { left } = await killSeries(20);
  expect(left).toEqual(['.notes.yaml.swp', 'leg.yaml']);
});

const MODULE = JSON.stringify(fileURLToPath(new URL('./atomic-write.ts', import.meta.url)));

/** A program that runs `before`, saves text of each size in turn and prints what came of it, a line each. */
function saver(file: string, sizes: readonly number[], before = ''): string[] {
  const script = `import { writeFileAtomic } from ${MODULE}; import fs from 'node:fs'; ${before};
    for (const size of ${JSON.stringify(sizes)}) await writeFileAtomic(${JSON.stringify(file)}, 'n'.repeat(size))
      .then(() => console.log('saved'), (e) => console.log(e.message));
    console.log(fs.readFileSync(${JSON.stringify(file)}, 'utf8').length, ...fs.readdirSync(${JSON.stringify(path.dirname(file))}));`;
  return ['--import', 'tsx', '--input-type=module', '-e', script];
}

const saveElsewhere = (file: string, size: number, before: string): string[] =>
  execFileSync(process.execPath, saver(file, [size], before), { encoding: 'utf8' })
    .trim()
    .split('\n');

test('a full disk is said, the old file is whole and no temporary file stays', ({ skip }) => {
  const disk = make('small-disk');
  const file = path.join(disk, 'leg.yaml');
  // a disk of 64 kB in a mount space of its own, which ends with the process; without root in a user space of its own
  const space = ['--mount', ...(process.getuid?.() === 0 ? [] : ['--map-root-user'])];
  const mount = `mount -t tmpfs -o size=64k tmpfs "${disk}" || exit 77`;
  const run = spawnSync(
    'unshare',
    [...space, 'sh', '-c', `${mount}; exec "$0" "$@"`, process.execPath, ...saver(file, [30_000, 60_000])],
    { encoding: 'utf8' },
  );
  if (run.error || run.status === 77 || /^unshare:/.test(run.stderr)) {
    skip(`a small disk cannot be mounted here: ${run.error?.message ?? run.stderr.trim()}`);
  }
  expect(run.stdout.trim().split('\n')).toEqual([
    'saved',
    `${file}: the disk has no room for it (ENOSPC); what stood there is untouched. Free some space, or raise the quota, and save again.`,
    '30000 leg.yaml',
  ]);
});

test.skipIf(process.platform === 'win32')('so is a limit on the size of files', () => {
  const file = path.join(make('limit'), 'leg.yaml');
  // 100 blocks of 512 or 1024 bytes, by the shell; the signal that comes with it is ignored so that the error is seen
  const limited = `trap '' XFSZ; ulimit -f 100; exec "$0" "$@"`;
  const lines = execFileSync('sh', ['-c', limited, process.execPath, ...saver(file, [30_000, 600_000])], {
    encoding: 'utf8',
    env: { ...process.env, TSX_DISABLE_CACHE: '1' },
  });
  expect(lines.trim().split('\n')).toEqual([
    'saved',
    `${file}: the disk has no room for it (EFBIG); what stood there is untouched. Free some space, or raise the quota, and save again.`,
    '30000 leg.yaml',
  ]);
});

// root passes over modes: where we are root the child becomes nobody (65534) first
const asNobody = process.getuid?.() === 0 ? 'process.setgid(65534); process.setuid(65534)' : '';

test.skipIf(process.platform === 'win32')('a read-only folder is said and the old file is whole', () => {
  const home = make('read-only');
  const file = path.join(home, 'leg.yaml');
  writeFileSync(file, 'old');
  chmodSync(file, 0o666);
  chmodSync(home, 0o555);
  expect(saveElsewhere(file, 9, asNobody)).toEqual([
    `${file}: nothing may be written in ${home} (EACCES); what stood there is untouched. Ask for the right to write in that folder, or copy the study to a folder of your own.`,
    '3 leg.yaml',
  ]);
  chmodSync(home, 0o755);
  expect(readFileSync(file, 'utf8')).toBe('old');
});

test.skipIf(process.platform === 'win32')('a read-only file in a writable folder is not replaced', () => {
  const home = make('read-only-file');
  const file = path.join(home, 'leg.yaml');
  writeFileSync(file, 'old');
  chmodSync(file, 0o444);
  chmodSync(home, 0o777);
  expect(saveElsewhere(file, 9, asNobody)).toEqual([
    `${file}: this file is read-only (EACCES); it is untouched. Make it writable, or save under another name.`,
    '3 leg.yaml',
  ]);
  expect(readFileSync(file, 'utf8')).toBe('old');
});
