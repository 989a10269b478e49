import { type RandomStream, randomStream } from '../numeric/random.ts';
import { type CompiledController, DETECT, LIMIT, LIMITS } from './compile-controller.ts';
import { SENSORS } from './controller.ts';
import { INPUT } from './controller-memory.ts';

const DEG = Math.PI / 180;

/** Where the leg is on its way to, and what may be wrong meanwhile. */
interface Scene {
  thigh: number;
  knee: number;
  ankle: number;
  load: number;
  release: number;
}

/** What is wrong with a sensor, and for how many ticks. */
interface Spoil {
  readonly ticks: number;
  readonly change: (row: Float64Array, before: Float64Array) => void;
}

/** How fast a joint goes to where the scene wants it, rad/s: quick, and below what is called a jump. */
const FASTEST = 8;

/**
 * Readings that take a controller through all it can do: standing, strides of many paces on the level and on slopes, a leg lifted, a chair, a stair, stumbles, a
 * thigh that stops in mid-swing, and sensors that give no number, the same one, one too large, or leap. `ticks` rows of SENSORS, all of
 * them float32 values. The same seed gives the same rows.
 */
export function controllerExercise(of: CompiledController, ticks: number, seed: number): Float64Array {
  const n = SENSORS.length;
  const rows = new Float64Array(ticks * n);
  const chance = randomStream(seed);
  const pose = { thigh: 0, knee: 0, ankle: 0 };
  const most = FASTEST * of.period;
  const row = new Float64Array(n);
  const before = new Float64Array(n);
  let k = 0;
  let asks = false;
  let turn = 0;
  while (k < ticks) {
    const wanders = of.watchKind[turn % Math.max(1, of.watches.length)] === DETECT.wanders;
    // a stair comes first, with a noise of its own: what follows does not depend on it
    const climbs = k === 0;
    const { length, at } = climbs ? { length: 2400, at: stair } : act(chance, asks, wanders);
    const noise = climbs ? randomStream(seed + 1) : chance;
    const wrong: Spoil | undefined =
      !climbs && !asks && chance.uniform() < 0.8 ? spoil(chance, of, turn++) : undefined;
    // after something has gone wrong the wearer stands still and asks to go on
    asks = wrong !== undefined;
    const from = Math.floor(0.7 * noise.uniform() * length);
    const until = from + (wrong?.ticks ?? 0);
    for (let i = 0; i < length && k < ticks; i++, k++) {
      const scene = at(i * of.period);
      const thigh = pose.thigh;
      for (const joint of ['thigh', 'knee', 'ankle'] as const)
        pose[joint] += Math.max(-most, Math.min(most, scene[joint] * DEG - pose[joint]));
      row[INPUT.thigh] = pose.thigh;
      row[INPUT.thighRate] = (pose.thigh - thigh) / of.period + 0.002 * noise.normal();
      row[INPUT.knee] = pose.knee;
      row[INPUT.ankle] = pose.ankle;
      row[INPUT.load] = scene.load * of.bodyWeight + 2 * noise.normal();
      row[INPUT.kneeWinding] = 325 + 65 * Math.sin(k * 1e-4);
      row[INPUT.ankleWinding] = 325 + 65 * Math.sin(k * 0.7e-4);
      // up to where braking is limited, and below where the bus is called too high
      row[INPUT.bus] = 48.5 + 7 * Math.sin(k * 3e-4) + 0.3 * noise.normal();
      row[INPUT.elapsed] = of.period;
      row[INPUT.release] = scene.release;
      row[INPUT.kneeSecond] = pose.knee + 1e-3 * noise.normal();
      row[INPUT.ankleSecond] = pose.ankle + 1e-3 * noise.normal();
      if (wrong !== undefined && i >= from && i < until) wrong.change(row, before);
      for (let s = 0; s < n; s++) {
        rows[k * n + s] = Math.fround(row[s]);
        before[s] = row[s];
      }
    }
  }
  return rows;
}

/** A foot onto a stair, its thigh forward before it is off the ground, the body after it, the foot off it again, and both feet beside each other. */
function stair(t: number): Scene {
  const up = { thigh: 45, knee: Math.min(70, 150 * t), ankle: 0, load: t < 0.06 ? 0.5 : 0, release: 0 };
  if (t < 0.9) return up;
  const u = Math.min(1, t - 0.9);
  if (t < 1.9) return { ...up, load: 1, thigh: 45 - 53 * u, knee: 70 - 52 * u };
  if (t < 2.1) return { ...up, thigh: -8 + 60 * (t - 1.9), knee: 18 + 100 * (t - 1.9) };
  return { ...up, load: 0.5, thigh: 0, knee: 0 };
}

/** One thing that a wearer does, `length` ticks long at 1 kHz. */
function act(
  chance: RandomStream,
  asks: boolean,
  walks: boolean,
): { readonly length: number; readonly at: (t: number) => Scene } {
  const still: Scene = { thigh: 0, knee: 0, ankle: 0, load: 0.5, release: 0 };
  const pick = asks ? 1 : walks ? 7 : Math.floor(chance.uniform() * 8);
  const [a, b] = [chance.uniform(), chance.uniform()];
  const hill = chance.uniform();
  const stride = 0.8 + 0.5 * a;
  const way = 18 + 10 * b;
  // half of the walks go up or down a slope of up to 9°, the whole leg leaning with it
  const slope = hill < 0.5 ? 0 : 36 * (hill - 0.75);
  const walk = (t: number): Scene => {
    const turn = (2 * Math.PI * t) / stride;
    const place = (t / stride) % 1;
    const thigh = 6 + slope + way * Math.cos(turn);
    if (place >= 0.6)
      return {
        thigh,
        knee: 26 - 5 * Math.cos(turn) - 24 * Math.sin(turn),
        ankle: 8 * Math.sin(2 * turn),
        load: 0,
        release: 0,
      };
    // a foot that lies flat and then rolls off, so that a speed can be read of it; now and then one that never does
    const knee = 10 - 4 * Math.cos(2 * turn);
    const rolls = Math.max(0, place - 0.4) * 150;
    return {
      thigh,
      knee,
      ankle: a < 0.15 ? 8 * Math.sin(2 * turn) : knee - thigh + slope - rolls,
      load: 1.1,
      release: 0,
    };
  };
  switch (pick) {
    case 0:
      return { length: 600, at: () => still };
    case 1:
      return { length: 1500, at: (t) => ({ ...still, release: t > 0.3 ? 1 : 0 }) };
    case 2:
      return {
        length: 900,
        at: (t) => ({ ...still, load: 0, thigh: 25 + 25 * a, knee: Math.min(70, 150 * t) }),
      };
    case 3:
      return {
        length: 3000,
        at: (t) => {
          const down = Math.max(0, Math.min(1, t < 1.8 ? t : 2.8 - t));
          return {
            thigh: 85 * down,
            knee: 95 * down,
            ankle: 0,
            load: t > 1 && t < 1.7 ? 0.05 : 0.6,
            release: 0,
          };
        },
      };
    case 4: {
      // a foot that is caught in mid-swing, or a thigh that stops there
      const stop = stride * (0.68 + 0.2 * b);
      const caught = a > 0.5;
      return {
        length: 2000,
        at: (t) => (t < stop ? walk(t) : { ...walk(stop), load: caught && t < stop + 0.2 ? 0.3 + b : 0 }),
      };
    }
    default:
      return { length: Math.round((walks ? 5900 : a > 0.6 ? 3900 : 1900) * stride), at: walk };
  }
}

/** What is wrong with one sensor, and for how many ticks: mostly what the watches look for, one after the other, now and then anything. */
function spoil(chance: RandomStream, of: CompiledController, turn: number): Spoil {
  const anySensor = Math.floor(chance.uniform() * SENSORS.length);
  const size = chance.uniform() - 0.5;
  const ticks = Math.ceil(10 ** (0.5 + 2.5 * chance.uniform()));
  if (of.watches.length === 0 || chance.uniform() < 0.2) {
    const gone = chance.uniform() < 0.5;
    const wild = size * 10 ** (8 * Math.abs(size));
    return { ticks, change: (row) => row.fill(gone ? Number.NaN : wild, anySensor, anySensor + 1) };
  }
  const w = turn % of.watches.length;
  const s = of.watchSensor[w];
  const [low, high, limit] = [of.watchLow[w], of.watchHigh[w], of.watchLimit[w]];
  // two encoders must differ beyond what the gears wind up under the largest torque
  const j = s === INPUT.kneeSecond ? 0 : s === INPUT.ankleSecond ? 1 : -1;
  const allowed = j < 0 ? 0 : of.windUp[j] * of.limits[j * LIMITS + LIMIT.torque];
  // from standing through as many strides as this act has, growing as slowly as no jump is
  if (of.watchKind[w] === DETECT.wanders) {
    const [most, step] = [(size < 0 ? -3 : 3) * limit, (size < 0 ? -0.2 : 0.2) * DEG];
    let off = 0;
    const change = (row: Float64Array): void => {
      off = Math.abs(off + step) < Math.abs(most) ? off + step : most;
      row[s] += off;
    };
    return { ticks: 5000, change };
  }
  // just too short or long enough
  const lasts = of.watchTicks[w] + (size < -0.3 ? -1 : 20);
  const change = (row: Float64Array, before: Float64Array): void => {
    if (of.watchKind[w] === DETECT.missing) row[s] = Number.NaN;
    else if (of.watchKind[w] === DETECT.stuck) row[s] = before[s];
    else if (of.watchKind[w] === DETECT.outside)
      row[s] = Number.isFinite(high) ? 1.05 * high : low - 0.05 * Math.abs(low);
    else row[s] += 1.5 * limit + allowed;
  };
  return { ticks: Math.max(1, lasts), change };
}
