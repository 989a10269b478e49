import type { DrivenJoint, Leg, Rad } from '@striderule/engine';
import type { LegFile } from './leg-schema.ts';
import type { Take } from './take-quantity.ts';

const NUMBERS = [
  'stiffness',
  'stiffnessBelow',
  'neutral',
  'flexionDamping',
  'extensionDamping',
  'friction',
  'extensionAssist',
] as const;

type Passive = NonNullable<Leg['passiveJoints']>;

/** The engine's joints without drives, of a leg file. */
export function passiveJointsOf(written: NonNullable<LegFile['passiveJoints']>, take: Take): Passive {
  const made: { [joint in DrivenJoint]?: NonNullable<Passive[DrivenJoint]> } = {};
  for (const name of ['knee', 'ankle'] as const) {
    const own = written[name];
    if (own === undefined) continue;
    const path = `passiveJoints.${name}`;
    const numbers = Object.fromEntries(NUMBERS.map((key) => [key, take(own[key], `${path}.${key}`)])) as {
      [key in (typeof NUMBERS)[number]]: number;
    };
    made[name] = {
      ...numbers,
      range: { from: own.range.from.si as Rad, to: own.range.to.si as Rad },
      ...(own.endStop && {
        endStop: {
          stiffness: take(own.endStop.stiffness, `${path}.endStop.stiffness`),
          ...(own.endStop.damping && { damping: take(own.endStop.damping, `${path}.endStop.damping`) }),
        },
      }),
    };
  }
  return made;
}
