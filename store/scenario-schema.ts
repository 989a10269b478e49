import { z } from 'zod';
import { notNegative, positive, quantity, share } from './quantity-field.ts';

/** A place in the walk: so many whole strides from the first contact on, and a share of the next. */
const when = {
  stride: z.int().min(1).describe('Strides from the first contact on, 1 for the one that begins there'),
  place: quantity('pure number', share).describe('Share of that stride'),
};

/** What is said of a walk over level ground alone, and beside it of no leg that hangs. */
const WALKED = ['ground', 'terrain', 'stop', 'leaves', 'cadence', 'fault'] as const;
const HELD = ['thigh', 'seed'] as const;
const SPEED = ['speed'] as const;

export const scenarioSchema = z
  .strictObject({
    title: z.string().min(1),
    speed: quantity('speed', positive).optional().describe('Of a leg that hangs: left out, its stride’s own'),
    strides: z.int().min(2).max(1000).optional().describe('Of a stair: left out, it is one'),
    control: z.enum(['study', 'clock']).optional().describe('Left out: the study’s controller'),
    thigh: z.enum(['prescribed', 'led']).optional().describe('Left out: led'),
    ground: z.enum(['treadmill', 'overground']).optional().describe('Left out: overground'),
    hangs: z
      .string()
      .optional()
      .describe(
        'A task of a stride: the leg hangs from a hip that stands still and moves as that stride does, over no ground',
      ),
    stairs: z
      .strictObject({
        task: z.string().describe('Of a stride up or down a stair'),
        riser: quantity('length', positive).describe('From tread to tread, as that stride was published for'),
        tread: quantity('length', positive),
        over: quantity('length', positive).describe('An edge is rounded over so much'),
      })
      .optional()
      .describe('One stair with the stride of a task, from contact to contact of this foot'),
    chair: z
      .strictObject({
        hip: quantity('length', positive).describe('Height of the hip joint on the seat'),
        thigh: quantity('angle').describe('On the seat, against the vertical'),
        over: quantity('time', positive).describe('To sit down, and to rise'),
        sits: quantity('time', positive),
        share: quantity('pure number', share).describe(
          'Of the weight, what the other leg takes on the way down and up',
        ),
      })
      .optional()
      .describe('Walks, stands, walks on, stands, sits down, sits, rises, stands'),
    begins: z
      .string()
      .optional()
      .describe('State of the study’s controller in which it begins; left out: the one that the thigh leads'),
    seed: z.int().optional().describe('Of the sensors’ noise'),
    terrain: z
      .union([
        z.strictObject({
          slope: quantity('angle'),
          begins: z
            .strictObject({ at: quantity('length', notNegative), over: quantity('length', positive) })
            .optional()
            .describe(
              'Level up to `at`, ahead of where the hip begins, then more and more over `over`; left out: a slope from the beginning',
            ),
          told: z
            .boolean()
            .optional()
            .describe(
              'Whether the controller is told the slope; false: it takes the ground for level; left out: it goes by what it reads, where its file has `slope`',
            ),
        }),
        z.strictObject({
          step: quantity('length'),
          at: quantity('length', positive),
          over: quantity('length', positive),
        }),
        z.strictObject({ uneven: quantity('length', positive), seed: z.int() }),
      ])
      .optional()
      .describe(
        'A slope; one step, up or down, its edge smoothed; or uneven by chance, RMS. Left out: level',
      ),
    stop: z
      .strictObject({
        ...when,
        over: quantity('time', positive),
        for: quantity('time', notNegative),
        back: z
          .strictObject({
            by: quantity('pure number', positive).describe('Share of the stride'),
            over: quantity('time', positive),
            times: z.int().min(1).max(100),
          })
          .optional()
          .describe('Having stood, goes the same way back, and forth again, so many times'),
      })
      .optional()
      .describe('Comes to a stop there, stands, and goes on as quickly as it stopped'),
    leaves: z
      .strictObject({ below: quantity('pure number', share) })
      .optional()
      .describe('The study’s controller takes its foot for lifted below this share of body weight'),
    cadence: z
      .array(
        z.strictObject({ at: quantity('time', notNegative), share: quantity('pure number', notNegative) }),
      )
      .min(2)
      .optional()
      .describe('Share of the stride’s own pace over time'),
    fault: z
      .strictObject({ name: z.string(), ...when })
      .optional()
      .describe('As in the fault map'),
  })
  .superRefine((scenario, ctx) => {
    const wrong = (path: PropertyKey[], message: string, mend: string): void =>
      ctx.addIssue({ code: 'custom', path, message, params: { mend } });
    const { stop, cadence, ground, terrain } = scenario;
    const kinds = (['hangs', 'stairs', 'chair'] as const).filter((name) => scenario[name] !== undefined);
    const own = kinds[0];
    if (kinds.length > 1) {
      wrong([kinds[1]!], `a scenario with both \`${own}\` and \`${kinds[1]}\` is two`, 'Keep one of them');
      return;
    }
    const once = own === 'stairs' || own === 'chair';
    if (!once && scenario.strides === undefined)
      wrong(['strides'], 'a walk needs a number of strides', 'Write one, such as `strides: 8`');
    if (once && scenario.strides !== undefined)
      wrong(['strides'], `\`${own}\` is told as a whole, not in strides`, 'Take out `strides`');
    const led = own === 'hangs' || own === 'stairs';
    if (!led && scenario.speed === undefined)
      wrong(['speed'], 'a walk needs a speed', 'Write one, such as `speed: 1.1 m/s`');
    if (own !== undefined)
      for (const name of [...WALKED, ...(own === 'hangs' ? HELD : []), ...(led ? SPEED : [])] as const)
        if (scenario[name] !== undefined)
          wrong([name], `with \`${own}\` that is not said`, `Take out \`${name}\``);
    if (own === 'chair' && scenario.control === 'clock')
      wrong(['control'], 'a clock neither sits down nor rises', 'Write `control: study`');
    if (scenario.begins !== undefined && own !== 'stairs')
      wrong(['begins'], 'a walk begins in swing', 'Take out `begins`');
    if (stop !== undefined && cadence !== undefined)
      wrong(['stop'], 'a walk with both `stop` and `cadence` has two paces', 'Keep one of them');
    if ((stop !== undefined || cadence !== undefined) && ground === 'treadmill')
      wrong(['ground'], 'a belt that changes its speed is not modelled', 'Write `ground: overground`');
    if (stop?.back !== undefined && stop.back.by.si > 1)
      wrong(['stop', 'back', 'by'], 'nobody here goes back by more than a stride', 'Stay within 100 %');
    if (scenario.leaves !== undefined && scenario.control === 'clock')
      wrong(['leaves'], 'a clock is not told when to leave stance', 'Write `control: study`');
    if (cadence !== undefined && cadence[0]?.share.si !== 1)
      wrong(['cadence', 0, 'share'], 'a walk begins in the middle of a swing', 'Begin with a share of 1');
    cadence?.forEach(({ at }, i) => {
      if (i > 0 && !(at.si > cadence[i - 1]!.at.si))
        wrong(['cadence', i, 'at'], 'the times do not rise', 'Put them in order of time');
    });
    if (terrain !== undefined && 'slope' in terrain && Math.abs(terrain.slope.si) > Math.PI / 12)
      wrong(
        ['terrain', 'slope'],
        'no level stride is walked on so steep a slope',
        'Stay within 15°: the angles of the stride stay those of level walking',
      );
    if (terrain !== undefined && 'slope' in terrain) {
      if (terrain.begins !== undefined && ground === 'treadmill')
        wrong(
          ['ground'],
          'a belt whose slope begins under way is not modelled',
          'Write `ground: overground`',
        );
      if (terrain.begins !== undefined && terrain.told === true)
        wrong(
          ['terrain', 'told'],
          'told from the first step on, it would walk level ground as a slope',
          'Leave `told` out, or write `false`',
        );
    }
    const { strides = 1 } = scenario;
    if (scenario.fault !== undefined && scenario.fault.stride > strides)
      wrong(
        ['fault', 'stride'],
        'the fault comes after the walk',
        'Choose an earlier stride, or walk longer',
      );
    if (stop !== undefined && stop.stride > strides)
      wrong(['stop', 'stride'], 'the stop comes after the walk', 'Choose an earlier stride, or walk longer');
  });
