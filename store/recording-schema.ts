import { z } from 'zod';
import { notNegative, positive, quantity, share } from './quantity-field.ts';

const column = z
  .union([z.string().min(1), z.int().positive()])
  .describe('Name in the header, or place counted from 1');

const mapped = <Unit extends string, Sign extends string>(
  units: readonly [Unit, ...Unit[]],
  signs: readonly [Sign, ...Sign[]],
) =>
  z.strictObject({
    column,
    unit: z.enum(units),
    positive: z.enum(signs).describe('The direction in which the column grows'),
  });

const ANGLE = ['deg', 'rad'] as const;
const MOMENT = ['N*m/kg', 'N*m', 'N*mm/kg', 'N*mm'] as const;
const FORCE = ['BW', '%BW', 'N', 'N/kg'] as const;
const power = z
  .strictObject({
    column,
    unit: z.enum(['W/kg', 'W']),
    positive: z.enum(['generation', 'absorption']).optional().describe('generation unless said'),
  })
  .describe('A witness for moment × velocity, never an input');

const joint = <Sign extends string>(signs: readonly [Sign, ...Sign[]]) =>
  z.strictObject({
    angle: mapped(ANGLE, signs),
    moment: mapped(MOMENT, signs)
      .optional()
      .describe('Internal moment; an external flexion moment is an internal extension moment'),
    power: power.optional(),
  });
const flexing = ['flexion', 'extension'] as const;

/** How a CSV of the laboratory's own strides is read. Kept with the task, so that anybody can read it again. */
export const recipeSchema = z.strictObject({
  notice: z.string().optional().describe('Start with "demo data" where the recording is invented'),
  delimiter: z.enum([',', ';', 'tab']).optional().describe('Comma unless said'),
  decimal: z.enum(['.', ',']).optional().describe('Decimal mark of the file; the point unless said'),
  namesLine: z
    .int()
    .nonnegative()
    .optional()
    .describe(
      'Line of the column names; the first that is neither empty nor a # comment unless said; 0: none',
    ),
  dataLine: z.int().positive().optional().describe('First line of data; the one after the names unless said'),
  percent: column.optional().describe('Column of per cent of stride, 0–100; then strideTime is needed'),
  time: z.strictObject({ column, unit: z.enum(['s', 'ms']) }).optional(),
  stride: column.optional().describe('Column that numbers the strides; a new number begins a new stride'),
  strideEnds: z
    .enum(['next row', 'last row'])
    .optional()
    .describe(
      "Which row is a stride's 100 %: the first row of the next stride (unless said), or its own last row",
    ),
  leaveOut: z
    .array(z.strictObject({ stride: z.number(), because: z.string().min(1) }))
    .optional()
    .describe('Numbers of strides that are not to be used, and why'),
  strideTime: quantity('time', positive).optional().describe('Needed with percent'),
  stance: z
    .union([quantity('pure number', share), z.strictObject({ forceBelow: quantity('force', positive) })])
    .describe('Share of the stride in stance, or the vertical force below which the foot is off the ground'),
  speed: quantity('speed', positive).optional(),
  incline: quantity('angle')
    .optional()
    .describe('Slope of the ground, up ahead positive; 0 deg: level walking, fitted with the rest of it'),
  bodyMass: quantity('mass', positive)
    .optional()
    .describe('Of the person recorded, without the device; needed where a column is not per kilogram'),
  cutOff: quantity('frequency', positive).describe('Fourier series are cut here'),
  largestGap: quantity('pure number', notNegative)
    .optional()
    .describe('Share of range by which a curve may fail to close; 5 % unless said'),
  accept: z
    .array(z.strictObject({ check: z.string().min(1), because: z.string().min(1) }))
    .optional()
    .describe('Checks whose finding is right for this recording, and why'),
  thigh: mapped(ANGLE, ['forward', 'backward']).optional(),
  hip: joint(flexing).optional(),
  knee: joint(flexing).optional(),
  ankle: joint(['dorsiflexion', 'plantarflexion']).optional(),
  groundForce: z
    .strictObject({
      vertical: mapped(FORCE, ['up', 'down']),
      foreAft: mapped(FORCE, ['forward', 'backward']).optional(),
    })
    .optional(),
  person: z
    .strictObject({
      who: z.string().min(1).describe('In words that identify nobody'),
      count: z.int().positive().optional(),
      height: quantity('length', positive).optional(),
    })
    .optional(),
});

export type RecipeFile = z.output<typeof recipeSchema>;

/** A recording as a task names it: where the file is, what it was when it was imported, how it is read. */
export const recordingSchema = z
  .strictObject({
    file: z.string().min(1).optional().describe('Inside the study'),
    outside: z.string().min(1).optional().describe('Absolute path of an original too large to be copied'),
    sha256: z.string().regex(/^[0-9a-f]{64}$/),
    recipe: recipeSchema,
  })
  .superRefine(({ file, outside }, ctx) => {
    if ((file === undefined) === (outside === undefined)) {
      ctx.addIssue({
        code: 'custom',
        message: 'a recording is in one place',
        params: { mend: 'Give exactly one of `file:` (inside the study) or `outside:` (absolute path)' },
      });
    }
  });

/** `from: recording:` of a task file as read. */
export type RecordingFrom = z.output<typeof recordingSchema>;
