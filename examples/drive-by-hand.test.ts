// The worked examples of docs/drive.md: each by hand from what the demo study's files print, and as the engine gives it.
import { readFileSync } from 'node:fs';
import path from 'node:path';
import {
  evaluateDesign,
  legEnergy,
  openTolerance,
  ratioScan,
  springChoice,
  studyDemands,
} from '@striderule/engine';
import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';

const { input } = await openStudy(path.join(import.meta.dirname, 'tern'));
const demands = studyDemands(input);
const design = evaluateDesign(input, demands);
const chapter = readFileSync(path.join(import.meta.dirname, '../docs/drive.md'), 'utf8');
// 1.5·20·4.949 mV·s, N·m per peak phase ampere; 56.4 A
const PEAK = 1.5 * 20 * 4.949e-3 * 56.4;

test('ratio scan: the smallest ratio of the knee is what rising from a chair asks through mesh and drag', () => {
  const chair = demands['rise-from-chair'];
  const most = chair?.kind === 'peaks' ? chair.joints.knee!.moment!.high : Number.NaN;
  // (τ + τ_c,out)/(η_f·(τ_max − τ_c))
  const byHand = (most + 0.1) / (0.94 * (PEAK - 0.05));
  const scan = ratioScan(input, design, 'knee', {
    motor: input.leg.joints.knee!.motor.name,
    ratios: [22],
  });
  expect(scan.smallest!.ratio).toBeCloseTo(byHand, 6);
  expect(byHand).toBeCloseTo(20.7, 1);
  expect(chapter).toContain(`N = (${most.toFixed(1)} + 0.10)/(0.94·(${PEAK.toFixed(3)} − 0.05)) = 20.7`);
});

test('bus: 5 A of charge is 45.0 V, and at the brake resistor’s threshold it is 63 A', () => {
  expect(44.4 + 0.12 * 5).toBeCloseTo(45.0, 9);
  const atThreshold = (52 - 44.4) / 0.12;
  const energy = legEnergy(input, design);
  if ('openBecause' in energy) throw new Error(energy.openBecause);
  expect(JSON.stringify(energy.bus)).toContain(String(atThreshold).slice(0, 6));
  expect(chapter).toContain(
    '5 A is 45.0 V at the bus, and at the resistor’s 52 V it would be 63 A'.replace('’', "'"),
  );
});

test('parallel spring: about 420 N·m/rad halves the RMS torque; what it pulls is stiffness times stretch', () => {
  const { best, none } = springChoice(input, demands, 'ankle', 'one-sided')!;
  expect(best.rmsTorque / none.rmsTorque).toBeCloseTo(0.5, 1);
  const { stiffness, equilibrium } = best.spring!;
  // a steep way down bends the ankle beyond the leg's 25°, where it stands in its stop
  const bent = Math.max(
    ...Object.values(demands).flatMap((d) => (d.kind === 'stride' ? [...(d.joints.ankle?.angle ?? [])] : [])),
  );
  const most = Math.min(bent, (25 * Math.PI) / 180);
  expect(best.springTorque).toBeCloseTo(stiffness * (most - equilibrium), 6);
  for (const told of [
    `near ${(Math.round(stiffness / 20) * 20).toFixed(0)} N·m/rad`,
    `some ${best.springEnergy.toFixed(0)} J`,
    `with ${best.springTorque.toFixed(0)} N·m`,
    `asks ${none.rmsTorque.toFixed(1)} N·m RMS`,
  ])
    expect(chapter).toContain(told);
});

test('tolerance: the knee’s inertia, its deviation, and how many legs meet the bound', () => {
  const inertia = 22 ** 2 * (2.148e-4 + 0.2e-4);
  const deviation = 22 ** 2 * Math.hypot((2.148e-4 * 0.075) / 1.96, (0.2e-4 * 0.075) / 1.96);
  expect(inertia).toBeCloseTo(0.1136, 4);
  expect(deviation).toBeCloseTo(0.004, 4);
  expect((0.12 - inertia) / deviation).toBeCloseTo(1.6, 1);
  const requirements = input.requirements.filter(({ id }) => id === 'knee-inertia');
  const run = openTolerance({ ...input, requirements }, { seed: 1 }, demands);
  run.draw(2000);
  const [row] = run.result().requirements;
  // Φ(1.59) = 0.9441, NIST/SEMATECH e-Handbook, §1.3.6.7.1
  expect(Math.abs(row!.met!.share - 0.9441)).toBeLessThan(0.02);
  expect(row!.linear!.low).toBeCloseTo(inertia - 1.645 * deviation, 5);
  expect(chapter).toContain(
    `the interval ${row!.linear!.low.toFixed(3)} … ${row!.linear!.high.toFixed(3)} reaches just over the bound`,
  );
});

test('loss of power: 8 J into 4.7 mF at 36 V are 69 V', () => {
  expect(Math.sqrt(36 ** 2 + (2 * 8) / 4.7e-3)).toBeCloseTo(69, 0);
  expect(chapter).toContain('8 J into 4.7 mF at 36 V are 69 V');
});
