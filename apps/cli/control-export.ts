import path from 'node:path';
import { controllerFaults, Fault } from '@striderule/engine';
import { buildFingerprint, exportFirmware } from '@striderule/store';
import { CAUTION } from './caution.ts';
import { readControlled, runningController } from './controlled-study.ts';
import { DEMO_MARK } from './heading.ts';
import { numberOption } from './number-option.ts';
import { list } from './paragraph.ts';
import { json, out, strong } from './print.ts';
import type { Values } from './values.ts';

/** Ticks of the test vectors where nobody asks for more: 20 s, a file of some megabytes. */
const TICKS = 20_000;

/** `control export --out DIR`: the controller as C99 with tables, test vectors and a harness. One that is not sound is not handed over. */
export async function controlExport(values: Values): Promise<number> {
  if (values.out === undefined)
    throw new Fault({
      code: 'cli.no-out',
      what: 'Where the files shall go is not said',
      mend: 'Add --out and a folder that is empty or not there yet',
    });
  const folder = path.resolve(values.out as string);
  const whole = (name: 'ticks' | 'seed', otherwise: number): number => {
    const given = numberOption(values, name) ?? otherwise;
    if (Number.isInteger(given) && given >= 1) return given;
    throw new Fault({
      code: 'cli.whole-number',
      what: `--${name} "${values[name]}" is no whole number above zero`,
      mend: 'Write it as in 20000',
    });
  };
  const [ticks, seed] = [whole('ticks', TICKS), whole('seed', 1)];
  const { input, design } = await readControlled(values);
  const faults = controllerFaults(input, design);
  if (faults.length > 0) throw new Fault(faults);
  const leg = runningController(input, design);
  const { wearer } = input;
  const about = [
    `Study ${input.name}, leg ${input.leg.name}, wearer ${wearer.code}, controller ${leg.id} ${leg.controller.version}.`,
    ...(input.demo ? [DEMO_MARK] : []),
  ];
  const files = await exportFirmware({
    folder,
    leg,
    ticks,
    seed,
    about,
  });
  const build = buildFingerprint(leg);
  if (values.json) {
    out(json({ study: input.name, demo: input.demo, folder, files, controller: leg.fingerprint, build }));
    return 0;
  }
  out(
    [
      strong(
        `Controller ${leg.id}, ${leg.fingerprint.slice(0, 12)}, build ${build.slice(0, 12)}: ${files.length} files in ${folder}`,
      ),
      ...about,
      '',
      list([
        `Files: ${files.join(', ')}.`,
        'Compile and compare there: cc -std=c99 -Wall -Wextra -Werror -O2 -o harness controller.c harness.c -lm && ./harness vectors.csv',
        'Write both fingerprints into every log of the leg: `control replay` reads them.',
        'A new wearer, leg, stride or period makes another build: export again.',
      ]),
      '',
      CAUTION,
    ].join('\n'),
  );
  return 0;
}
