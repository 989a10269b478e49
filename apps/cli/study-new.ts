import path from 'node:path';
import { createStudy } from '@striderule/store';
import { json, out } from './print.ts';
import { DEMO_STUDY } from './study-place.ts';
import type { Values } from './values.ts';

/** `study new`: a copy of the demo study to make one's own. */
export async function studyNew(named: string, values: Values): Promise<number> {
  const folder = path.resolve(named);
  const files = await createStudy({ folder, template: DEMO_STUDY });
  if (values.json) out(json({ folder, files, demo: true }));
  else {
    out(`${named}: a new study of ${files.length} files, copied from the demo study.
DEMO DATA until you replace it: leg, wearer and motors in it are invented, and every table says so.

Next
  wearers/w01.yaml     put your wearer's body mass and stature there, under a pseudonymous code
  legs/tern.yaml       describe your leg: segments, motors, ratio, losses, parts list
  requirements.yaml    write what must hold, and why
  study.yaml           remove \`notice\` when nothing invented is left

  striderule study check ${named}
  striderule evidence ledger --study ${named}`);
  }
  return 0;
}
