import type { FaultData } from '@striderule/engine';
import type { z } from 'zod';
import { STUDY_FORMAT } from './format.ts';
import { studySchema } from './study-schemas.ts';
import { checkShape, readYaml } from './yaml-file.ts';

/** study.yaml as read, or null with `stop` where the rest of the folder is not ours to judge. */
export type Head = { readonly stop: boolean; readonly value: z.output<typeof studySchema> | null };

/** study.yaml, its format checked before its shape: what a newer program wrote is not judged by today's schema. */
export function headOf(source: string | null, faults: FaultData[]): Head {
  if (source === null) return { stop: true, value: null };
  const { file, faults: syntax } = readYaml('study.yaml', source);
  faults.push(...syntax);
  if (file === null) return { stop: false, value: null };
  const format = (file.value as { format?: unknown } | null)?.format;
  if (typeof format === 'number' && format !== STUDY_FORMAT) {
    const newer = format > STUDY_FORMAT;
    faults.push({
      code: newer ? 'store.newer-format' : 'store.older-format',
      what: newer
        ? `this study has format ${format}, this program reads ${STUDY_FORMAT}`
        : `this study has format ${format}, the present one is ${STUDY_FORMAT}`,
      mend: newer
        ? 'Use the version of Striderule that wrote it, or a newer one'
        : 'Run `striderule study migrate`; the originals are kept',
      place: file.place(['format']),
    });
    return { stop: true, value: null };
  }
  const checked = checkShape(file, studySchema);
  faults.push(...checked.faults);
  return { stop: false, value: checked.value };
}
