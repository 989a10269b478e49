import { setImmediate } from 'node:timers/promises';
import { Fault, openTolerance } from '@striderule/engine';
import { heading } from './heading.ts';
import { longWork } from './long-work.ts';
import { json, out, strong } from './print.ts';
import { oneForm, readStudy } from './study-read.ts';
import { toleranceCsv, toleranceText, toleranceVerdict } from './tolerance-table.ts';
import type { Values } from './values.ts';

const DRAWS = 2000;
const MOST_DRAWS = 1_000_000;
/** Draws between two looks at Ctrl-C. */
const BLOCK = 20;

/** `drive tolerance`: each requirement as a probability, what dominates it, and the bench test that settles most. */
export async function driveTolerance(values: Values): Promise<number> {
  oneForm(values, 'csv', 'json');
  const draws = whole('--draws', values.draws, DRAWS, 1, MOST_DRAWS);
  const seed = whole('--seed', values.seed, 1, 0, 2 ** 31 - 1);
  const { input } = await readStudy(values);
  const tolerance = await longWork('Drawing legs', async (signal, shown) => {
    const run = openTolerance(input, { seed, statedOnly: values.stated === true });
    for (let done = 0; done < draws; ) {
      signal.throwIfAborted();
      const count = Math.min(BLOCK, draws - done);
      run.draw(count);
      done += count;
      shown.to(done / draws, `${done} of ${draws}`);
      await setImmediate();
    }
    return run.result();
  });
  if (values.json) out(json({ study: input.name, demo: input.demo, units: 'SI', tolerance }));
  else if (values.csv) out(toleranceCsv(tolerance));
  else
    out(
      `${strong(toleranceVerdict(tolerance))}\n${heading(input)}\n\n${toleranceText(tolerance, input.demo)}`,
    );
  return 0;
}

function whole(
  option: string,
  given: string | boolean | undefined,
  otherwise: number,
  least: number,
  most: number,
): number {
  if (given === undefined) return otherwise;
  const number = Number(given);
  if (Number.isInteger(number) && number >= least && number <= most) return number;
  throw new Fault({
    code: 'cli.number',
    what: `${option} is a whole number from ${least} to ${most}, not "${given}"`,
    mend: `Leave it out for ${otherwise}`,
  });
}
