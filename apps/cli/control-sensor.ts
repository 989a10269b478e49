import { type SensedError, sensedSwing, sensorBudget } from '@striderule/engine';
import { heading } from './heading.ts';
import { json, out, strong } from './print.ts';
import { type SensorReport, sensorCsv, sensorText, sensorVerdict } from './sensor-table.ts';
import { oneForm, readStudy } from './study-read.ts';
import { byStrides } from './usual-task.ts';
import type { Values } from './values.ts';

/** `control sensor`: what each error of the thigh sensor does to thigh, phase and foot. */
export async function controlSensor(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  const { input } = await readStudy(values);
  const tasks: { task: string; error: SensedError }[] = [];
  const leftOut: { task: string; openBecause: string }[] = [];
  for (const task of byStrides(input, values.task)) {
    const error = sensedSwing(input, task);
    if ('openBecause' in error) leftOut.push({ task, openBecause: error.openBecause });
    else tasks.push({ task, error });
  }
  const first = tasks[0];
  const budget = first === undefined ? undefined : sensorBudget(input, first.task);
  const report: SensorReport = {
    ...(budget !== undefined && !('openBecause' in budget) && { budget }),
    tasks,
    leftOut,
  };
  if (values.json) {
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: rad, m, s; phases as shares of the stride; null where not known',
        ...report,
      }),
    );
  } else if (values.csv) out(sensorCsv(report));
  else out(`${strong(sensorVerdict(report))}\n${heading(input)}\n\n${sensorText(report)}`);
  return 0;
}
