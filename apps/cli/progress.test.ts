import { expect, test } from 'vitest';
import { progress } from './progress.ts';

function stream(isTTY: boolean): { readonly stream: NodeJS.WriteStream; readonly written: () => string } {
  let text = '';
  const write = (part: string): boolean => {
    text += part;
    return true;
  };
  return { stream: { isTTY, write } as unknown as NodeJS.WriteStream, written: () => text };
}

test('in a log: a line each 10 %, never twice', () => {
  const { stream: log, written } = stream(false);
  const shown = progress(log, 'Reading');
  for (let k = 0; k <= 1000; k++) shown.to(k / 1000, `${k} rows`);
  shown.end();
  const lines = written().trimEnd().split('\n');
  expect(lines).toHaveLength(10);
  expect(lines[0]).toBe('Reading 10 %  100 rows');
  expect(lines[9]).toBe('Reading 100 %  1000 rows');
});

test('on a terminal: one line that is drawn over, and ended once', () => {
  const { stream: tty, written } = stream(true);
  const shown = progress(tty, 'Reading');
  shown.to(0.5, 'half');
  shown.to(0.5, 'half');
  shown.to(1, 'all');
  shown.end();
  shown.end();
  expect(written().split('\r')).toHaveLength(3);
  expect(written().match(/\n/g)).toHaveLength(1);
  expect(written()).toContain(`${'━'.repeat(15)}${'┄'.repeat(15)}  50 %  half`);
});
