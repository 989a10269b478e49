import type { MetricFunction } from './metric-value.ts';
import type { StudyInput } from './study-input.ts';

/** A number of one task's walk, and where it is told; or why there is none. */
type OfWalk = (
  input: StudyInput,
  task: string,
) => { readonly value: number; readonly tell: string } | { readonly openBecause: string };

/**
 * The worst over the tasks that can be judged, or of one. Only a field that the leg file lacks leaves the whole open: what is no
 * walk, or has no thigh, is named beside it.
 */
export const worstOfWalks =
  (of: OfWalk, worse: 'larger' | 'smaller'): MetricFunction =>
  (input, _, __, only) => {
    let found: { value: number; at: string; task: string } | undefined;
    const left: string[] = [];
    for (const { id, title, kind } of input.tasks) {
      if (only !== undefined ? id !== only : kind !== 'stride') continue;
      const got = of(input, id);
      if ('openBecause' in got) {
        if (only !== undefined || got.openBecause.startsWith('the leg file')) return got;
        left.push(`${title} (${got.openBecause})`);
      } else if (
        found === undefined ||
        (worse === 'larger' ? got.value > found.value : got.value < found.value)
      )
        found = { value: got.value, at: `${title}, ${got.tell}`, task: id };
    }
    if (found === undefined) return { openBecause: `no task can be judged: ${left.join('; ')}` };
    return left.length === 0 ? found : { ...found, at: `${found.at}; not judged: ${left.join('; ')}` };
  };
