// Makes examples/tern/recordings/demo-strides.csv: six strides and the beginning of a seventh of a gait that nobody walked.
//
//   npx tsx examples/make-demo-strides.ts
//
// The curves are bumps of our own invention, placed where any gait text places the events; no published curve is in them.
// Names, units, signs, semicolons and decimal commas are those of some laboratory, so that there is something to map.
import { writeFileSync } from 'node:fs';

const RATE = 200; // Hz
const MASS = 78; // kg
const WEIGHT = MASS * 9.80665; // N
const STRIDES = 6;
const SEED = 20260125;

/** Chance that comes out the same each time: Marsaglia, Xorshift RNGs, J. Stat. Software 8 (2003) no. 14. */
function chance(seed: number): () => number {
  let x = seed | 0;
  return () => {
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    return (x >>> 0) / 2 ** 32;
  };
}

/** A bump round the stride with a width to each side; p and centre are shares of the stride. */
function bump(p: number, centre: number, left: number, right = left): number {
  let d = p - centre;
  d -= Math.round(d);
  return Math.exp(-0.5 * (d / (d < 0 ? left : right)) ** 2);
}

const step = (u: number) => (u <= 0 ? 0 : u >= 1 ? 1 : u * u * (3 - 2 * u));

// deg; flexion and dorsiflexion positive
const hip = (p: number) =>
  11 + 22 * Math.cos(2 * Math.PI * (p - 0.94)) + 3 * Math.cos(4 * Math.PI * (p - 0.9));
const knee = (p: number) => 5 + 13 * bump(p, 0.14, 0.06) + 57 * bump(p, 0.72, 0.09, 0.08);
const ankle = (p: number) =>
  2 - 6 * bump(p, 0.07, 0.04) + 10 * bump(p, 0.42, 0.14, 0.07) - 21 * bump(p, 0.63, 0.05, 0.07);
// N·m/kg; extensor and plantarflexor positive
const hipMoment = (p: number) =>
  0.55 * bump(p, 0.1, 0.07) - 0.7 * bump(p, 0.52, 0.11, 0.07) + 0.25 * bump(p, 0.94, 0.06);
const kneeMoment = (p: number) =>
  0.55 * bump(p, 0.14, 0.05) -
  0.2 * bump(p, 0.4, 0.08) +
  0.14 * bump(p, 0.6, 0.04) -
  0.22 * bump(p, 0.92, 0.05);
const ankleMoment = (p: number) => 1.48 * bump(p, 0.48, 0.16, 0.055) - 0.1 * bump(p, 0.05, 0.03);
// body weights
const vertical = (p: number) =>
  step(p / 0.1) *
  (1 - step((p - 0.52) / 0.1)) *
  (0.92 + 0.2 * bump(p, 0.15, 0.06) + 0.22 * bump(p, 0.47, 0.06) - 0.14 * bump(p, 0.31, 0.07));
const foreAft = (p: number) =>
  step(p / 0.06) * (1 - step((p - 0.56) / 0.06)) * (0.2 * bump(p, 0.53, 0.06) - 0.17 * bump(p, 0.14, 0.06));

const HEAD =
  'Time [s];Cycle;Hip angle [deg];Knee angle [deg];Ankle angle [deg];Hip moment [Nm];Knee moment [Nm];' +
  'Ankle moment [Nm];Ankle power [W];Thigh [deg];Fz [N];Fx [N];Remark';

/** The whole file as text. */
export function demoStrides(): string {
  const random = chance(SEED);
  // the sum of twelve even draws is close to normal
  const noise = (sd: number) => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += random();
    return sum * sd;
  };
  const times = Array.from({ length: STRIDES + 2 }, () => 1.08 * (1 + noise(0.012)));
  const size = Array.from({ length: STRIDES + 3 }, () => 1 + noise(0.02));
  const lines = [
    '# demo data: invented by examples/make-demo-strides.ts; nobody walked this',
    HEAD,
    '# units stand in the names;;;;;;;;;;;;',
  ];
  const starts = [0];
  for (const time of times) starts.push((starts.at(-1) as number) + time);
  const end = (starts[STRIDES] as number) + 0.1;
  for (let i = 0; i / RATE <= end; i++) {
    const t = i / RATE;
    const k = starts.findLastIndex((start) => start <= t);
    const [begin, time] = [starts[k] as number, times[k] as number];
    const p = (t - begin) / time;
    const [now, next] = [size[k] as number, size[k + 1] as number];
    const tall = now + (next - now) * step(p);
    const slope = (f: (p: number) => number) => ((f(p + 1e-4) - f(p - 1e-4)) / 2e-4 / time) * (Math.PI / 180);
    const moment = (f: (p: number) => number) => MASS * tall * f(p) + noise(0.6);
    const cells = [
      hip(p) * tall + noise(0.15),
      // this laboratory's knee grows with extension
      -(knee(p) * tall + noise(0.15)),
      ankle(p) * tall + noise(0.15),
      moment(hipMoment),
      moment(kneeMoment),
      moment(ankleMoment),
      -MASS * tall * tall * ankleMoment(p) * slope(ankle) + noise(2),
      hip(p) * tall - 9 + noise(0.15),
      WEIGHT * vertical(p) + noise(1.5),
      WEIGHT * foreAft(p) + noise(1.5),
    ].map((x) => x.toFixed(2));
    const remark = p < 1 / (RATE * time) ? '"contact; right"' : '';
    lines.push([t.toFixed(3), String(k + 1), ...cells, remark].join(';').replaceAll('.', ','));
  }
  return `${lines.join('\n')}\n`;
}

if (process.argv[1]?.endsWith('make-demo-strides.ts')) {
  writeFileSync(new URL('./tern/recordings/demo-strides.csv', import.meta.url), demoStrides());
}
