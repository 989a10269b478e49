import type { Demand } from '../gait/demand-result.ts';
import { personDemand } from '../gait/people.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { TakeArray } from '../numeric/reused-arrays.ts';
import { type Demands, studyDemands } from './design.ts';
import type { StudyInput } from './study-input.ts';
import { PEOPLE, type UncertainInput } from './uncertain-inputs.ts';

/** Which numbers of a record are drawn, and which records inside it hold such. Found once, used at every draw. */
interface Places {
  readonly numbers: { readonly key: string; readonly input: number }[];
  readonly inside: Map<string, Places>;
}

const noPlaces = (): Places => ({ numbers: [], inside: new Map() });

/** The record with its drawn numbers at their values; what holds none of them is shared. */
function placed<T extends object>(record: T, { numbers, inside }: Places, values: Float64Array): T {
  const copy = { ...record } as Record<string, unknown>;
  for (const { key, input } of numbers) copy[key] = values[input];
  for (const [key, places] of inside) copy[key] = placed(copy[key] as object, places, values);
  return copy as T;
}

/** The leg with every uncertain number at its value, for one set of values after another. */
export function legWith<T extends object>(
  leg: T,
  inputs: readonly UncertainInput[],
): (values: Float64Array) => T {
  const all = noPlaces();
  inputs.forEach(({ path }, input) => {
    if (path.startsWith(PEOPLE)) return;
    const keys = path.split('.');
    const key = keys.pop()!;
    let places = all;
    for (const one of keys) {
      const next = places.inside.get(one) ?? noPlaces();
      places.inside.set(one, next);
      places = next;
    }
    places.numbers.push({ key, input });
  });
  return (values) => placed(leg, all, values);
}

/**
 * Demands for one set of values after another: another person's where there are scores, made anew where a segment changed. Without
 * people the demands stay as the study asks them, its coverage included. `take` gives the arrays of another person's torque.
 */
export function demandsWith(
  demands: Demands,
  inputs: readonly UncertainInput[],
): (study: StudyInput, values: Float64Array, take: TakeArray) => Demands {
  const anew = inputs.some(({ path }) => path.startsWith('segments.'));
  const people = inputs.flatMap(({ path }, input) =>
    path.startsWith(PEOPLE) ? [{ joint: path.slice(PEOPLE.length) as DrivenJoint, input }] : [],
  );
  return (study, values, take) => {
    const base = anew ? studyDemands(study) : demands;
    if (people.length === 0) return base;
    const scores: { [joint in DrivenJoint]?: number } = {};
    for (const { joint, input } of people) scores[joint] = values[input];
    const others: Record<string, Demand> = {};
    for (const id of Object.keys(base)) others[id] = personDemand(base[id]!, scores, take);
    return others;
  };
}
