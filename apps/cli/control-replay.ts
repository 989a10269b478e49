import { Fault, replayLog } from '@striderule/engine';
import { buildFingerprint, readControllerLog } from '@striderule/store';
import { readControlled, runningController } from './controlled-study.ts';
import { heading } from './heading.ts';
import { json, out, strong } from './print.ts';
import { replayText, replayVerdict } from './replay-table.ts';
import type { Values } from './values.ts';

/** `control replay <log.csv>`: a controller over what a leg has read, beside what happened then. */
export async function controlReplay(file: string, values: Values): Promise<number> {
  const { input, design } = await readControlled(values);
  const leg = runningController(input, design);
  const log = await readControllerLog(file, file);
  if (Math.abs(log.period / leg.compiled.period - 1) > 1e-4) {
    throw new Fault({
      code: 'control.period',
      what: `This log has a row each ${1e3 * log.period} ms, the controller runs each ${Number((1e3 * leg.compiled.period).toPrecision(6))} ms`,
      mend: 'Choose the leg whose controller wrote it, or record every tick',
    });
  }
  const report = {
    replay: replayLog(leg.compiled, log),
    log: { controller: log.controller, build: log.build, lacks: log.lacks },
    here: { id: leg.id, controller: leg.fingerprint, build: buildFingerprint(leg) },
    unknownStates: log.states.filter((name) => !leg.compiled.states.includes(name)),
    period: log.period,
  };
  if (values.json) out(json({ study: input.name, demo: input.demo, ...report }));
  else out(`${strong(replayVerdict(report))}\n${heading(input)}\n\n${replayText(report)}`);
  return 0;
}
