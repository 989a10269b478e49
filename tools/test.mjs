// Runs every test (unit, property, reference, examples, command line, browser, and the gates: types, lint, fence,
// dead code, docs) and closes with one plain line that any CI can read: `N passed, N failed, N skipped`.
//
//   npm test                 everything but *.long.test.ts
//   npm test -- engine/gait  only files whose path contains this
//   npm run test:long        everything, with coverage
//
// A file that does not load and an unhandled error each count as one failure. With CI=true a skip fails the run:
// a machine that lacks a tool must not pass for one that has tested it. Exit 0: nothing failed; 1 otherwise.

import './bootstrap.mjs';

const args = process.argv.slice(2);
const long = args.includes('--long');
if (long) process.env.STRIDERULE_LONG = '1';
const strict = process.env.CI === 'true';

// ends with the closing line and nothing after it, whatever happens before
const { startVitest } = await import('vitest/node');
const vitest = await startVitest(
  'test',
  args.filter((argument) => !argument.startsWith('-')),
  { run: true, watch: false, coverage: { enabled: long || args.includes('--coverage') } },
);

const files = vitest.state.getTestModules();
const tests = files.flatMap((file) => [...file.children.allTests()]);
const inState = (state) => tests.filter((test) => test.result().state === state);
const passed = inState('passed').length;
const skipped = inState('skipped');
const unfinished = inState('pending').length; // interrupted, or a hook before it threw
// a file that failed although none of its tests did: it did not load, or a hook threw
const broken = files.filter(
  (file) =>
    file.state() === 'failed' &&
    ![...file.children.allTests()].some((test) => test.result().state === 'failed'),
).length;
const unhandled = vitest.state.getUnhandledErrors().length;
const failed = inState('failed').length + unfinished + broken + unhandled;
await vitest.close();

if (skipped.length > 0) {
  console.log('\nSkipped:');
  for (const test of skipped) {
    const { note } = test.result();
    console.log(`  ${test.module.relativeModuleId}: ${test.fullName}${note ? ` (${note})` : ''}`);
  }
}
if (tests.length === 0) console.log('\nNo test ran.');
if (strict && skipped.length > 0) console.log('CI=true allows no skipped test: the run fails.');
console.log(`\n${passed} passed, ${failed} failed, ${skipped.length} skipped`);

const good = failed === 0 && tests.length > 0 && !(strict && skipped.length > 0);
process.exit(good ? 0 : 1);
