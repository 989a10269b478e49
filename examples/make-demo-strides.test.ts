import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { demoStrides } from './make-demo-strides.ts';

test('the demo strides that ship are what the script makes, and say that nobody walked them', () => {
  const shipped = readFileSync(new URL('./tern/recordings/demo-strides.csv', import.meta.url), 'utf8');
  expect(demoStrides()).toBe(shipped);
  expect(shipped).toMatch(/^# demo data: invented by examples\/make-demo-strides.ts; nobody walked this\n/);
});
