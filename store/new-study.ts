import { cp, mkdir, readdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { Fault } from '@striderule/engine';
import { writeFault } from './write-fault.ts';

/** Derived things and hidden files are not part of a template. */
const LEFT_OUT = /^(results|\..*)$/;

/**
 * A new study folder, copied from a template study; gives its files, relative to it.
 *
 * The copy is made beside the target and renamed when it is whole, so that a crash leaves no half study. `name:` in study.yaml
 * becomes the folder's name; a demo template stays marked as demo data. Faults: a target that has something in it,
 * or where nothing may be written.
 */
export async function createStudy({
  folder,
  template,
}: {
  readonly folder: string;
  readonly template: string;
}): Promise<readonly string[]> {
  const there = await readdir(folder).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return [];
    if (error.code !== 'ENOTDIR') throw error;
    return ['a file'];
  });
  if (there.length > 0) {
    throw new Fault({
      code: 'store.folder-not-empty',
      what: `${folder} already has something in it, and nothing there is overwritten`,
      mend: 'Choose a folder that is empty or not there yet',
    });
  }
  const about = await readFile(path.join(template, 'study.yaml'), 'utf8');
  const name = path.basename(folder);
  const making = path.join(path.dirname(folder), `.${name}.new-${process.pid}`);
  try {
    await mkdir(path.dirname(folder), { recursive: true });
    await cp(template, making, {
      recursive: true,
      filter: (source) => source === template || !LEFT_OUT.test(path.basename(source)),
    });
    await writeFile(
      path.join(making, 'study.yaml'),
      about.replace(/^name:.*$/m, `name: ${JSON.stringify(name)}`),
    );
    await rename(making, folder); // takes the place of an empty folder too
  } catch (error) {
    await rm(making, { recursive: true, force: true }).catch(() => {});
    throw writeFault(error, folder);
  }
  const files = await readdir(folder, { recursive: true, withFileTypes: true });
  return files
    .filter((entry) => entry.isFile())
    .map((entry) => path.relative(folder, path.join(entry.parentPath, entry.name)).replaceAll(path.sep, '/'))
    .sort();
}
