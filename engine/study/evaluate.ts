import { type Propagation, propagated } from '../evidence/interval.ts';
import type { LedgerInput, LedgerRow } from '../evidence/ledger-row.ts';
import type { Requirement } from '../evidence/requirement.ts';
import { marginTo, verdict } from '../evidence/verdict.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { Fault } from '../quantity/fault.ts';
import { nearestName } from '../quantity/nearest-name.ts';
import type { Spread } from '../quantity/spread.ts';
import { type Demands, type DesignResult, evaluateDesign, studyDemands } from './design.ts';
import type { Metric } from './metric.ts';
import { inputUnit } from './metric-inputs.ts';
import { jointsOf, pathsRead } from './metric-paths.ts';
import type { MetricValue } from './metric-value.ts';
import { jointOf, metricOf } from './requirement-metric.ts';
import type { StudyInput } from './study-input.ts';
import { isWalked } from './walk-metrics.ts';
import { unwalkedRow } from './walked-row.ts';
import { valueAt, withValue } from './with-value.ts';

export interface StudyResult extends DesignResult {
  readonly ledger: readonly LedgerRow[];
}

const LINEAR =
  'No saturation current is known, so torque is taken as proportional to current: near the peak the motor gives less.';

function inputsOf(
  input: StudyInput,
  metric: Metric,
  joint: DrivenJoint,
  task: string | undefined,
): LedgerInput[] {
  const numbers = [...pathsRead(input, metric, joint)].flatMap((path): LedgerInput[] => {
    const value = path.startsWith('wearer.') ? valueAt(input, path) : valueAt(input.leg, path);
    if (value === undefined) return [];
    return [{ path, value, unit: inputUnit(path) }];
  });
  return task === undefined ? numbers : [...numbers, { path: `tasks.${task}`, value: task, unit: '' }];
}

function row(
  input: StudyInput,
  design: DesignResult,
  requirement: Requirement,
  shifted: (s: Spread, x: number) => DesignResult,
): LedgerRow {
  const metric = metricOf(requirement);
  const joint = jointOf(input, metric, requirement);
  const of = (d: DesignResult): MetricValue => metric.value(input, d, joint, requirement.task);
  const nominal = of(design);
  const predicted = 'value' in nominal ? nominal.value : null;
  let whyUnknown = '';
  const read = pathsRead(input, metric, joint);
  // the others change nothing: a test holds every metric to what it says it reads
  const spreads = input.spreads.filter(({ path }) => read.has(path));
  const propagation: Propagation =
    predicted === null
      ? { interval: null }
      : propagated(predicted, spreads, (spread, x) => {
          const there = metric.value(
            { ...input, leg: withValue(input.leg, spread.path, x) },
            shifted(spread, x),
            joint,
            requirement.task,
          );
          if ('value' in there) {
            if (!Number.isFinite(there.value)) whyUnknown = 'there it is without bound';
            return there.value;
          }
          whyUnknown = there.openBecause;
          return Number.NaN;
        });
  const state = verdict(requirement.bound, predicted, propagation);
  const openBecause =
    'openBecause' in nominal
      ? nominal.openBecause
      : state === 'open' && propagation.unknownAt !== undefined
        ? `inside the bound, but within the spread of ${propagation.unknownAt} it cannot be predicted: ${whyUnknown}`
        : undefined;
  const linear =
    metric.reads.includes('motor.saturationCurrent') &&
    jointsOf(input, metric, joint).some((each) => {
      const drive = input.leg.joints[each];
      return drive !== undefined && drive.motor.saturationCurrent === undefined;
    });
  return {
    requirement,
    title: metric.title,
    unit: metric.unit,
    predicted,
    interval: propagation.interval,
    measured: null,
    shown: null,
    margin: predicted === null ? null : marginTo(requirement.bound, predicted),
    state,
    ...(openBecause !== undefined && { openBecause }),
    ...('at' in nominal && nominal.at !== undefined && { at: nominal.at }),
    formula: metric.formula,
    chapter: metric.chapter,
    inputs: inputsOf(
      input,
      metric,
      joint,
      requirement.task ?? ('value' in nominal ? nominal.task : undefined),
    ),
    cautions: linear ? [...metric.cautions, LINEAR] : metric.cautions,
  };
}

/** Demands depend on the segments only; a spread elsewhere reuses the nominal ones. */
const touchesDemand = (spread: Spread): boolean => spread.path.startsWith('segments.');

/**
 * The whole thread: demands, drives, and the ledger with intervals by linear propagation of the leg's spreads through all of it.
 * What walks judge is open here, until `withWalks` sets it right. Faults: a requirement that names no metric, joint or task; whatever gait and drive refuse.
 */
export function evaluateStudy(input: StudyInput, demands: Demands = studyDemands(input)): StudyResult {
  const design = evaluateDesign(input, demands);
  const designs = new Map<string, DesignResult>();
  const shifted = (spread: Spread, x: number): DesignResult => {
    const key = `${spread.path} ${x}`;
    const known = designs.get(key);
    if (known !== undefined) return known;
    const leg = withValue(input.leg, spread.path, x);
    const made = evaluateDesign({ ...input, leg }, touchesDemand(spread) ? undefined : demands);
    designs.set(key, made);
    return made;
  };
  for (const { id, task } of input.requirements) {
    if (task === undefined || Object.hasOwn(demands, task)) continue;
    const near = nearestName(task, Object.keys(demands));
    throw new Fault({
      code: 'study.unknown-task',
      what: `There is no task \`${task}\``,
      mend:
        near === undefined ? `Use one of: ${Object.keys(demands).join(', ')}` : `Did you mean \`${near}\`?`,
      place: { path: `requirements.${id}` },
    });
  }
  return {
    ...design,
    ledger: input.requirements.map((requirement) =>
      isWalked(requirement.metric)
        ? unwalkedRow(input, requirement)
        : row(input, design, requirement, shifted),
    ),
  };
}
