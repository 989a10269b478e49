import type { StudyInput } from '@striderule/engine';
import type { LegsPayload } from '@striderule/wire';
import { useCallback, useEffect, useMemo, useState } from 'react';
import { receivedLeg } from '../received-leg.ts';

/** A leg that can be walked: the name of its file, and the study with it. */
export interface WalkingLegFile {
  /** Left out: the study's own leg as it stands on the page. */
  readonly file?: string;
  /** Of what that file says. */
  readonly fingerprint?: string;
  readonly name: string;
  readonly input: StudyInput;
}

export interface Legs {
  /** The study's own leg first, then the others by the ratio of their ankle. */
  readonly legs: readonly WalkingLegFile[];
  readonly state: 'reading' | 'read' | 'lost';
  readonly faulty: readonly string[];
  readonly again: () => void;
}

export const ankleRatio = ({ leg }: StudyInput): number => leg.joints.ankle?.transmission.ratio ?? Number.NaN;

/** The leg files of the study beside its own. */
export function useLegs(input: StudyInput): Legs {
  const [got, setGot] = useState<LegsPayload | 'lost'>();
  const [turn, setTurn] = useState(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a turn asks the same once more
  useEffect(() => {
    let mine = true;
    fetch('/api/study/legs', { headers: { accept: 'application/json' } })
      .then((answer) => (answer.ok ? answer.json() : Promise.reject(new Error(String(answer.status)))))
      .then(
        (payload: LegsPayload) => mine && setGot(payload),
        () => mine && setGot('lost'),
      );
    return () => {
      mine = false;
    };
  }, [turn]);
  const legs = useMemo((): WalkingLegFile[] => {
    const own = { name: input.leg.name, input };
    if (got === undefined || got === 'lost') return [own];
    const others = got.legs
      .filter(({ leg }) => leg.name !== input.leg.name)
      .map(({ name, leg, spreads, fingerprint }) => ({
        ...{ file: name, fingerprint },
        name: leg.name,
        input: { ...input, leg: receivedLeg(leg), spreads },
      }))
      // a leg without an ankle drive comes last
      .toSorted((a, b) => (ankleRatio(a.input) || 1e9) - (ankleRatio(b.input) || 1e9));
    return [own, ...others];
  }, [got, input]);
  const again = useCallback(() => {
    setGot(undefined);
    setTurn((was) => was + 1);
  }, []);
  return {
    legs,
    state: got === undefined ? 'reading' : got === 'lost' ? 'lost' : 'read',
    faulty: got === undefined || got === 'lost' ? [] : got.faulty,
    again,
  };
}
