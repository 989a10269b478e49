import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { ROOT } from './run-tool.ts';
import { trackedFiles } from './tracked-files.ts';

// A clone installs from whatever registry its machine is set to; a host in a tracked file would bind it to ours.
const RESOLVED = /"resolved":\s*"(?:git\+)?(?:https?|ssh):/;
const REGISTRY_SETTING = /^\s*(?:@[\w-]+:)?registry\s*=/m;
const REGISTRY_ADDRESS = /https?:\/\/[^\s"'`<>)]*(?:registry|npmjs|yarnpkg|artifactory|nexus|verdaccio)/i;

function hostsIn(text: string): readonly string[] {
  return [RESOLVED, REGISTRY_SETTING, REGISTRY_ADDRESS].flatMap((pattern) => pattern.exec(text)?.[0] ?? []);
}

test('no tracked file names a registry host', () => {
  const files = trackedFiles().filter((name) => existsSync(path.join(ROOT, name)));
  expect(files).toContain('package-lock.json');
  const found = files.flatMap((name) =>
    hostsIn(readFileSync(path.join(ROOT, name), 'utf8')).map((host) => `${name}: ${host}`),
  );
  expect(found).toEqual([]);
});

test('the check would see one', () => {
  const address = ['https:', '', 'mirror.example', 'npmjs', 'x.tgz'].join('/');
  expect(hostsIn(`"resolved": "${address}"`)).toHaveLength(2);
  expect(hostsIn(`${'registry'}=somewhere`)).toHaveLength(1);
  expect(hostsIn('"resolved": "apps/cli"')).toEqual([]);
});
