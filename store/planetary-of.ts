import type { PlanetaryTeeth } from '@striderule/engine';
import type { JointFile } from './joint-schema.ts';

type Stages = NonNullable<JointFile['transmission']['stages']>;

/** Teeth of one stage where it is planetary and its sun and ring are counted. */
export const planetaryTeeth = ({ kind, teeth }: Stages[number]): PlanetaryTeeth | undefined =>
  kind === 'planetary' && teeth?.sun !== undefined && teeth.ring !== undefined
    ? { sun: teeth.sun, ring: teeth.ring }
    : undefined;

/** Teeth of all stages, the motor's first; undefined where any is not known, since the next one's speed is then not known either. */
export function planetaryOf(stages: Stages | undefined): readonly PlanetaryTeeth[] | undefined {
  const known = stages?.map(planetaryTeeth).filter((teeth) => teeth !== undefined);
  return known !== undefined && known.length > 0 && known.length === stages!.length ? known : undefined;
}
