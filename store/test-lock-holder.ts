// A program for the lock tests: takes the lock of argv[2], prints `held`, holds it until its input ends.
import { withStudyLock } from './study-lock.ts';

const folder = process.argv[2]!;
await withStudyLock(
  folder,
  async () => {
    process.stdout.write('held\n');
    for await (const _ of process.stdin);
  },
  { doing: 'demand import' },
);
