import { readdirSync, readFileSync } from 'node:fs';
import { sampleCurve } from '@striderule/engine';
import { expect, test } from 'vitest';
import { publishedPeaks, referenceStrides } from './index.ts';
import { toEngineSigns } from './to-engine-signs.ts';

const tables = new URL('./gait/tables/', import.meta.url);
const table = (name: string) => readFileSync(new URL(name, tables), 'utf8');
const json = (name: string) => JSON.parse(table(name));
const strides = referenceStrides();

test('every file is the stride its name says, with its source, group and caveats', () => {
  const files = readdirSync(new URL('./gait/', import.meta.url)).filter((name) => name.endsWith('.json'));
  expect(Object.keys(strides).sort()).toEqual(files.map((name) => name.replace('.json', '')).sort());
  for (const stride of Object.values(strides)) {
    expect(stride.origin.citation.length).toBeGreaterThan(20);
    expect(stride.origin.licence.length).toBeGreaterThan(5);
    expect(stride.people.count).toBeGreaterThan(0);
    expect(stride.caveats.length).toBeGreaterThan(0);
  }
});

test('what has no open licence ships as coefficients or short tables, without tables of deviations', () => {
  for (const stride of Object.values(strides)) {
    if (stride.origin.licence.startsWith('CC BY')) continue;
    for (const joint of Object.values(stride.joints)) {
      for (const curve of [joint.angle, joint.moment, joint.power]) {
        if (curve?.form === 'table') expect(curve.percent.length).toBeLessThanOrEqual(26);
      }
    }
  }
});

test('moments turn once, angles become radians, power stays', () => {
  const one = { form: 'table', percent: [0, 100], value: [90, 90], periodic: true } as const;
  const turned = toEngineSigns({ angleDeg: one, moment: one, power: one, momentPeakSd: 0.1 });
  expect(turned.angle).toMatchObject({ value: [Math.PI / 2, Math.PI / 2] });
  expect(turned.moment).toMatchObject({ value: [-90, -90] });
  expect(turned.power).toBe(one);
  expect(turned.momentPeakSd).toBe(0.1);
});

// Bovi and others (2011), addendum: peak of each group mean as printed, with its place; extensor, plantarflexor positive.
const PRINTED: [string, 'hip' | 'knee' | 'ankle', number, number, number, number][] = [
  // moment N·m/kg at %, largest generation W/kg at %
  ['walk-slow', 'hip', -0.56, 50, 0.39, 61],
  ['walk-slow', 'knee', 0.28, 16, 0.12, 22],
  ['walk-slow', 'ankle', 1.25, 48, 2.1, 57],
  ['walk-natural', 'hip', -0.74, 48, 0.75, 60],
  ['walk-natural', 'knee', 0.42, 14, 0.27, 18],
  ['walk-natural', 'ankle', 1.32, 46, 3.27, 55],
  ['walk-fast', 'hip', -1.0, 46, 1.87, 54],
  ['walk-fast', 'knee', 0.85, 12, 1.47, 16],
  ['walk-fast', 'ankle', 1.25, 43, 4.34, 52],
];
for (const [id, joint, moment, momentAt, power, powerAt] of PRINTED) {
  test(`${id} ${joint}: published ${moment} N·m/kg at ${momentAt} %, ${power} W/kg at ${powerAt} %, in engine signs`, () => {
    const curves = strides[id]!.joints[joint]!;
    const { residuals } = JSON.parse(readFileSync(new URL(`./gait/${id}.json`, import.meta.url), 'utf8'));
    const m = sampleCurve(curves.moment!).value[2 * momentAt]!;
    const p = sampleCurve(curves.power!).value[2 * powerAt]!;
    // half the last printed digit and the fit's own largest residual
    expect(Math.abs(m + moment)).toBeLessThan(0.005 + residuals[`${joint}.moment`].largest);
    expect(Math.abs(p - power)).toBeLessThan(0.005 + residuals[`${joint}.power`].largest);
  });
}

/** Least squares by the normal equations, columns few. */
function fit(columns: number[][], right: number[]): { c: number[]; rms: number } {
  const n = columns.length;
  const a = columns.map((x, i) => [
    ...columns.map((y) => x.reduce((s, v, k) => s + v * y[k]!, 0)),
    columns[i]!.reduce((s, v, k) => s + v * right[k]!, 0),
  ]);
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      if (i === j) continue;
      const f = a[i]![j]! / a[j]![j]!;
      for (let k = j; k <= n; k++) a[i]![k]! -= f * a[j]![k]!;
    }
  }
  const c = a.map((row, i) => row[n]! / row[i]!);
  const square = right.reduce(
    (s, y, k) => s + (y - c.reduce((t, b, i) => t + b * columns[i]![k]!, 0)) ** 2,
    0,
  );
  return { c, rms: Math.sqrt(square / right.length) };
}

// The printed coefficients, from their rows again.
test('treadmill stride length: a = −0.1329, b = 0.5096 from the 210 rows', () => {
  const rows = table('treadmill-steps.csv')
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => line.split(',').map(Number) as [number, number, number, number]);
  expect(rows).toHaveLength(210);
  const speed = rows.map(([height, v]) => Math.log(v / height));
  const { c, rms } = fit(
    [rows.map(() => 1), speed],
    rows.map(([height, , step]) => Math.log((2 * step) / height)),
  );
  const { treadmill } = json('temporal-spatial.json');
  expect(c[0]).toBeCloseTo(treadmill.a, 3);
  expect(c[1]).toBeCloseTo(treadmill.b, 3);
  expect(rms).toBeCloseTo(treadmill.rms, 2);
  // the rows agree with themselves: speed = step length × cadence within 0.7 %
  const off = rows.map(([, v, step, cadence]) => (step * cadence) / 60 / v - 1);
  expect(Math.sqrt(off.reduce((s, x) => s + x * x, 0) / off.length)).toBeLessThan(0.007);
});

test('overground stride length: the regression passes every bin of speed within one deviation', () => {
  const { overground } = json('temporal-spatial.json');
  const height = 1.7; // stature of these 29 adults not seen; enters as its 0.6th power
  for (const bin of overground.bins) {
    const length = height * Math.exp(overground.a + overground.b * Math.log(bin.speed / height));
    expect(Math.abs(length - bin.strideLength)).toBeLessThan(bin.strideLengthSd);
  }
});

test('treadmill ankle peak: 0.584 + 1.148 v − 0.299 v² from the 24 printed speeds, RMS 0.016', () => {
  const rows = json('ankle-peaks.json').rows.filter((r: { activity: string }) => r.activity === 'treadmill');
  expect(rows).toHaveLength(24);
  const v: number[] = rows.map((r: { condition: string }) => Number(r.condition));
  const { c, rms } = fit(
    [v.map(() => 1), v, v.map((x) => x * x)],
    rows.map((r: { peakMoment: number }) => r.peakMoment),
  );
  expect(c[0]).toBeCloseTo(0.584, 3);
  expect(c[1]).toBeCloseTo(1.148, 3);
  expect(c[2]).toBeCloseTo(-0.299, 3);
  expect(rms).toBeCloseTo(0.016, 3);
});

test('the class parameters close: stride length is speed × time, and the strides carry them', () => {
  for (const row of json('temporal-spatial.json').classes.rows) {
    if (row.speed < 0.6) continue; // two steps of a stair: length is not along the way
    expect(Math.abs((row.speed * row.strideTime) / row.strideLength - 1)).toBeLessThan(0.015);
    expect(Math.abs(120 / row.cadence / row.strideTime - 1)).toBeLessThan(0.02);
  }
  expect(strides['walk-fast']?.strideTime).toBe(0.85);
});

test('prosthesis users above the knee: the passive ankle returns half of what the intact one gives', () => {
  const rows = json('prosthesis-users.json').rows;
  const at = (side: string) =>
    rows.find((r: { side: string; speed: number }) => r.side === side && r.speed === 1);
  // Hood and others (2020), group values at 1.0 m/s: 0.178 ± 0.057 and 0.358 ± 0.075 J/kg
  expect(at('prosthetic')).toMatchObject({ positiveWork: 0.178, positiveWorkSd: 0.057 });
  expect(at('intact')).toMatchObject({ positiveWork: 0.358, positiveWorkSd: 0.075 });
});

test('running: the peaks of joint speed are those of the angle curves that ship, within the digitising', () => {
  const run = strides['run-2p5']!;
  for (const joint of ['hip', 'knee', 'ankle'] as const) {
    const speed = sampleCurve(run.joints[joint]!.angle).slope.map((x) => (x * 100) / run.strideTime);
    const { low, high } = publishedPeaks().run!.joints[joint]!.speed!;
    const both = [Math.max(...speed), -Math.min(...speed)].sort((a, b) => a - b);
    // digitised to 1–2° of 40–80°, differentiated: 7 %
    expect(Math.abs(both[0]! / low - 1)).toBeLessThan(0.07);
    expect(Math.abs(both[1]! / high - 1)).toBeLessThan(0.07);
  }
});

test('stairs: moment × velocity is the published power, as closely as rows of four per cent allow', () => {
  for (const id of ['stair-ascent', 'stair-descent']) {
    for (const [joint, bound] of [
      ['knee', 0.05],
      ['ankle', 0.07],
    ] as const) {
      const { angle, moment, power } = strides[id]!.joints[joint]!;
      const rate = 100 / strides[id]!.strideTime;
      const [m, p] = [sampleCurve(moment!).value, sampleCurve(power!).value];
      const square = sampleCurve(angle).slope.reduce((s, w, i) => s + (p[i]! - m[i]! * w * rate) ** 2, 0);
      expect(Math.sqrt(square / p.length)).toBeLessThan(bound * (Math.max(...p) - Math.min(...p)));
    }
  }
});
