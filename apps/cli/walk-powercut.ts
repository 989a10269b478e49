import { setImmediate } from 'node:timers/promises';
import {
  degFromRad,
  Fault,
  openPowerCut,
  POWER_CUT_NOTES,
  type PowerCut,
  powerCutVerdict,
  type Rad,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { heading } from './heading.ts';
import { longWork } from './long-work.ts';
import { quantityOption } from './number-option.ts';
import { fixed, GAP } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { json, out, strong } from './print.ts';
import { oneForm, oneOf, readStudy } from './study-read.ts';
import { csv, table } from './table.ts';
import type { Values } from './values.ts';
import { walkMend } from './walk-mend.ts';
import { STEP, speedsOf, THIGHS } from './walk-run.ts';

/** Every 5 % of the stride. */
const PLACES = Array.from({ length: 20 }, (_, k) => k / 20);

/** `walk powercut`: what the leg does when power is lost at each part of the stride. */
export async function walkPowercut(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  const [speed] = speedsOf(values, [1.1]);
  const thigh = values.thigh === undefined ? 'prescribed' : oneOf('--thigh', values.thigh as string, THIGHS);
  const step = quantityOption(values, 'step', 'time') ?? STEP;
  const { input } = await readStudy(values);
  const cuts = await longWork('Losing power', async (signal, shown) => {
    const open = openPowerCut(input, { speed: speed!, thigh }, step);
    if ('openBecause' in open)
      throw new Fault({
        code: 'walk.not-told',
        what: `No walk at ${speed} m/s that loses power: ${open.openBecause}`,
        mend: walkMend(input),
      });
    const made: PowerCut[] = [];
    for (const [k, place] of PLACES.entries()) {
      signal.throwIfAborted();
      made.push(open.at(place));
      shown.to((k + 1) / PLACES.length, `at ${Math.round(100 * place)} % of the stride`);
      await setImmediate();
    }
    return made;
  });
  if (values.json)
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: rad, m, s; null where it is not reached',
        speed,
        thigh,
        cuts,
      }),
    );
  else if (values.csv) out(powercutCsv(cuts));
  else out(`${strong(paragraph(powerCutVerdict(cuts)))}\n${heading(input)}\n\n${powercutText(cuts)}`);
  return 0;
}

const degrees = (x: number | undefined): string => (x === undefined ? GAP : fixed(degFromRad(x as Rad), 0));

function powercutText(cuts: readonly PowerCut[]): string {
  return [
    'Power of both joints lost after three strides; with power beside it in brackets',
    table(
      [
        { head: 'lost at', unit: '% stride' },
        { head: 'in', align: 'left' },
        { head: 'knee then', unit: '°' },
        { head: 'bends to', unit: '° in stance' },
        { head: 'to 60°', unit: 's' },
        { head: 'lands at', unit: '° knee' },
        { head: 'hip sinks', unit: 'mm' },
        { head: 'then', align: 'left' },
      ],
      cuts.map((cut) => [
        fixed(100 * cut.place, 0),
        cut.stance ? 'stance' : 'swing',
        degrees(cut.knee),
        degrees(cut.bends),
        `${fixed(cut.toSixty, 2)} (${fixed(cut.poweredToSixty, 2)})`,
        cut.lands === undefined ? GAP : `${degrees(cut.lands)} (${degrees(cut.poweredLands)})`,
        fixed(1e3 * cut.sinks, 0),
        cut.fell === undefined ? 'stands' : `${cut.fell.why} after ${fixed(cut.fell.after, 1)} s`,
      ]),
    ),
    list(POWER_CUT_NOTES),
    CAUTION,
  ].join('\n\n');
}

function powercutCsv(cuts: readonly PowerCut[]): string {
  return csv(
    [
      'place',
      'in',
      'knee_rad',
      'bends_rad',
      'to_sixty_s',
      'powered_to_sixty_s',
      'lands_rad',
      'powered_lands_rad',
      'sinks_m',
      'fell_after_s',
    ],
    cuts.map((cut) => [
      cut.place,
      cut.stance ? 'stance' : 'swing',
      cut.knee,
      cut.bends,
      cut.toSixty,
      cut.poweredToSixty,
      cut.lands,
      cut.poweredLands,
      cut.sinks,
      cut.fell?.after,
    ]),
  );
}
