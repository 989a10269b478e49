// npm run bench [-- --clone] [name …]
//
// Speed as ratios against a plain version in the same run, absolutes beside them. Not a test: a shared machine may miss
// a figure that a quiet one reaches, so nothing here fails on time. Names: design, scan, tolerance, swing, gains, walk,
// pool, controller, help, csv, hairline, slide, interactive; --clone adds a fresh clone with its install.

import { cpus } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { openStudy } from '@striderule/store';
import { cloneTime } from './clone.ts';
import { compiled } from './compiled.ts';
import { controllerTime } from './controller.ts';
import { csvTime } from './csv.ts';
import { designTime } from './design.ts';
import { hairlineTime, slideTime } from './drags.ts';
import { gainMapTime } from './gain-map.ts';
import { helpTime } from './help-time.ts';
import { interactive } from './interactive.ts';
import { scanTime } from './scan.ts';
import { swingTime } from './swing.ts';
import { toleranceTime } from './tolerance.ts';
import { walkPoolTime } from './walk-pool.ts';

const { values, positionals } = parseArgs({
  options: { clone: { type: 'boolean' } },
  allowPositionals: true,
});
const demo = path.join(import.meta.dirname, '../examples/tern');

const parts: Record<string, () => Promise<string> | string> = {
  design: async () => designTime((await openStudy(demo)).input),
  scan: async () => scanTime((await openStudy(demo)).input),
  tolerance: async () => toleranceTime((await openStudy(demo)).input),
  swing: swingTime,
  gains: async () => gainMapTime((await openStudy(demo)).input),
  walk: async () =>
    (await compiled<typeof import('./walk.ts')>('walk')).walkTime((await openStudy(demo)).input),
  pool: async () => walkPoolTime((await openStudy(demo)).input),
  controller: async () => controllerTime((await openStudy(demo)).input),
  help: helpTime,
  csv: csvTime,
  hairline: hairlineTime,
  slide: slideTime,
  interactive,
  ...(values.clone ? { clone: cloneTime } : {}),
};

console.log(`Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model ?? 'unknown processor'}\n`);
for (const [name, measure] of Object.entries(parts)) {
  if (positionals.length > 0 && !positionals.includes(name)) continue;
  console.log(`${await measure()}\n`);
}
