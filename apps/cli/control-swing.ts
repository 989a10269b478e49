import {
  PHASE_METHODS,
  type PhaseMethod,
  swingClearance,
  swingFollow,
  swingSteadiness,
  swingWhatIf,
} from '@striderule/engine';
import { heading } from './heading.ts';
import { json, out, strong } from './print.ts';
import { chosenTasks, oneForm, oneOf, readStudy } from './study-read.ts';
import { printSwingAt } from './swing-at.ts';
import { type SwingReport, swingCsv, swingText, swingVerdict } from './swing-table.ts';
import type { Values } from './values.ts';

/** `control swing`: each walking task's thigh through the swing controller. */
export async function controlSwing(values: Values): Promise<number> {
  oneForm(values, 'json', 'csv');
  const method: PhaseMethod =
    values.phase === undefined ? 'latch' : oneOf('--phase', values.phase as string, PHASE_METHODS);
  const finish =
    values.finish === undefined
      ? undefined
      : oneOf('--finish', values.finish as string, ['on', 'off']) === 'on';
  const { input } = await readStudy(values);
  if (values.speed !== undefined || values.incline !== undefined) {
    printSwingAt(input, values);
    return 0;
  }
  const asked = chosenTasks(input, values.task).filter(
    ({ kind }) => values.task !== undefined || kind === 'stride',
  );
  const options = { method, ...(finish !== undefined && { finish }) };
  const report: SwingReport = {
    method,
    tasks: [],
    leftOut: [],
  };
  for (const { id, title } of asked) {
    const follow = swingFollow(input, id, options);
    if ('openBecause' in follow) {
      report.leftOut.push({ task: id, title, openBecause: follow.openBecause });
      continue;
    }
    report.tasks.push({
      follow,
      clearance: swingClearance(input, follow),
      steadiness: swingSteadiness(input, id, { method }),
      ...(method === 'latch' && { whatIf: swingWhatIf(input, id, options) }),
    });
  }
  if (values.json) {
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: rad, m, s; phases as shares of the stride; engine signs; null where not known',
        ...report,
      }),
    );
  } else if (values.csv) out(swingCsv(report));
  else out(`${strong(swingVerdict(report))}\n${heading(input)}\n\n${swingText(report)}`);
  return 0;
}
