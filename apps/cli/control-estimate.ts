import { estimateSettling, slopeEstimates, type WalkEstimate, walkEstimate } from '@striderule/engine';
import { type EstimateReport, estimateCsv, estimateText, estimateVerdict } from './estimate-table.ts';
import { heading } from './heading.ts';
import { json, out, strong } from './print.ts';
import { oneForm, readStudy } from './study-read.ts';
import { byStrides } from './usual-task.ts';
import type { Values } from './values.ts';

/** `control estimate`: speed and slope as the leg reads them while it walks. */
export async function controlEstimate(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  const { input } = await readStudy(values);
  const tasks: WalkEstimate[] = [];
  const leftOut: { task: string; openBecause: string }[] = [];
  for (const task of byStrides(input, values.task)) {
    const estimate = walkEstimate(input, task);
    if ('openBecause' in estimate) leftOut.push({ task, openBecause: estimate.openBecause });
    else tasks.push(estimate);
  }
  const first = tasks[0]?.task;
  const slopes = first === undefined ? undefined : slopeEstimates(input, first);
  const settling = first === undefined ? undefined : estimateSettling(input, first);
  const report: EstimateReport = {
    tasks,
    leftOut,
    ...(slopes !== undefined && !('openBecause' in slopes) && { slopes }),
    ...(settling !== undefined && !('openBecause' in settling) && { settling }),
  };
  if (values.json) {
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: rad, m/s, s; errors of speed as shares of the true speed; null where not known',
        ...report,
      }),
    );
  } else if (values.csv) out(estimateCsv(report));
  else out(`${strong(estimateVerdict(report))}\n${heading(input)}\n\n${estimateText(report)}`);
  return 0;
}
