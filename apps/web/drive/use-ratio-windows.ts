import {
  changedStudy,
  type DrivenJoint,
  type MostMet,
  mostMet,
  type Requirement,
  type RequirementWindow,
  type StudyChange,
  type StudyInput,
} from '@striderule/engine';
import { useEffect, useMemo, useState } from 'react';
import { atRest } from '../at-rest.ts';
import { workBeside } from '../design/beside.ts';
import type { WindowAnswer } from '../design/study-worker.ts';

/** At which ratios each requirement of a joint is met, as far as it is worked out. */
export interface RatioWindows {
  /** Those that the ratio moves, in the study's order. */
  readonly asked: readonly Requirement[];
  readonly found: readonly RequirementWindow[];
  /** Once all are found; `undefined` also where none is met at any ratio. */
  readonly most: MostMet | undefined;
  readonly whole: boolean;
  /** The browser runs nothing beside the page. */
  readonly lost: boolean;
}

interface Found {
  readonly of: StudyInput;
  readonly key: string;
  readonly found: readonly RequirementWindow[];
  readonly lost: boolean;
}

// By study, then joint and requirements: to come back to a joint costs nothing.
const kept = new WeakMap<StudyInput, Map<string, readonly RequirementWindow[]>>();

/**
 * Worked out beside the page, a requirement at a time, once the page answers: of the study with its changes but the ratio of this joint, so that
 * nothing is asked anew while that one slides.
 */
export function useRatioWindows(
  study: StudyInput,
  { ratios, requirements }: StudyChange,
  joint: DrivenJoint,
  ids: string,
): RatioWindows {
  const other = joint === 'knee' ? 'ankle' : 'knee';
  const beside = ratios?.[other];
  const input = useMemo(
    () =>
      changedStudy(study, {
        ...(beside !== undefined && { ratios: { [other]: beside } }),
        ...(requirements !== undefined && { requirements }),
      }),
    [study, beside, other, requirements],
  );
  const asked = useMemo(() => {
    const wanted = ids.split(' ');
    return input.requirements.filter(({ id }) => wanted.includes(id));
  }, [input, ids]);
  const [got, setGot] = useState<Found>();
  const key = `${joint} ${ids}`;
  const known = kept.get(input)?.get(key);
  useEffect(() => {
    if (known !== undefined || asked.length === 0) return;
    let end = () => {};
    const begin = () => {
      const found: RequirementWindow[] = [];
      const beside = workBeside<WindowAnswer>(
        input,
        ({ window }) => {
          found.push(window);
          if (found.length === asked.length) {
            const joints = kept.get(input) ?? new Map<string, readonly RequirementWindow[]>();
            kept.set(input, joints.set(key, found));
            end();
          }
          setGot({ of: input, key, found: [...found], lost: false });
        },
        () => setGot({ of: input, key, found, lost: true }),
      );
      end = beside.end;
      beside.ask({ kind: 'windows', joint, ids: asked.map(({ id }) => id) });
    };
    const leave = atRest(begin);
    return () => {
      leave();
      end();
    };
  }, [known, asked, input, joint, key]);
  const own = got?.of === input && got.key === key ? got : undefined;
  const found = known ?? own?.found;
  return useMemo(() => {
    const whole = found !== undefined && found.length === asked.length;
    return {
      asked,
      found: found ?? [],
      most: whole ? mostMet(found) : undefined,
      whole,
      lost: own?.lost ?? false,
    };
  }, [asked, found, own?.lost]);
}
