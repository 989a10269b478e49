import {
  type DrivenJoint,
  evaluateDesign,
  gaitDemand,
  isWalked,
  metricCatalogue,
  type StudyInput,
} from '@striderule/engine';
import { type PlainLoad, plainDesign } from './plain-design.ts';
import { inTurn, timingText } from './rounds.ts';

/** Largest relative difference between the engine's numbers and the plain version's, over all tasks and joints. */
function worstDifference(
  engine: { readonly [task: string]: { readonly [joint in DrivenJoint]?: PlainLoad } },
  plain: { readonly [task: string]: { readonly [joint in DrivenJoint]?: PlainLoad } },
): { readonly difference: number; readonly compared: number } {
  let difference = 0;
  let compared = 0;
  for (const [task, joints] of Object.entries(plain)) {
    for (const [joint, load] of Object.entries(joints) as [DrivenJoint, PlainLoad][]) {
      for (const name of ['peakTorque', 'rmsTorque', 'peakCurrent', 'speedMargin'] as const) {
        const ours = engine[task]?.[joint]?.[name] ?? Number.NaN;
        if (Number.isNaN(ours) !== Number.isNaN(load[name]))
          throw new Error(`${task} ${joint} ${name}: ${ours} and ${load[name]}`);
        if (Number.isNaN(ours)) continue;
        compared++;
        difference = Math.max(difference, Math.abs(ours / load[name] - 1));
      }
    }
  }
  return { difference, compared };
}

/**
 * One design on all tasks of a study, beside the plain version of the same arithmetic. Must reach: 4 ms, and 8 ms with every metric
 * that its requirements ask for. Swing and stance schedules, which do not depend on the drives, are kept from one design to the next.
 */
export function designTime(input: StudyInput): string {
  const { wearer, leg, strides, tasks } = input;
  const demands = Object.fromEntries(
    tasks.map((task) => [task.id, gaitDemand(task, strides, wearer, leg.segments)]),
  );
  const stridesOnly = Object.values(demands).filter((demand) => demand.kind === 'stride');

  const { difference, compared } = worstDifference(
    evaluateDesign(input, demands).loads,
    plainDesign(stridesOnly, leg.joints, leg.busVoltage),
  );
  if (!(difference < 1e-9) || compared === 0) {
    throw new Error(`engine and plain version differ by ${difference} over ${compared} numbers`);
  }

  const every = Object.values(metricCatalogue).flatMap((metric) =>
    (metric.only === undefined ? (['knee', 'ankle'] as const) : (['knee'] as const)).map(
      (joint) => [metric, joint] as const,
    ),
  );
  // what walks judge is no part of a design’s time
  const asked = input.requirements.filter(({ metric }) => !isWalked(metric));
  const driven = every.filter(([{ chapter }]) => chapter.startsWith('drive.md'));
  const { known, whole, plain, ledger, drives, metrics } = inTurn({
    known: () => evaluateDesign(input, demands),
    whole: () => evaluateDesign(input),
    plain: () => plainDesign(stridesOnly, leg.joints, leg.busVoltage),
    ledger: () => {
      const design = evaluateDesign(input, demands);
      return asked.map(({ metric, joint, task }) =>
        metricCatalogue[metric]!.value(input, design, joint ?? 'knee', task),
      );
    },
    drives: () => {
      const design = evaluateDesign(input, demands);
      return driven.map(([metric, joint]) => metric.value(input, design, joint, undefined));
    },
    metrics: () => {
      const design = evaluateDesign(input, demands);
      return every.map(([metric, joint]) => metric.value(input, design, joint, undefined));
    },
  });
  return [
    `One design on all ${tasks.length} tasks (must reach 4 ms)`,
    `  demands known         ${timingText(known)}`,
    `  demands made anew     ${timingText(whole)}`,
    `  plain version         ${timingText(plain)}   motor load only, demands known`,
    `  with the ledger       ${timingText(ledger)}   its ${asked.length} requirements, without intervals (must reach 8 ms)`,
    `  every metric of Drive ${timingText(drives)}   ${driven.length}, each the worst of all tasks (must reach 8 ms)`,
    `  with every metric     ${timingText(metrics)}   all ${every.length}, each the worst of all tasks`,
    `  plain ÷ engine        ${(plain.median / known.median).toFixed(1)}   same ${compared} numbers within ${difference.toExponential(0)}`,
  ].join('\n');
}
