import path from 'node:path';
import { migrateStudy } from '@striderule/store';
import { json, out } from './print.ts';
import { oneStudy } from './study-place.ts';
import type { Values } from './values.ts';

/** `study migrate`: brings an older folder to the present format; comments stay, the originals are kept beside. */
export async function studyMigrate(named: string | undefined, values: Values): Promise<number> {
  const folder = oneStudy(named, values.study, { mayBeDemo: false });
  const migration = await migrateStudy(folder);
  const { from, to, files } = migration;
  if (values.json) out(json({ folder, ...migration }));
  else if (from === to && files.length === 0)
    out(`${path.basename(folder)}: format ${to} already; nothing was changed.`);
  else {
    out(
      `${path.basename(folder)}: format ${from} → ${to}, ${files.length === 1 ? '1 file' : `${files.length} files`} changed.\n`,
    );
    for (const { file, original } of files) out(`  ${file}  (as it was: ${original})`);
    out(`\nstriderule study check ${named ?? ''}`.trimEnd());
  }
  return 0;
}
