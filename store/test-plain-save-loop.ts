// As test-save-loop.ts, but with a plain write in place: what the kill series must catch.
import { writeFile } from 'node:fs/promises';
import { versionText } from './test-version-text.ts';

const [file, first] = process.argv.slice(2) as [string, string];
for (let version = Number(first); ; version++) {
  await writeFile(file, versionText(version));
  if (version === Number(first)) process.stdout.write('ready\n');
}
