import type { DrivenJoint } from '../gait/stride.ts';

type Open = { readonly openBecause: string };

/** What `of` makes of knee and of ankle; where one of them is open, why: the knee's reason first. */
export function ofBoth<T extends object>(
  of: (joint: DrivenJoint) => T | Open,
): { readonly [joint in DrivenJoint]: T } | Open {
  const knee = of('knee');
  if ('openBecause' in knee) return knee;
  const ankle = of('ankle');
  return 'openBecause' in ankle ? ankle : { knee, ankle };
}
