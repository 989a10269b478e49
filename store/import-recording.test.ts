import { createHash } from 'node:crypto';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { gaitDemand, type StrideDemand, sampleCurve } from '@striderule/engine';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { type ImportRequest, importRecording } from './import-recording.ts';
import { openStudy } from './open-study.ts';

const demo = path.join(import.meta.dirname, '../examples/tern');
const csv = path.join(demo, 'recordings/demo-strides.csv');
const recipe = path.join(demo, 'recordings/demo-recipe.yaml');

let place: string;
let folder: string;
beforeEach(() => {
  place = mkdtempSync(path.join(tmpdir(), 'striderule-import-'));
  folder = path.join(place, 'study');
  cpSync(demo, folder, { recursive: true });
});
afterEach(() => rmSync(place, { recursive: true, force: true }));

const request = (more: Partial<ImportRequest> = {}): ImportRequest => ({
  folder,
  csv,
  recipe,
  id: 'own-walk-2',
  title: 'Own walk',
  ...more,
});

/** Every file of the study with its content's hash, hidden ones too. */
function everything(): Record<string, string> {
  return Object.fromEntries(
    readdirSync(folder, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => {
        const file = path.join(entry.parentPath, entry.name);
        return [path.relative(folder, file), createHash('sha256').update(readFileSync(file)).digest('hex')];
      }),
  );
}

/** A changed copy of the demo recording or recipe, outside the study. */
function changed(source: string, change: (text: string) => string): string {
  const file = path.join(place, path.basename(source));
  writeFileSync(file, change(readFileSync(source, 'utf8')));
  return file;
}

describe('an import', () => {
  test('makes a task that the study opens, with the recipe as written and the original byte for byte', async () => {
    const made = await importRecording(request());
    expect(made.count).toBe(6);
    expect(made.checks.filter(({ verdict }) => verdict !== 'holds')).toEqual([]);
    expect(made.file).toBe('tasks/own-walk-2.csv');
    expect(readFileSync(path.join(folder, made.file)).equals(readFileSync(csv))).toBe(true);
    expect(made.sha256).toBe(createHash('sha256').update(readFileSync(csv)).digest('hex'));
    const task = readFileSync(path.join(folder, made.task), 'utf8');
    expect(task).toContain('title: "Own walk"');
    expect(task).toContain('stride: Cycle # 1 to 6 whole; the seventh only begins and closes the sixth');

    const { input } = await openStudy(folder);
    const stride = input.strides['own-walk-2'];
    expect(stride?.origin.status).toBe('demo');
    expect(stride).toEqual(made.stride);
    const asked = input.tasks.find(({ id }) => id === 'own-walk-2');
    const demand = gaitDemand(asked!, input.strides, input.wearer, input.leg.segments) as StrideDemand;
    expect(demand.strideTime).toBe(made.strideTime.mean);
    expect(demand.joints.ankle?.peak.moment).toBeGreaterThan(0);
  });

  test('gives back the gait the demo strides were made from', async () => {
    // examples/make-demo-strides.ts: knee 5 + 57·exp(−½((p − 0.72)/0.08…0.09)²) near 72 %, stance 0.52–0.62, 1.08 s ± 1.2 %
    const { stride, strideTime } = await importRecording(request());
    const knee = sampleCurve(stride.joints.knee!.angle).value;
    expect((Math.max(...knee) * 180) / Math.PI).toBeCloseTo(62, -0.5);
    expect(knee.indexOf(Math.max(...knee)) / 2).toBeCloseTo(72, -0.5);
    expect(Math.abs(strideTime.mean - 1.08)).toBeLessThan(0.03);
    expect(stride.stance).toBeGreaterThan(0.58);
    expect(stride.stance).toBeLessThan(0.63);
  });

  test('of a file the study has already copies nothing', async () => {
    const made = await importRecording(request({ csv: path.join(folder, 'recordings/demo-strides.csv') }));
    expect(made.file).toBe('recordings/demo-strides.csv');
    expect(readdirSync(path.join(folder, 'tasks')).some((name) => name.endsWith('.csv'))).toBe(false);
    expect((await openStudy(folder)).input.strides['own-walk-2']).toEqual(made.stride);
  });

  test('can leave a large original outside', async () => {
    const outside = changed(csv, (text) => text);
    const made = await importRecording(request({ csv: outside, original: 'outside' }));
    expect(made.file).toBe(outside);
    expect(readFileSync(path.join(folder, made.task), 'utf8')).toContain(
      `outside: ${JSON.stringify(outside)}`,
    );
    expect((await openStudy(folder)).input.strides['own-walk-2']).toEqual(made.stride);
    rmSync(outside);
    await expect(openStudy(folder)).rejects.toThrow(`${outside}: there is no such file. Correct its name.`);
  });
});

describe('nothing is lost', () => {
  test('a task that is there is not written over unless told', async () => {
    await importRecording(request());
    const before = everything();
    await expect(importRecording(request())).rejects.toThrow(
      'tasks/own-walk-2.yaml: this file is already there, and nothing is written over it. Choose another id, or ask to replace it.',
    );
    expect(everything()).toEqual(before);
    const slower = changed(recipe, (text) => text.replace('cutOff: 15 Hz', 'cutOff: 12 Hz'));
    const made = await importRecording(request({ recipe: slower, replace: true }));
    expect(made.harmonics).toBe(13);
    expect(Object.keys(everything())).toEqual(Object.keys(before));
    expect(readFileSync(path.join(folder, made.task), 'utf8')).toContain('cutOff: 12 Hz');
  });

  test('cancel in the middle leaves the study as it was', async () => {
    const before = everything();
    // 40 MB: the demo rows again and again, later in time
    const lines = readFileSync(csv, 'utf8').trimEnd().split('\n');
    const long = path.join(place, 'long.csv');
    const rows = lines.slice(3).join('\n');
    writeFileSync(long, `${lines.slice(0, 3).join('\n')}\n${`${rows}\n`.repeat(400)}`);
    const stop = new AbortController();
    let seen = 0;
    await expect(
      importRecording(
        request({
          csv: long,
          signal: stop.signal,
          onProgress: (done, total) => {
            seen = done / total;
            if (seen > 0.02) stop.abort();
          },
        }),
      ),
    ).rejects.toThrow(/abort/i);
    expect(seen).toBeGreaterThan(0.02);
    expect(seen).toBeLessThan(0.5);
    expect(everything()).toEqual(before);
  });

  test('a fault leaves the study as it was', async () => {
    const before = everything();
    const bad = changed(csv, (text) => text.replace('27,74', ''));
    await expect(importRecording(request({ csv: bad }))).rejects.toThrow(
      'demo-strides.csv:4:26 column `Hip moment [Nm]`: this cell is empty. Restore the value, or name its stride under `leaveOut:` of the recipe; nothing is filled in.',
    );
    expect(everything()).toEqual(before);
  });

  test('a place that cannot be written leaves the study as it was', async () => {
    const before = everything();
    mkdirSync(path.join(folder, 'tasks/own-walk-3.yaml'));
    await expect(importRecording(request({ id: 'own-walk-3', replace: true }))).rejects.toThrow(
      'own-walk-3.yaml',
    );
    expect(everything()).toEqual(before);
  });

  test('an original that was changed after the import is not believed', async () => {
    const { file } = await importRecording(request());
    const copy = path.join(folder, file);
    writeFileSync(copy, readFileSync(copy, 'utf8').replace('27,74', '27,75'));
    await expect(openStudy(folder)).rejects.toThrow(
      /^tasks\/own-walk-2.yaml from.recording.sha256: the recording tasks\/own-walk-2.csv is not the one that was imported: its SHA-256 is [0-9a-f]{12}…. Put the original back, or import the new one under another name.$/,
    );
  });
});

describe('refused, with what, where and how to mend it', () => {
  const said = async (more: Partial<ImportRequest>): Promise<string> => {
    try {
      await importRecording(request(more));
      return 'nothing';
    } catch (error) {
      return (error as Error).message;
    }
  };
  const withRecipe = (change: (text: string) => string) => said({ recipe: changed(recipe, change) });
  const withCsv = (change: (text: string) => string) => said({ csv: changed(csv, change) });

  test('ids that are no file names or that ship, a folder that is no study', async () => {
    expect(await said({ id: '../own' })).toBe(
      '"../own" cannot be the id of a task. Use small letters, digits and hyphens, such as own-walk-1.',
    );
    expect(await said({ id: 'walk-natural' })).toContain('"walk-natural" is the name of a stride that ships');
    expect(await said({ folder: place })).toContain('is no study: it has no study.yaml');
  });

  test('a recipe that is not there, or has faults of its own', async () => {
    expect(await said({ recipe: path.join(place, 'none.yaml') })).toContain('there is no recipe');
    expect(await withRecipe((text) => text.replace('cutOff', 'cutof'))).toContain(
      'demo-recipe.yaml:11:1 cutof: `cutof` is not a field here. Did you mean `cutOff`?',
    );
    expect(await withRecipe((text) => text.replace('bodyMass: 78 kg', 'bodyMass: 78 N'))).toContain(
      '`78 N` is a force, but this field is a mass',
    );
    expect(await withRecipe((text) => text.replace(/^bodyMass.*$/m, ''))).toContain(
      'demo-recipe.yaml hip.moment: `Hip moment [Nm]` is in N*m and the recipe has no body mass',
    );
  });

  test('a wrong delimiter, decimal mark, column, unit and sign in the recipe', async () => {
    expect(await withRecipe((text) => text.replace('delimiter: ;\n', ''))).toContain(
      'Write `delimiter: ";"` in the recipe',
    );
    expect(await withRecipe((text) => text.replace('decimal: ","\n', ''))).toContain(
      'Write `decimal: ","` in the recipe',
    );
    expect(await withRecipe((text) => text.replace('"Knee angle [deg]"', '"Knee angle"'))).toContain(
      'demo-strides.csv:2: there is no column `Knee angle`. Did you mean `Knee angle [deg]`?',
    );
    expect(
      await withRecipe((text) =>
        text.replaceAll('unit: deg, positive: extension', 'unit: rad, positive: extension'),
      ),
    ).toContain('It looks like deg');
    expect(
      await withRecipe((text) =>
        text.replace('"Ankle moment [Nm]", unit: N*m,', '"Ankle moment [Nm]", unit: N*m/kg,'),
      ),
    ).toMatch(
      /^demo-recipe.yaml ankle.moment: `Ankle moment \[Nm\]` read in N\*m\/kg spans 12\d N·m\/kg over the stride, where people show 0.1 to 8. It looks like N\*m \(then 1.\d+ N·m\/kg\)/,
    );
    expect(
      await withRecipe((text) => text.replace('positive: plantarflexion', 'positive: dorsiflexion')),
    ).toBe(
      'demo-recipe.yaml ankle.moment: `Ankle moment [Nm]` shows the reverse of the published strides, where it is plantarflexor in late stance: its sign is likely flipped. Turn `positive:` of this column in the recipe; if it is truly so, add `accept: [{ check: sign ankle.moment, because: … }]` to the recipe.',
    );
  });

  test('bad rows of the CSV: NaN, time that goes back, no rows, bad UTF-8, doubled names', async () => {
    expect(await withCsv((text) => text.replace('\n0,005;1;31,37', '\n0,005;1;NaN'))).toContain(
      'demo-strides.csv:5:9 column `Hip angle [deg]`: this cell is `NaN`',
    );
    expect(await withCsv((text) => text.replace('\n0,010;1;', '\n0,004;1;'))).toBe(
      'demo-strides.csv:6 column `Time [s]`: time falls from 0.005 to 0.004. Split the file where the recorder restarted, or sort its rows.',
    );
    expect(await withCsv((text) => text.split('\n').slice(0, 3).join('\n'))).toContain(
      'there is no row of data after the names',
    );
    expect(await withCsv((text) => text.replace('Thigh [deg]', 'Knee angle [deg]'))).toContain(
      'the column `Knee angle [deg]` stands 2 times, at places 4, 10',
    );
    const latin1 = path.join(place, 'latin1.csv');
    writeFileSync(latin1, Buffer.from(readFileSync(csv, 'utf8').replace('contact', 'Fußkontakt'), 'latin1'));
    expect(await said({ csv: latin1 })).toContain('latin1.csv:4: this line is not UTF-8 text');
  });

  test('faults of cells and of strides come together', async () => {
    const text = await withCsv((all) =>
      all.replace('\n0,010;1;', '\n0,004;1;').replace('\n0,020;1;', '\n0,020;1;x'),
    );
    expect(text).toContain('time falls from 0.005 to 0.004');
    expect(text).toContain('is not a number');
  });
});
