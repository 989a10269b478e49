import type { Requirement } from '../evidence/requirement.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { Fault } from '../quantity/fault.ts';
import { nearestName } from '../quantity/nearest-name.ts';
import { DRIVEN } from './design.ts';
import type { Metric } from './metric.ts';
import { metricNames } from './metric-catalogue.ts';
import { metricCatalogue } from './metrics.ts';
import type { StudyInput } from './study-input.ts';

/** The catalogue entry a requirement names. Fault: there is none. */
export function metricOf(requirement: Requirement): Metric {
  const found = Object.hasOwn(metricCatalogue, requirement.metric)
    ? metricCatalogue[requirement.metric]
    : undefined;
  if (found !== undefined) return found;
  const near = nearestName(requirement.metric, metricNames);
  throw new Fault({
    code: 'study.unknown-metric',
    what: `There is no metric \`${requirement.metric}\``,
    mend: near === undefined ? `Use one of: ${metricNames.join(', ')}` : `Did you mean \`${near}\`?`,
    place: { path: `requirements.${requirement.id}` },
  });
}

/** Every metric belongs to a joint: the one named, or the only one it can be. Never one of two unasked. */
export function jointOf(input: StudyInput, metric: Metric, r: Requirement): DrivenJoint {
  if (r.joint !== undefined) return r.joint;
  const driven = DRIVEN.filter((joint) => input.leg.joints[joint] !== undefined);
  // a metric of the whole leg takes no notice of it
  if (metric.only !== undefined || driven.length === 0) return 'knee';
  if (driven.length === 1) return driven[0];
  throw new Fault({
    code: 'study.no-joint',
    what: `\`${r.metric}\` is of one joint, and the leg drives two`,
    mend: 'Add `joint: knee` or `joint: ankle`, or write the requirement once for each',
    place: { path: `requirements.${r.id}` },
  });
}
