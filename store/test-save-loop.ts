// A program for the kill tests: saves numbered versions of one file, as fast as it can, until it is killed.
//   argv: file, first version. Prints `ready` after its first save.
import { writeFileAtomic } from './atomic-write.ts';
import { versionText } from './test-version-text.ts';

const [file, first] = process.argv.slice(2) as [string, string];
for (let version = Number(first); ; version++) {
  await writeFileAtomic(file, versionText(version));
  if (version === Number(first)) process.stdout.write('ready\n');
}
