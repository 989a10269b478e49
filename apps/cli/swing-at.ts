import {
  degFromRad,
  Fault,
  type Rad,
  type StudyInput,
  type SwingTrajectories,
  swingAt,
  trajectoryAt,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { heading } from './heading.ts';
import { quantityOption, signedOption } from './number-option.ts';
import { fixed } from './number-text.ts';
import { paragraph } from './paragraph.ts';
import { json, out, strong } from './print.ts';
import { csv, table } from './table.ts';
import type { Values } from './values.ts';

const degrees = (x: number): string => fixed(degFromRad(x as Rad), 1);

const CURVES = ['thigh', 'knee', 'ankle'] as const;

/** Places of the stride that are printed, and of the CSV. */
const SHOWN = 20;
const FINE = 100;

/** `control swing --speed v --incline γ`: thigh, knee and ankle of a walk that no task need have; a fault where nobody has walked so. */
export function printSwingAt(input: StudyInput, values: Values): void {
  const speed = quantityOption(values, 'speed', 'speed');
  const incline = signedOption(values, 'incline', 'angle') ?? 0;
  if (speed === undefined)
    throw new Fault({
      code: 'cli.no-speed',
      what: 'an incline alone is no walk',
      mend: 'Add `--speed`, such as `--speed 1.2m/s`',
    });
  const at = swingAt(input, { speed, incline });
  if ('openBecause' in at)
    throw new Fault({
      code: 'control.not-fitted',
      what: at.openBecause,
      mend: 'Ask within that, or import strides that were walked there: on three inclines or more, each with its `incline:`',
    });
  const steps = values.csv || values.json ? FINE : SHOWN;
  const rows = Array.from({ length: steps + 1 }, (_, k) => rowAt(at, k / steps));
  if (values.json)
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: rad, m/s; places as shares of the stride; engine signs',
        speed,
        incline,
        from: at.from,
        rows: rows.map(([place, thigh, knee, ankle]) => ({ place, thigh, knee, ankle })),
      }),
    );
  else if (values.csv) out(csv(['place', ...CURVES.map((name) => `${name}_rad`)], rows));
  else
    out(
      [
        strong(
          paragraph(
            `Thigh, knee and ankle at ${fixed(speed, 2)} m/s on ${degrees(incline)}°, fitted to ${at.from}.`,
          ),
        ),
        heading(input),
        '',
        table(
          [{ head: 'stride', unit: '%' }, ...CURVES.map((head) => ({ head, unit: '°' }))],
          rows.map(([place, ...angles]) => [fixed(100 * place!, 0), ...angles.map((x) => degrees(x))]),
        ),
        '',
        CAUTION,
      ].join('\n'),
    );
}

function rowAt(of: SwingTrajectories, place: number): readonly number[] {
  const found = new Float64Array(3);
  return [
    place,
    ...CURVES.map((name) => {
      trajectoryAt(of[name], place, found, 0);
      return found[0]!;
    }),
  ];
}
