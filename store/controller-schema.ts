import { SENSORS, SIGNALS } from '@striderule/engine';
import { z } from 'zod';
import { interval, notNegative, positive, quantity, share } from './quantity-field.ts';

/** Names go into logs and C: lower case, digits and hyphens. */
const name = z.string().regex(/^[a-z][a-z0-9-]*$/);

const scalar = z.union([z.string(), z.number()]);

/** What one joint does; which fields go with which `does` is checked when it is read. */
const behaviour = z.strictObject({
  does: z
    .enum(['spring', 'damp', 'free', 'schedule', 'thigh', 'shorted'])
    .describe(
      'spring: stiffness, damping, equilibrium, approach; damp: damping; free; schedule: schedule; thigh: stiffness, damping, carries; shorted',
    ),
  stiffness: quantity('rotational stiffness', notNegative).optional(),
  damping: quantity('rotational damping', notNegative).optional(),
  equilibrium: quantity('angle').optional(),
  approach: quantity('angular velocity', positive)
    .optional()
    .describe('The equilibrium sets out from where the joint is and goes no faster'),
  schedule: z.string().optional(),
  carries: quantity('pure number', share)
    .optional()
    .describe(
      'Share of what the leg’s own weight and inertia ask for on the planned swing that is asked for ahead',
    ),
});

const point = z.strictObject({
  at: quantity('pure number', share).describe('Place in stance, 0 at contact, 1 at toe-off'),
  stiffness: quantity('rotational stiffness', notNegative),
  equilibrium: quantity('angle'),
  damping: quantity('rotational damping', notNegative),
});

const bySpeed = z
  .literal('speed')
  .optional()
  .describe('One for each task, the slowest first, blended by the speed that the leg reads');

const schedule = z
  .strictObject({
    points: z.array(point).min(2).optional(),
    fit: z
      .strictObject({
        joint: z.enum(['knee', 'ankle']),
        tasks: z.array(z.string()).optional().describe('Left out: all level walking'),
        by: bySpeed,
        stiffness: quantity('rotational stiffness', positive)
          .optional()
          .describe(
            'Spring and damper are these throughout stance, and only the equilibrium is fitted to the stride',
          ),
        damping: quantity('rotational damping', notNegative).describe(
          'Added to what the fit gives; with `stiffness`: the damper, about the stride’s own motion',
        ),
      })
      .optional(),
  })
  .superRefine((one, ctx) => {
    if ((one.points === undefined) === (one.fit === undefined))
      ctx.addIssue({
        code: 'custom',
        message: 'a schedule is either written or fitted',
        params: { mend: 'Give one of `points:` and `fit:`' },
      });
  });

const state = z.strictObject({
  bears: z.enum(['load', 'no load', 'either']).describe('What the state is meant for'),
  phase: z.string().optional().describe('A name under `phases`'),
  safe: z.string().optional().describe('Where a fault leads; left out: this state is safe and latched'),
  knee: behaviour,
  ankle: behaviour,
});

const ends = z.strictObject({ above: scalar.optional(), below: scalar.optional() });

const transition = z.strictObject({
  from: z.union([z.string(), z.array(z.string()).min(1)]),
  to: z.string(),
  when: z.partialRecord(z.enum(SIGNALS), ends).describe('All must hold; load as a share of body weight'),
  hold: quantity('time', notNegative).describe('Without a break'),
  after: quantity('time', notNegative).optional().describe('The state has lasted at least this long'),
  priority: z.int().optional().describe('The least goes first; left out: 0'),
});

const watch = z.strictObject({
  sensor: z.enum(SENSORS),
  detect: z.enum(['missing', 'stuck', 'jump', 'outside', 'disagrees', 'wanders']),
  time: quantity('time', notNegative)
    .optional()
    .describe('Acts when this has been passed; left out: at once'),
  limit: scalar
    .optional()
    .describe(
      'jump: step within a tick; disagrees: difference of speeds, or of two encoders; wanders: thigh at contact less its map’s, smoothed over strides',
    ),
  low: scalar.optional(),
  high: scalar.optional(),
  reaction: z.enum(['safe', 'warn']),
  to: z.string().optional().describe("Another safe state than the present state's own"),
  within: quantity('time', positive).optional().describe('Declared time to the safe torque'),
});

const jointLimits = z.strictObject({
  torque: quantity('torque', positive),
  range: interval('angle'),
  margin: quantity('angle', positive).describe('Torque towards the end of the range fades over this'),
  speed: quantity('angular velocity', positive).describe('Torque that speeds up is gone here'),
  fadeSpeed: quantity('angular velocity', positive).describe('and begins to fade here'),
  warm: quantity('temperature').describe('Winding temperature at which torque begins to fade'),
  hot: quantity('temperature').describe('and is gone'),
  returned: z
    .strictObject({
      power: quantity('power', positive),
      fadeBus: quantity('voltage', positive).describe('Bus voltage at which it begins to fade'),
      bus: quantity('voltage', positive).describe('and at which nothing may be returned any more'),
    })
    .optional()
    .describe('What the joint may return to the bus by braking; left out: not limited'),
  slew: quantity('torque rate', positive).describe('Torque may change so fast'),
});

export const controllerSchema = z.strictObject({
  name: z.string().min(1),
  version: z.string().min(1),
  notice: z.string().optional(),
  speedFilter: quantity('frequency', positive).describe('Cut-off of the filter of joint speed'),
  initial: z.string().describe('State in which the controller begins: quiet standing'),
  speed: z
    .strictObject({
      start: quantity('speed', positive).describe('Before the first stance, and again after standing'),
      change: quantity('speed', positive).describe('Most that it changes from stance to stance'),
      loaded: quantity('pure number', share).describe('A stance is read from this share of body weight on'),
      unloaded: quantity('pure number', share).describe('and ends below this one'),
    })
    .optional()
    .describe('How the speed that the leg reads is taken up; goes with `by: speed`'),
  slope: z
    .strictObject({
      range: interval('angle').describe('Readings that are taken up'),
      level: quantity('angle', positive).describe(
        'Up to here either way the ground is level, from twice as much on what it is',
      ),
      share: quantity('pure number', share).describe('Of each reading in what is smoothed over stances'),
      change: quantity('angle', positive).describe('Most that it changes from stance to stance'),
      hold: z
        .int()
        .min(1)
        .max(100)
        .describe('Stances in a row without a reading after which the ground is level again'),
    })
    .optional()
    .describe('How the slope that the leg reads is taken up; goes with `by: speed`'),
  phases: z.record(
    z.string(),
    z.strictObject({
      task: z.string().optional().describe('Whose thigh is the map: a file of tasks/'),
      tasks: z.array(z.string()).optional().describe('With `by: speed`, in the place of `task`'),
      by: bySpeed,
      part: z.enum(['stance', 'swing']),
      finish: z.boolean().describe('Complete the phase by time where the thigh no longer leads'),
      full: quantity('pure number', share)
        .optional()
        .describe('Share of the thigh’s way at which the phase is full; left out: 90 %'),
    }),
  ),
  schedules: z.record(z.string(), schedule),
  states: z.record(name, state),
  transitions: z.array(transition),
  faults: z.record(name, watch),
  limits: z.strictObject({ knee: jointLimits, ankle: jointLimits }),
  knownLimits: z.array(z.string()).describe('What the controller is known not to do'),
});
