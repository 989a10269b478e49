import { readFileSync } from 'node:fs';
import { type DrivenJoint, Fault } from '@striderule/engine';
import type { FileEdit } from './edit-of-file.ts';
import { editYaml } from './edit-yaml.ts';
import { fingerprintOfBytes } from './fingerprint.ts';
import { resolveInside } from './inside.ts';
import { openStudy } from './open-study.ts';

/**
 * The study's leg file with other ratios, every other byte as it was, and the whole study opened with it. Faults: those of a study
 * that cannot be opened before or after, such as a ratio that its stages do not multiply to; those of `editYaml`.
 */
export async function editRatios(
  folder: string,
  ratios: { readonly [joint in DrivenJoint]?: number },
): Promise<FileEdit> {
  const { legName } = await openStudy(folder);
  const file = `legs/${legName}.yaml`;
  const bytes = readFileSync(resolveInside(folder, file));
  const before = bytes.toString('utf8');
  const after = Object.entries(ratios).reduce(
    (text, [joint, ratio]) =>
      withScalar(text, file, ['joints', joint, 'transmission', 'ratio'], String(ratio)),
    before,
  );
  await openStudy(folder, { instead: { [file]: after } });
  return { file, sha256: fingerprintOfBytes(bytes), before, after };
}

/** A quantity stands as one value, or as a map that holds it as `value`. */
function withScalar(text: string, file: string, path: readonly string[], scalar: string): string {
  try {
    return editYaml(text, path, scalar);
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    if (error.faults[0]?.code === 'store.not-a-scalar' && path.at(-1) !== 'value')
      return withScalar(text, file, [...path, 'value'], scalar);
    throw new Fault(error.faults.map((fault) => ({ ...fault, place: { ...fault.place, file } })));
  }
}
