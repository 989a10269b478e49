import type { JointRecipe, Recipe } from '@striderule/engine';
import type { RecipeFile } from './recording-schema.ts';

/** A curve may fail to close by this share of its range unless the recipe says otherwise. COMMON PRACTICE. */
const LARGEST_GAP = 0.05;

type JointFile<Sign extends string> = Pick<JointRecipe<Sign>, 'angle'> & {
  readonly moment?: JointRecipe<Sign>['moment'] | undefined;
  readonly power?: NonNullable<RecipeFile['hip']>['power'];
};

const jointOf = <Sign extends string>({ angle, moment, power }: JointFile<Sign>): JointRecipe<Sign> => ({
  angle,
  ...(moment && { moment }),
  ...(power && {
    power: { column: power.column, unit: power.unit, positive: power.positive ?? 'generation' },
  }),
});

/** A recipe file as the engine reads it: SI numbers, defaults filled in. */
export function recipeOf(file: RecipeFile): Recipe {
  const { person, groundForce } = file;
  return {
    ...(file.notice !== undefined && { notice: file.notice }),
    delimiter: file.delimiter ?? ',',
    decimal: file.decimal ?? '.',
    ...(file.namesLine !== undefined && { namesLine: file.namesLine }),
    ...(file.dataLine !== undefined && { dataLine: file.dataLine }),
    ...(file.percent !== undefined && { percent: file.percent }),
    ...(file.time && { time: file.time }),
    ...(file.stride !== undefined && { stride: file.stride }),
    strideEnds: file.strideEnds ?? 'next row',
    leaveOut: file.leaveOut ?? [],
    ...(file.strideTime && { strideTime: file.strideTime.si }),
    stance: 'si' in file.stance ? file.stance.si : { forceBelow: file.stance.forceBelow.si },
    ...(file.speed && { speed: file.speed.si }),
    ...(file.incline && { incline: file.incline.si }),
    ...(file.bodyMass && { bodyMass: file.bodyMass.si }),
    cutOff: file.cutOff.si,
    largestGap: file.largestGap?.si ?? LARGEST_GAP,
    accept: file.accept ?? [],
    ...(file.hip && { hip: jointOf(file.hip) }),
    ...(file.knee && { knee: jointOf(file.knee) }),
    ...(file.ankle && { ankle: jointOf(file.ankle) }),
    ...(file.thigh && { thigh: file.thigh }),
    ...(groundForce && {
      groundForce: {
        vertical: groundForce.vertical,
        ...(groundForce.foreAft && { foreAft: groundForce.foreAft }),
      },
    }),
    ...(person && {
      person: {
        who: person.who,
        ...(person.count !== undefined && { count: person.count }),
        ...(person.height && { height: person.height.si }),
      },
    }),
  };
}
