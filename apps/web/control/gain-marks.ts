import { type DrivenJoint, PUBLISHED_IMPEDANCE, type StanceSchedule } from '@striderule/engine';

/** One row of marks under the stiffness scale: what others found, or this schedule asks. N·m/rad at the joint. */
export interface GainMarks {
  readonly name: string;
  /** From, to: drawn as a bar. */
  readonly range?: readonly [number, number];
  readonly ticks: readonly { readonly value: number; readonly label: string }[];
}

/** Rows for one joint of a person of `mass` kg; a row without marks is left out. */
export function gainMarks(
  joint: DrivenJoint,
  mass: number,
  schedule: StanceSchedule | { readonly openBecause: string },
): readonly GainMarks[] {
  const of = (how: 'perturbation' | 'tuned') =>
    PUBLISHED_IMPEDANCE.filter((row) => row.joint === joint && row.how === how).flatMap(
      ({ stiffness, perMass }) => (stiffness === undefined ? [] : [perMass ? stiffness * mass : stiffness]),
    );
  const [pushed, tuned] = [of('perturbation'), of('tuned')];
  const rows: GainMarks[] = [];
  if (!('openBecause' in schedule))
    rows.push({
      name: `Schedule, parts 1–${schedule.subphases.length}`,
      ticks: schedule.subphases.map(({ impedance }, k) => ({
        value: impedance.stiffness,
        label: String(k + 1),
      })),
    });
  if (pushed.length > 0)
    rows.push({ name: 'Pushed while walking', range: [Math.min(...pushed), Math.max(...pushed)], ticks: [] });
  if (tuned.length > 0)
    rows.push({
      name: 'Tuned by hand',
      ticks: [...new Set(tuned)].map((value) => ({ value, label: '' })),
    });
  return rows;
}
