import type { WorkDesign } from '@striderule/wire';
import type { Draft } from './use-draft.ts';

/** The design as it stands on the page, as the server is told of it: the study that was read, and what differs from it. */
export function askedDesign(fingerprint: string, { change, requirements }: Draft): WorkDesign {
  const edited = change.requirements?.filter(({ id }) => requirements.some((each) => each.id === id));
  return {
    fingerprint,
    change: {
      ...(change.ratios !== undefined && { ratios: change.ratios }),
      ...(edited !== undefined && { requirements: edited }),
    },
  };
}

/** The same for what is walked, which reads no requirement; with another leg of the study where one is walked. */
export function walkedDesign(
  { fingerprint, change: { ratios } }: WorkDesign,
  leg: WorkDesign['leg'],
): WorkDesign {
  return {
    fingerprint,
    change: { ...(ratios !== undefined && { ratios }) },
    ...(leg !== undefined && { leg }),
  };
}
