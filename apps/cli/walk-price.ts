import { setImmediate } from 'node:timers/promises';
import {
  Fault,
  openWalkPrice,
  type PricedLever,
  type StudyInput,
  type WalkLever,
  type WalkPrice,
  walkLevers,
  withPrices,
} from '@striderule/engine';
import { heading } from './heading.ts';
import { longWork } from './long-work.ts';
import { quantityOption } from './number-option.ts';
import { priceText, priceVerdict } from './price-table.ts';
import { json, out, strong } from './print.ts';
import { readStudy } from './study-read.ts';
import type { Values } from './values.ts';
import { walkMend } from './walk-mend.ts';
import { STEP, speedOf, stridesOf } from './walk-run.ts';

const SPEED = 1.1;
const STRIDES = 8;

/** `walk price`: joules at the hip for each of everything, the dearest first. */
export async function walkPrice(values: Values): Promise<number> {
  const speed = speedOf(values, SPEED);
  const length = {
    step: quantityOption(values, 'step', 'time') ?? STEP,
    strides: stridesOf(values, STRIDES),
  };
  const { input } = await readStudy(values);
  const price = await longWork('Pricing', async (signal, shown): Promise<WalkPrice> => {
    const run = openWalkPrice(input, { speed }, length, leversOf(input, values));
    if ('openBecause' in run) {
      throw new Fault({
        code: 'walk.not-told',
        what: `No walk at ${speed} m/s: ${run.openBecause}`,
        mend: walkMend(input),
      });
    }
    const priced: PricedLever[] = [];
    for (const [k, { title }] of run.levers.entries()) {
      priced.push(run.at(k));
      shown.to((k + 1) / run.levers.length, title);
      await setImmediate(); // so that Ctrl-C is heard
      signal.throwIfAborted();
    }
    return withPrices(run.planned, priced);
  });
  if (values.json)
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'J of positive hip work a stride per SI unit of the lever; null where there is no number',
        price,
      }),
    );
  else out(`${strong(priceVerdict(price))}\n${heading(input)}\n\n${priceText(price)}`);
  return 0;
}

/** `--of ratio,foot`: what has one of these words in its name; all where it is left out. */
function leversOf(input: StudyInput, { of }: Values): readonly WalkLever[] {
  const all = walkLevers(input);
  if (of === undefined) return all;
  const words = (of as string).split(',').map((word) => word.trim());
  const unknown = words.find((word) => word === '' || !all.some(({ title }) => title.includes(word)));
  if (unknown === undefined) return all.filter(({ title }) => words.some((word) => title.includes(word)));
  throw new Fault({
    code: 'cli.unknown-name',
    what: `--of "${unknown}": nothing that is priced has this in its name`,
    mend: `There is: ${all.map(({ title }) => title).join('; ')}`,
  });
}
