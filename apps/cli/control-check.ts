import { controlledLeg, controllerFaults, faultText } from '@striderule/engine';
import { readControlled } from './controlled-study.ts';
import { type ControllerReport, controllerText, controllerVerdict } from './controller-table.ts';
import { heading } from './heading.ts';
import { json, out, strong } from './print.ts';
import type { Values } from './values.ts';

/** `control check`: the controller as it would run on this leg, and everything that was found wrong with it. Exit 1 where something was. */
export async function controlCheck(values: Values): Promise<number> {
  const { input, design } = await readControlled(values);
  const faults = controllerFaults(input, design);
  const leg = faults.some(({ place }) => place?.path === undefined) ? undefined : madeOrNot();
  const report: ControllerReport = {
    chosen: input.controller,
    ...(leg !== undefined && ('openBecause' in leg ? { openBecause: leg.openBecause } : { leg })),
    faults,
  };
  if (values.json) {
    const { chosen, openBecause } = report;
    out(
      json({
        study: input.name,
        demo: input.demo,
        units: 'SI: rad, N, N·m, s, K, V; load as a share of body weight; gains at the joint; engine signs',
        id: chosen?.id,
        fingerprint: chosen?.fingerprint,
        controller: chosen?.controller,
        schedules: report.leg?.schedules,
        openBecause,
        faults,
      }),
    );
  } else {
    out(`${strong(controllerVerdict(report))}\n${heading(input)}\n\n`);
    for (const fault of faults) out(`${faultText(fault)}\n`);
    out(controllerText(report));
  }
  return faults.length === 0 && report.openBecause === undefined ? 0 : 1;

  /** The compiled controller; undefined where what is wrong with it keeps it from being compiled, which `faults` tell. */
  function madeOrNot(): ReturnType<typeof controlledLeg> | undefined {
    try {
      return controlledLeg(input, design);
    } catch {
      return undefined;
    }
  }
}
