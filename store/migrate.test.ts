import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { STUDY_FORMAT } from './format.ts';
import { migrateStudy } from './migrate.ts';

const STUDY = `# our leg
name: first draft
format: 1   # as the first draft wrote it
leg: a
wearer: w01
`;
const WEARER = `code: w01
mass: 82 kg   # without the device, morning
height: 1.76 m
`;
const LEG = `name: a
joints:
  knee:
    # from the maker's sheet
    motor:
      torqueConstant: 22 mN*m/A   # line 4
      convention: perPhasePeak    # asked by phone
      polePairs: 20
  ankle:
    motor: { polePairs: 20, torqueConstant: 0.1 N*m/A, convention: "perPhaseRms" }   # same family
`;

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'striderule-migrate-'));
  for (const sub of ['wearers', 'legs']) mkdirSync(path.join(folder, sub));
  put('study.yaml', STUDY);
  put('wearers/w01.yaml', WEARER);
  put('legs/a.yaml', LEG);
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const put = (name: string, text: string) => writeFileSync(path.join(folder, name), text);
const get = (name: string) => readFileSync(path.join(folder, name), 'utf8');
const everything = () =>
  Object.fromEntries(
    readdirSync(folder, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => path.relative(folder, path.join(entry.parentPath, entry.name)))
      .map((name) => [name, get(name)]),
  );

test('format 1 becomes the present format, every comment kept, every original beside', async () => {
  const done = await migrateStudy(folder);
  expect(everything()).toEqual({
    'study.yaml': STUDY.replace('format: 1', 'format: 2'),
    'study.yaml.before-2': STUDY,
    'wearers/w01.yaml': WEARER.replace('mass:', 'massWithoutDevice:'),
    'wearers/w01.yaml.before-2': WEARER,
    'legs/a.yaml': `name: a
joints:
  knee:
    # from the maker's sheet
    motor:
      torqueConstant: { value: 22 mN*m/A, convention: perPhasePeak }   # line 4
      # asked by phone
      polePairs: 20
  ankle:
    motor: { polePairs: 20, torqueConstant: { value: 0.1 N*m/A, convention: "perPhaseRms" } }   # same family
`,
    'legs/a.yaml.before-2': LEG,
  });
  expect(done).toMatchObject({ from: 1, to: STUDY_FORMAT });
  expect(done.files).toContainEqual({
    file: 'wearers/w01.yaml',
    original: 'wearers/w01.yaml.before-2',
    change: {
      line: 2,
      before: [WEARER.split('\n')[1]],
      after: [WEARER.split('\n')[1]!.replace('mass', 'massWithoutDevice')],
    },
  });
});

test('a second time it changes nothing', async () => {
  await migrateStudy(folder);
  const once = everything();
  expect(await migrateStudy(folder)).toEqual({ from: STUDY_FORMAT, to: STUDY_FORMAT, files: [] });
  expect(everything()).toEqual(once);
});

test('a migration that was interrupted before study.yaml is finished by the next, originals still kept', async () => {
  await migrateStudy(folder);
  const whole = everything();
  put('study.yaml', STUDY); // as a crash just before the last write leaves it
  put('wearers/w01.yaml', WEARER.replace('82', '84').replace('mass', 'massWithoutDevice')); // edited since
  const { files } = await migrateStudy(folder);
  expect(files.map(({ file, original }) => [file, original])).toEqual([
    ['study.yaml', 'study.yaml.before-2-2'],
  ]);
  expect(everything()).toEqual({
    ...whole,
    'wearers/w01.yaml': whole['wearers/w01.yaml']!.replace('82', '84'),
    'study.yaml.before-2-2': STUDY,
  });
});

test('a torque constant that nobody can tag stops it before anything is changed, and all such faults are said', async () => {
  put('legs/a.yaml', LEG.replace(/ +convention: perPhasePeak.*\n/, ''));
  put('legs/b.yaml', 'joints: { knee: { motor: { torqueConstant: 1 N*m/A } } }\n');
  put('wearers/w02.yaml', 'mass: 1 kg\nmass: 2 kg\n');
  const before = everything();
  const said = await migrateStudy(folder).then(String, (error: Error) => error.message);
  expect(said).toContain(
    'legs/a.yaml:6:23 joints.knee.motor.torqueConstant: this torque constant has no `convention:` beside it, so nobody can say which ampere it belongs to. Write `convention:` below it: perPhasePeak, perPhaseRms or dcEquivalent.',
  );
  expect(said).toContain('legs/b.yaml:1:44 joints.knee.motor.torqueConstant');
  expect(said).toContain('wearers/w02.yaml:2:1');
  expect(everything()).toEqual(before);
});

test.each([
  [
    'format: 3',
    'study.yaml:3:9 format: this study has format 3, this program reads up to 2. Use the version of Striderule that wrote it, or a newer one.',
  ],
  [
    'format: new',
    'study.yaml:3:9 format: the study does not say a format that ever was. Write `format: 1` or `format: 2`, whichever the files are.',
  ],
])('%s is refused', async (line, said) => {
  put('study.yaml', STUDY.replace('format: 1', line));
  const before = everything();
  await expect(migrateStudy(folder)).rejects.toThrow(said);
  expect(everything()).toEqual(before);
});
