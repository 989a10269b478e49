import { spawn } from 'node:child_process';
import path from 'node:path';
import { inTurnAsync, timingText } from './rounds.ts';

const COMMAND = path.join(import.meta.dirname, '../apps/cli/striderule.mjs');

function node(args: readonly string[]): Promise<void> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, args, { stdio: 'ignore' });
    child.on('error', reject);
    child.on('close', (code) => (code === 0 ? resolve() : reject(new Error(`exit ${code}`))));
  });
}

/** `striderule --help` beside a Node that does nothing. Must reach: 150 ms. */
export async function helpTime(): Promise<string> {
  const { help, bare } = await inTurnAsync({
    help: () => node([COMMAND, '--help']),
    bare: () => node(['-e', '0']),
  });
  return [
    'Command line, `striderule --help` (must reach 150 ms)',
    `  striderule --help   ${timingText(help)}`,
    `  node -e 0           ${timingText(bare)}`,
    `  ratio               ${(help.median / bare.median).toFixed(2)}`,
  ].join('\n');
}
