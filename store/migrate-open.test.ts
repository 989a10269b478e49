import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { faultText } from '@striderule/engine';
import { expect, test } from 'vitest';
import { migrateStudy } from './migrate.ts';
import { checkStudy, openStudy } from './open-study.ts';

test('the demo study as format 1 is refused with the way out, migrated, and opens to the same study', async () => {
  const folder = mkdtempSync(path.join(tmpdir(), 'striderule-migrate-open-'));
  try {
    cpSync(fileURLToPath(new URL('../examples/tern', import.meta.url)), folder, { recursive: true });
    const put = (name: string, from: RegExp | string, to: string) => {
      const file = path.join(folder, name);
      const text = readFileSync(file, 'utf8');
      expect(text).toMatch(from);
      writeFileSync(file, text.replace(from, to));
    };
    const own = 'torqueConstant: { value: 0.14847 N*m/A, convention: perPhasePeak }';
    // a motor written out, since one from the catalogue has its constant there
    const rest =
      'polePairs: 20\n      resistance: 65.79 mohm\n      inductanceQ: 49 uH\n      rotorInertia: 2.1e-4 kg*m^2\n      peakCurrent: 56.4 A\n      mass: 0.5 kg\n';
    put('legs/tern.yaml', 'catalogue: SR-F92-14\n', `${own}\n      ${rest}`);
    const before = (await openStudy(folder)).input;

    put('legs/tern.yaml', own, 'torqueConstant: 0.14847 N*m/A\n      convention: perPhasePeak # maker');
    put('wearers/w01.yaml', 'massWithoutDevice:', 'mass:');
    put('study.yaml', /^format: 2/m, 'format: 1');
    expect((await checkStudy(folder)).map((fault) => faultText(fault).split('\n')[0])).toEqual([
      expect.stringMatching(
        /^study\.yaml:\d+:9 format: this study has format 1, the present one is 2\. Run `striderule study migrate`; the originals are kept\.$/,
      ),
    ]);

    const { files } = await migrateStudy(folder);
    expect(files.map(({ file }) => file).sort()).toEqual([
      'legs/tern.yaml',
      'study.yaml',
      'wearers/w01.yaml',
    ]);
    expect(readFileSync(path.join(folder, 'legs/tern.yaml'), 'utf8')).toContain(`${own}\n      # maker\n`);
    expect((await openStudy(folder)).input).toEqual(before);
    expect(await checkStudy(folder)).toEqual([]);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
