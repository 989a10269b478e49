// Faults that come of several fields or several files taken together, and of what is left out.
import { mkdirSync, renameSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openStudy } from './open-study.ts';
import { copyOfDemo, faultsOf, only, readOnly, spoilt } from './test-spoilt.ts';

const LEG = 'legs/tern.yaml';

// what, file, text, put in its place, the fault
const LEG_FAULTS: [string, string | RegExp, string, string][] = [
  [
    'a range that runs backwards',
    'range: { from: -2 deg, to: 120 deg }',
    'range: { from: 120 deg, to: -2 deg }',
    'legs/tern.yaml:LINE:20 joints.knee.range.from: the range runs backwards. Write the smaller value at `from:`.',
  ],
  [
    'stages that do not multiply to the ratio',
    'ratio: 22',
    'ratio: 22\n      stages: [{ kind: planetary, ratio: 4 }, { kind: planetary, ratio: 5 }]',
    'legs/tern.yaml:LINE:14 joints.knee.transmission.ratio: the stages multiply to 20.000, the ratio is 22. Make them agree.',
  ],
  [
    'teeth that do not make their stage’s ratio',
    'ratio: 22',
    'ratio: 22\n      stages: [{ kind: planetary, ratio: 4.4, teeth: { sun: 20, ring: 70 } }, { kind: planetary, ratio: 5 }]',
    'joints.knee.transmission.stages.0.teeth: a sun of 20 and a ring of 70 teeth make 4.500, the stage’s ratio is 4.4. Correct the teeth or the ratio: 1 + ring ÷ sun, driven at the sun, ring held.',
  ],
  [
    'a soft stop outside the range',
    'endStop: { stiffness',
    'endStop: { soft: { from: -5 deg, to: 110 deg }, stiffness',
    'joints.knee.endStop.soft: the soft stop of the knee begins outside its range of motion. Put it inside `range:`.',
  ],
  [
    'shorted through no resistor',
    'lossOfPower: { phases: shortedThrough, resistance: 0.7 ohm }',
    'lossOfPower: { phases: shortedThrough }',
    'joints.knee.electronics.lossOfPower: phases shorted through a resistor say no resistance. Add `resistance:`.',
  ],
  [
    'a resistor of open phases',
    'phases: shortedThrough',
    'phases: open',
    'lossOfPower.resistance: `open` phases have no resistor. Write `phases: shortedThrough`, or delete the resistance.',
  ],
  [
    'a sole that goes back',
    '{ x: 0.060 m, z: -0.085 m }',
    '{ x: -0.060 m, z: -0.085 m }',
    'foot.sole.2.x: this point of the sole does not lie ahead of the one before. List the points from heel to toe.',
  ],
  [
    'a brake resistor under the nominal voltage',
    'threshold: 52 V',
    'threshold: 42 V',
    'bus.brakeResistor.threshold: the brake resistor switches on below the nominal voltage. Correct one of the two.',
  ],
  [
    'an over-voltage limit under the brake threshold',
    'overVoltage: 58 V',
    'overVoltage: 50 V',
    'bus.overVoltage: the over-voltage limit is reached before the brake resistor switches on. Correct one of the two.',
  ],
  [
    'current limits out of order',
    'chargeLimit: 5 A',
    'chargeLimit: [{ temperature: 20 degC, current: 5 A }, { temperature: 0 degC, current: 1 A }]',
    'bus.chargeLimit.1: this entry does not rise above the one before. Sort the list.',
  ],
  [
    'a current limit of another dimension',
    'chargeLimit: 5 A',
    'chargeLimit: 5 V',
    'bus.chargeLimit: `5 V` is a voltage, but this field is a current. Use one of: A, mA.',
  ],
  [
    'parts of two segments only',
    / {2}- \{ part: (foot frame|cosmetic|shoe).*\n/g,
    '',
    'segments.foot.mass: the parts of `foot` sum to 0.000 kg, the segment is 1.100 kg.',
  ],
  [
    'an empty field',
    'torsionalStiffness: 900 N*m/rad',
    'torsionalStiffness:',
    'torsionalStiffness: `torsionalStiffness` is empty. Give it a value, or delete the line where it is not known.',
  ],
  [
    'both spreads at once',
    'value: 0.05 N*m, range: 30 %',
    'value: 0.05 N*m, sd: 0.01 N*m, range: 30 %',
    'coulombDrag: both `sd` and `range` are given. Keep one of them.',
  ],
  [
    'a negative spread',
    'value: 0.05 N*m, range: 30 %',
    'value: 0.05 N*m, range: -0.01 N*m',
    'coulombDrag.range: `-0.01 N*m` must not be negative. A spread is a width: write it positive.',
  ],
  [
    'a share of a temperature',
    'windingLimit: 120 degC',
    'windingLimit: { value: 120 degC, range: 5 % }',
    'windingLimit.range: `5 %` of a temperature depends on where its scale begins. Write the width in K, such as `2 K`.',
  ],
  [
    'measured by nobody knows which run',
    'basis: assumed, because: no run-down test yet',
    'basis: measured',
    "coulombDrag: a measured value does not say by which run. Add `because:` with the run's name or fingerprint.",
  ],
  [
    'flux linkage and torque constant together',
    'catalogue: SR-F92-14',
    'catalogue: SR-F92-14\n      fluxLinkage: 5 mV*s\n      torqueConstant: { value: 148 mN*m/A, convention: perPhasePeak }',
    'joints.knee.motor: both flux linkage and torque constant are given. Give one of them; the torque constant with its convention.',
  ],
  [
    'a misspelt convention',
    'catalogue: SR-F92-14',
    'catalogue: SR-F92-14\n      torqueConstant: { value: 148 mN*m/A, convention: perPhasePaek }',
    'torqueConstant.convention: `perPhasePaek` is not one of: perPhasePeak, perPhaseRms, dcEquivalent. Did you mean `perPhasePeak`?',
  ],
];
for (const [title, from, to, text] of LEG_FAULTS) {
  test(title, async () => {
    expect(await only(spoilt(LEG, from, to))).toContain(text);
  });
}

const TASK_FAULTS: [string, string | RegExp, string, string][] = [
  ['tasks/stand.yaml', 'duration: 2 h', 'strides: 20', 'standing has no strides. Give `duration:`.'],
  [
    'tasks/stand.yaml',
    'standing:',
    'coverage: 1\nstanding:',
    '`coverage` has nothing to scale here. Only a stride (`from:`) takes it: delete it.',
  ],
  [
    'tasks/walk-slow.yaml',
    'walk-slow }',
    'walk-slow, surface: treadmill }',
    'a stride as it is was walked on its own surface. Give `surface:` only together with `speed:`.',
  ],
  [
    'tasks/walk-slow.yaml',
    /duty: \{.*\}/,
    'duty: { strides: 20, duration: 1 h }',
    'the duty says both strides and duration. Keep one of them.',
  ],
  [
    'tasks/walk-1p4.yaml',
    'speed: 1.4 m/s',
    'speed: 4 m/s',
    'm/s. Choose a speed between, or record strides at this one.',
  ],
  [
    'requirements.yaml',
    'id: knee-torque',
    'id: ankle-torque',
    '1.id: a requirement `ankle-torque` stands further up already. Give each requirement a name of its own.',
  ],
  [
    'requirements.yaml',
    '  joint: ankle\n',
    '',
    '0: `ankle-torque` does not say of which joint. Add `joint: knee` or `joint: ankle`.',
  ],
  [
    'requirements.yaml',
    'metric: guideForce',
    'metric: guideForce\n  task: walk-natural',
    'task: `guideForce` is judged by a walk, which goes at a speed and does no task. Give `speed:` in its place.',
  ],
  [
    'requirements.yaml',
    'metric: torqueMargin',
    'metric: torqueMargin\n  thigh: led',
    'thigh: `torqueMargin` is not judged by a walk, and has no `thigh`. Leave `thigh:` out.',
  ],
  [
    'requirements.yaml',
    'metric: faultTime\n  control: study',
    'metric: faultTime\n  control: nobody',
    'control',
  ],
  [
    'requirements.yaml',
    'metric: guideForce',
    'metric: guideForse',
    'There is no metric `guideForse`. Did you mean `guideForce`?',
  ],
  [
    'hazards.yaml',
    'id: pack-opens-braking',
    'id: collapse',
    '1.id: a hazard `collapse` stands further up already. Give each hazard a name of its own.',
  ],
];
for (const [file, from, to, text] of TASK_FAULTS) {
  test(`${file}: ${text.replace(/\..*/, '')}`, async () => {
    expect(await only(spoilt(file, from, to))).toContain(text);
  });
}

const SHAPE_FAULTS: [string, string | RegExp, string, string][] = [
  [
    'wearers/w01.yaml',
    'side: left',
    'side: {}',
    'side: `side` should be one of: left, right. Use one of them.',
  ],
  [
    'wearers/w01.yaml',
    'side: left',
    'side: lefft',
    '`lefft` is not one of: left, right. Did you mean `left`?',
  ],
  ['tasks/stand.yaml', 'title: Standing', 'title: ""', 'title: `title` is empty. Write something here.'],
  [
    'tasks/stand.yaml',
    'title: Standing',
    'title: []',
    'title: `title` should be a word or text. Correct the value.',
  ],
  [
    LEG,
    /sole:[\s\S]*?heelStiffness/,
    'sole: [{ x: 0 m, z: 0 m }]\n  heelStiffness',
    'foot.sole: `sole` has too few entries. Give at least 2.',
  ],
  [LEG, 'cellsInSeries: 12', 'cellsInSeries: 0', '`0` is too small for `cellsInSeries`. Give more than 0.'],
  [
    LEG,
    'cellsInSeries: 12',
    'cellsInSeries: 1.5',
    '`cellsInSeries` should be a whole number. Correct the value.',
  ],
  [
    'tasks/stand.yaml',
    'title: Standing',
    '  title: Standing',
    'Check how far this line and the one above are indented, and quote a text that holds `: ` or ` #`.',
  ],
];
for (const [file, from, to, text] of SHAPE_FAULTS) {
  test(`${file}: ${to} is answered`, async () => {
    expect(await only(spoilt(file, from, to))).toContain(text);
  });
}

test('a leg for the other side', async () => {
  expect(await only(spoilt(LEG, 'side: either', 'side: right'))).toContain(
    'side: this leg is for the right side, the wearer W01 needs the left. Choose another leg, or write `side: either` where it fits both.',
  );
});

test('a broken study.yaml does not hide what is wrong elsewhere', async () => {
  const folder = spoilt('study.yaml', 'leg: tern', 'lge: tern');
  spoilt('legs/tern-9.yaml', 'ratio: 9', 'ratio: 0', folder);
  spoilt('wearers/w01.yaml', '82 kg', '82 m', folder);
  const text = (await faultsOf(folder)).join('\n');
  expect(text).toContain('`lge` is not a field here. Did you mean `leg`?');
  expect(text).toContain('legs/tern-9.yaml:');
  expect(text).toContain('`0` is no ratio');
  expect(text).toContain('`82 m` is a length, but this field is a mass');
});

test('a file with another ending is not passed over', async () => {
  const folder = copyOfDemo();
  renameSync(join(folder, 'tasks/stand.yaml'), join(folder, 'tasks/stand.yml'));
  expect(await faultsOf(folder)).toEqual([
    'tasks/stand.yml: a study reads files that end in `.yaml`; this one is not read. Rename it to end in `.yaml`, or move it away.',
  ]);
});

test('a folder where a file belongs, a file where a folder belongs', async () => {
  const folder = copyOfDemo();
  rmSync(join(folder, 'requirements.yaml'));
  mkdirSync(join(folder, 'requirements.yaml'));
  expect(await faultsOf(folder)).toEqual([
    'requirements.yaml: this is a folder, not a file. Move it away, and put the file here.',
  ]);
  const other = copyOfDemo();
  rmSync(join(other, 'motors'), { recursive: true });
  writeFileSync(join(other, 'motors'), 'x');
  expect((await faultsOf(other))[0]).toBe(
    'motors: this is a file, not a folder. Move it away: a folder belongs here.',
  );
});

test('a linked task is read like any other', async () => {
  const folder = copyOfDemo();
  symlinkSync('stand.yaml', join(folder, 'tasks/stand-again.yaml'));
  const { input } = await openStudy(folder);
  expect(input.tasks.map((task) => task.id)).toContain('stand-again');
});

test('a read-only folder opens', async () => {
  const { input } = await openStudy(readOnly(copyOfDemo()));
  expect(input.leg.name).toBe('Tern');
});

test('a study of somebody’s own is marked as demo while its motor is an invented one', async () => {
  const folder = copyOfDemo();
  for (const file of ['study.yaml', 'wearers/w01.yaml', 'controllers/tern.yaml', LEG])
    spoilt(file, /^notice:.*\n/m, '', folder);
  // recordings of the demo study are invented too, and say so
  for (const name of ['walk-own', 'own-walk']) rmSync(join(folder, `tasks/${name}.yaml`), { force: true });
  expect((await openStudy(folder)).input.demo).toBe(true);
  spoilt('motors/demo.csv', 'demo data: ', '', folder);
  expect((await openStudy(folder)).input.demo).toBe(false);
});

test('a constant in the leg file goes before the catalogue’s, in whichever form', async () => {
  const folder = spoilt(
    LEG,
    'catalogue: SR-F92-14',
    'catalogue: SR-F92-14\n      torqueConstant: { value: 0.1782 N*m/A, sd: 1 %, convention: perPhasePeak }',
  );
  // the spread belongs to the value: it is refused beside the convention
  expect(await only(folder)).toContain('`sd` is not a field here');
  spoilt(LEG, 'value: 0.1782 N*m/A, sd: 1 %,', 'value: { value: 0.1782 N*m/A, sd: 1 % },', folder);
  const { input } = await openStudy(folder);
  // τ = 1.5·p·λ·î: λ = 0.1782 ÷ (1.5 × 20)
  expect(input.leg.joints.knee!.motor.fluxLinkage).toBeCloseTo(0.00594, 12);
  const spread = input.spreads.find((s) => s.path === 'joints.knee.motor.fluxLinkage')!;
  expect(spread.sd! / spread.nominal).toBeCloseTo(0.01, 12);
});

test('every spread of the leg file arrives under a path that is in the leg', async () => {
  const folder = spoilt(
    LEG,
    'backlash: 0.15 deg',
    'backlash: { value: 0.15 deg, range: 0.05 deg, basis: assumed, because: test }',
  );
  spoilt(LEG, 'value: -0.11 %/K, basis', 'value: -0.11 %/K, range: 10 %, basis', folder);
  const { input } = await openStudy(folder);
  const paths = input.spreads.map((s) => s.path);
  expect(paths).toContain('joints.knee.transmission.backlash');
  expect(paths).toContain('joints.knee.motor.magnetCoefficient');
  for (const spread of input.spreads) {
    const value = spread.path
      .split('.')
      .reduce<unknown>((at, key) => (at as Record<string, unknown>)[key], input.leg);
    expect(value, spread.path).toBe(spread.nominal);
  }
});
