import { z } from 'zod';
import { notNegative, positive, quantity, share } from './quantity-field.ts';

const column = (units: readonly [string, ...string[]], signs: readonly [string, ...string[]]) =>
  z.strictObject({ column: z.string(), unit: z.enum(units), positive: z.enum(signs) });

const angle = (signs: readonly [string, ...string[]]) => column(['deg', 'rad'], signs);
const moment = (signs: readonly [string, ...string[]]) => column(['N*m/kg', 'N*m', 'N*mm/kg'], signs);
const power = z.strictObject({ column: z.string(), unit: z.enum(['W/kg', 'W']) });

const flexing = ['flexion', 'extension'] as const;
const jointRecipe = z.strictObject({
  angle: angle(flexing),
  moment: moment(flexing).optional(),
  power: power.optional(),
});
const ankleSigns = ['dorsiflexion', 'plantarflexion'] as const;
const ankleRecipe = z.strictObject({
  angle: angle(ankleSigns),
  moment: moment(ankleSigns).optional(),
  power: power.optional(),
});

/** How a CSV of the laboratory's own strides is read. Kept with the task, so that anybody can read it again. */
export const recipeSchema = z.strictObject({
  notice: z.string().optional(),
  delimiter: z.enum([',', ';', 'tab']).optional(),
  decimal: z.enum(['.', ',']).optional().describe('Decimal mark of the file; the point unless said'),
  percent: z.string().optional().describe('Column of per cent of stride, 0–100: one mean stride'),
  time: z.strictObject({ column: z.string(), unit: z.enum(['s', 'ms']) }).optional(),
  stride: z.string().optional().describe('Column that numbers the strides; a new number begins a new stride'),
  strideTime: quantity('time', positive).optional().describe('Needed with `percent`'),
  stance: quantity('pure number', share).describe('Share of the stride in stance'),
  speed: quantity('speed', positive).optional(),
  bodyMass: quantity('mass', positive)
    .optional()
    .describe('Needed where moments or powers are not per kilogram'),
  cutOff: quantity('frequency', positive).describe('Fourier series are cut here'),
  largestGap: quantity('pure number', notNegative)
    .optional()
    .describe('Share of range by which a stride may fail to close; 5 % unless said'),
  thigh: z
    .strictObject({
      column: z.string(),
      unit: z.enum(['deg', 'rad']),
      positive: z.enum(['forward', 'backward']),
    })
    .optional(),
  hip: jointRecipe.optional(),
  knee: jointRecipe.optional(),
  ankle: ankleRecipe.optional(),
});

export type RecipeFile = z.output<typeof recipeSchema>;

/** A recording as a task names it: the file inside the study, what it was when it was imported, how it is read. */
export const recordingSchema = z.strictObject({
  file: z.string(),
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  recipe: recipeSchema,
});

/** `from: recording:` of a task file as read. */
export type RecordingFrom = z.output<typeof recordingSchema>;
