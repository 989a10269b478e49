import path from 'node:path';
import { faultText } from '@striderule/engine';
import { checkStudy } from '@striderule/store';
import { json, out } from './print.ts';
import { oneStudy } from './study-place.ts';
import type { Values } from './values.ts';

/** `study check`: every fault in the files, each with its place and how to mend it. Changes nothing. */
export async function studyCheck(named: string | undefined, values: Values): Promise<number> {
  const folder = oneStudy(named, values.study, { mayBeDemo: true });
  const faults = await checkStudy(folder);
  if (values.json) out(json({ folder, faults }));
  else if (faults.length === 0) out(`${path.basename(folder)}: no fault.`);
  else {
    out(`${path.basename(folder)}: ${faults.length === 1 ? '1 fault' : `${faults.length} faults`}.\n`);
    for (const fault of faults) out(faultText(fault));
  }
  return faults.length === 0 ? 0 : 1;
}
