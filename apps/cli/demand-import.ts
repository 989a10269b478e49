import path from 'node:path';
import { degFromRad, type Rad } from '@striderule/engine';
import { type ImportedRecording, importRecording } from '@striderule/store';
import { longWork } from './long-work.ts';
import { fixed, GAP, significant } from './number-text.ts';
import { list } from './paragraph.ts';
import { json, out } from './print.ts';
import { studyFolder } from './study-place.ts';
import { table } from './table.ts';
import type { Values } from './values.ts';

const MEGABYTE = 1e6;

/** `demand import`: a task of the laboratory's own strides. Ctrl-C stops it and leaves the study as it was. */
export async function demandImport(csv: string, values: Values): Promise<number> {
  const folder = studyFolder(values.study as string | undefined, { mayBeDemo: false });
  const imported = await longWork(`Reading ${path.basename(csv)}`, (signal, shown) =>
    importRecording({
      folder,
      csv: path.resolve(csv),
      recipe: path.resolve(values.recipe as string),
      id: values.id as string,
      ...(values.title !== undefined && { title: values.title as string }),
      ...(values.outside !== undefined && { original: 'outside' as const }),
      ...(values.replace !== undefined && { replace: true }),
      signal,
      onProgress: (done, total) => {
        const size = `${fixed(done / MEGABYTE, 1)} of ${fixed(total / MEGABYTE, 1)} MB`;
        shown.to(total === 0 ? 1 : done / total, size);
      },
    }),
  );
  if (values.json) out(json({ folder, ...imported }));
  else out(importText(path.basename(folder), values.id as string, imported));
  return 0;
}

/** What was made, what the checks found, and what another cut-off would have left. */
function importText(study: string, id: string, imported: ImportedRecording): string {
  const { stride, checks, count, strideTime, harmonics, cutOffs, task, file, sha256 } = imported;
  const asking = checks.filter(({ verdict }) => verdict !== 'holds');
  const holding = `${checks.length - asking.length} of ${checks.length} checks hold`;
  const ground =
    stride.incline === undefined
      ? ''
      : `, incline ${fixed(degFromRad(stride.incline as Rad), 1)}° (up ahead positive)`;
  const spread = count > 1 ? ` ± ${fixed(strideTime.deviation, 3)}` : '';
  return [
    `${study}: task ${id} made of ${count === 1 ? '1 stride' : `${count} strides`}; ${holding}.\n` +
      `Stride time ${fixed(strideTime.mean, 3)}${spread} s, stance to ${fixed(stride.stance * 100, 1)} %${ground}, ${harmonics} harmonics kept.`,
    asking.length === 0
      ? 'Units, signs, closing, power against moment × velocity, cut-off: nothing to point out. --json lists every check.'
      : `To be read\n${list(asking.map(({ id: name, verdict, text }) => `${name}, ${verdict}: ${text}`))}`,
    `What each cut-off would leave: push-off is short and goes before a residual shows it\n${cutOffTable(cutOffs, harmonics)}`,
    `${task}   the task, with the recipe in it\n${file}   the original, untouched, SHA-256 ${sha256.slice(0, 12)}…`,
    `striderule demand show --task ${id} draws it. A duty in the task file puts it into the schedule.`,
  ].join('\n\n');
}

function cutOffTable(cutOffs: ImportedRecording['cutOffs'], chosen: number): string {
  const joints = Object.keys(cutOffs[0]?.peakPower ?? {});
  return table(
    [
      { head: 'cut-off', unit: 'Hz' },
      { head: 'harmonics' },
      ...joints.map((joint) => ({ head: `${joint} peak power`, unit: 'W/kg' })),
      { head: 'largest residual', unit: '% of range' },
      { head: 'in', align: 'left' as const },
      { head: '', align: 'left' as const },
    ],
    cutOffs.map(({ cutOff, harmonics, residual, peakPower }) => {
      const [curve, largest] = Object.entries(residual).reduce(
        (most, next) => (next[1] > most[1] ? next : most),
        [GAP, 0],
      );
      return [
        significant(cutOff, 2),
        String(harmonics),
        ...joints.map((joint) => fixed(peakPower[joint], 2)),
        fixed(largest * 100, 1),
        curve,
        harmonics === chosen ? '← chosen' : '',
      ];
    }),
  );
}
