import type { HazardsPayload } from '@striderule/wire';
import { useEffect, useState } from 'react';

/** What the study lists as hazards; why it is not known, in words; neither while it is read. */
export interface KnownHazards {
  readonly hazards?: HazardsPayload['hazards'];
  readonly unknown?: string;
}

async function readHazards(): Promise<KnownHazards> {
  try {
    const answer = await fetch('/api/study/hazards', { headers: { accept: 'application/json' } });
    if (!answer.ok) return { unknown: 'The list of hazards cannot be read; `study check` says why.' };
    const { hazards }: HazardsPayload = await answer.json();
    return { hazards };
  } catch {
    return { unknown: 'The hazards could not be read: the server does not answer.' };
  }
}

/** Asked for once they are wanted. */
export function useHazards(wanted: boolean): KnownHazards {
  const [got, setGot] = useState<KnownHazards>({});
  useEffect(() => {
    if (!wanted) return;
    let mine = true;
    readHazards().then((next) => mine && setGot(next));
    return () => {
      mine = false;
    };
  }, [wanted]);
  return got;
}
