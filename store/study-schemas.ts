import { z } from 'zod';
import { notNegative, positive, quantity, share } from './quantity-field.ts';
import { recordingSchema } from './recording-schema.ts';

export const studySchema = z.strictObject({
  name: z.string().min(1),
  format: z.int().positive().describe('Version of the study format'),
  notice: z
    .string()
    .optional()
    .describe('Shown on every face where anything is invented: start with "demo data"'),
  leg: z.string().describe('Default leg: legs/<leg>.yaml'),
  wearer: z.string().describe('Default wearer: wearers/<wearer>.yaml'),
  controller: z.string().optional().describe('Default controller: controllers/<controller>.yaml'),
});

export const wearerSchema = z.strictObject({
  code: z.string().describe('Pseudonymous'),
  notice: z.string().optional(),
  massWithoutDevice: quantity('mass', positive),
  height: quantity('length', positive),
  side: z.enum(['left', 'right']),
  amputation: z.enum(['transfemoral', 'knee disarticulation', 'transtibial', 'none']),
  residualLimbLength: quantity('length', positive)
    .optional()
    .describe('Hip joint to the end of the residual limb'),
});

const duty = z.strictObject({
  strides: z.int().nonnegative().optional(),
  duration: quantity('time', notNegative).optional(),
});

export const taskSchema = z
  .strictObject({
    title: z.string().min(1),
    notice: z.string().optional(),
    from: z
      .strictObject({
        reference: z.string().optional().describe('Id of a stride that ships'),
        speed: quantity('speed', positive)
          .optional()
          .describe('Level walking at this speed, between the classes'),
        surface: z.enum(['overground', 'treadmill']).optional(),
        recording: recordingSchema.optional().describe("The laboratory's own strides"),
      })
      .optional(),
    peaks: z.string().optional().describe('Id of a task of which only peaks are published'),
    standing: z
      .strictObject({ loadShare: quantity('pure number', share), lean: quantity('length') })
      .optional(),
    coverage: z
      .number()
      .nonnegative()
      .optional()
      .describe('k: between-subject deviations of moment to cover'),
    ankleSizing: z.enum(['able-bodied', 'intact side', 'curve']).optional(),
    duty: duty.optional(),
  })
  .superRefine((task, ctx) => {
    const kinds = ['from', 'peaks', 'standing'].filter((key) => task[key as 'from'] !== undefined);
    if (kinds.length !== 1) {
      ctx.addIssue({
        code: 'custom',
        message:
          kinds.length === 0 ? 'the task does not say what is done' : `the task says ${kinds.join(' and ')}`,
        params: { mend: 'Give exactly one of `from:` (a stride), `peaks:` or `standing:`' },
      });
    }
    const fault = (path: string[], message: string, mend: string) =>
      ctx.addIssue({ code: 'custom', path, message, params: { mend } });
    for (const key of ['coverage', 'ankleSizing'] as const) {
      if (task.from === undefined && task[key] !== undefined)
        fault([key], `\`${key}\` has nothing to scale here`, 'Only a stride (`from:`) takes it: delete it');
    }
    if (task.from?.surface !== undefined && task.from.speed === undefined) {
      fault(
        ['from', 'surface'],
        'a stride as it is was walked on its own surface',
        'Give `surface:` only together with `speed:`',
      );
    }
    if (task.duty?.strides !== undefined && task.duty.duration !== undefined)
      fault(['duty'], 'the duty says both strides and duration', 'Keep one of them');
    if (task.standing !== undefined && task.duty?.strides !== undefined)
      fault(['duty', 'strides'], 'standing has no strides', 'Give `duration:`');
    if (task.from !== undefined) {
      const { reference, speed, recording } = task.from;
      if ([reference, speed, recording].filter((x) => x !== undefined).length !== 1) {
        ctx.addIssue({
          code: 'custom',
          path: ['from'],
          message: 'a stride comes from one place',
          params: { mend: 'Give exactly one of `reference:`, `speed:` or `recording:`' },
        });
      }
    }
  });

export const requirementsSchema = z.array(
  z
    .strictObject({
      id: z.string().min(1),
      metric: z.string(),
      joint: z.enum(['knee', 'ankle']).optional(),
      task: z.string().optional(),
      speed: quantity('speed', positive)
        .optional()
        .describe('Of a walk; left out: 0.8, 1.1 and 1.4 m/s, the worst counts'),
      thigh: z
        .enum(['prescribed', 'led'])
        .optional()
        .describe('Of a walk; left out: both, the two ends of the bracket'),
      control: z
        .enum(['clock', 'study'])
        .optional()
        .describe(
          'What a walk runs: springs fitted to its stride and paced by a clock, or the controller of the study; left out: clock',
        ),
      atMost: z.union([z.string(), z.number()]).optional(),
      atLeast: z.union([z.string(), z.number()]).optional(),
      because: z.string().min(1).describe('Source or reason'),
    })
    .superRefine((r, ctx) => {
      if ((r.atMost === undefined) === (r.atLeast === undefined)) {
        ctx.addIssue({
          code: 'custom',
          message: `\`${r.id}\` has no single bound`,
          params: { mend: 'Give either `atMost:` or `atLeast:`' },
        });
      }
    }),
);

export const hazardsSchema = z
  .array(
    z.strictObject({
      id: z.string().min(1),
      hazard: z.string(),
      harm: z.string(),
      measure: z.string(),
      shownBy: z
        .string()
        .describe('Test, scenario or requirement that shows it; "open" where nothing does yet'),
    }),
  )
  .superRefine((hazards, ctx) => {
    hazards.forEach(({ id }, i) => {
      if (hazards.findIndex((other) => other.id === id) < i) {
        ctx.addIssue({
          code: 'custom',
          path: [i, 'id'],
          message: `a hazard \`${id}\` stands further up already`,
          params: { mend: 'Give each hazard a name of its own' },
        });
      }
    });
  });
