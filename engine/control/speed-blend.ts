import type { CarriedMap } from './carried-map.ts';
import type { SlopeChoice } from './controller.ts';
import type { SwingTorque } from './swing-torque.ts';
import type { WalkMap } from './walk-estimate.ts';

/** Something that was made for one speed, m/s. */
export interface AtSpeed<T> {
  readonly speed: number;
  readonly of: T;
}

/** One schedule's points for one speed: K, c and B at places that are the same for every speed. */
export interface ScheduleLayer {
  readonly stiffness: Float64Array;
  readonly offset: Float64Array;
  readonly damping: Float64Array;
}

/** What a controller carries for the speeds of walking, every number a float32. */
export interface SpeedTables {
  /** What the estimate of speed is told. */
  readonly walk: WalkMap;
  /** m/s; and N, above and below which the leg counts as loaded. */
  readonly start: number;
  readonly change: number;
  readonly loaded: number;
  readonly unloaded: number;
  /** Slowest and fastest that anything was made for, m/s. */
  readonly ends: { readonly low: number; readonly high: number };
  /** By phase and by schedule, the slowest first; empty where one serves every speed. */
  readonly maps: readonly (readonly AtSpeed<CarriedMap>[])[];
  readonly schedules: readonly (readonly AtSpeed<ScheduleLayer>[])[];
  /** Where maps go by the slope that the same stances say. */
  readonly slope?: SlopeChoice;
}

type Writable<T> = { -readonly [key in keyof T]: T[key] };
/** A map that is written anew as the speed changes. */
export type LiveMap = Writable<Omit<CarriedMap, 'map'>> & {
  readonly map: Writable<Omit<CarriedMap['map'], 'torque'>> & { readonly torque?: Writable<SwingTorque> };
};

/** Two neighbours among layers, and the share of the way from the first to the second. Written anew before each use. */
const where = { low: 0, high: 0, share: 0 };

/**
 * Between which two layers a speed lies. Beyond the slowest or the fastest it is held there.
 *
 *     w = (v − v_i)/(v_{i+1} − v_i),   0 ≤ w ≤ 1, in float32 as firmware has it
 */
function neighbours(layers: readonly AtSpeed<unknown>[], speed: number): typeof where {
  const last = layers.length - 1;
  let i = 0;
  while (i < last - 1 && layers[i + 1].speed <= speed) i++;
  const from = layers[i].speed;
  const way = Math.fround(layers[i + 1].speed - from);
  const share = Math.fround(Math.fround(speed - from) / way);
  where.low = i;
  where.high = i + 1;
  where.share = share < 0 ? 0 : Math.min(share, 1);
  return where;
}

/** a + w·(b − a) in float32; the ends themselves where w is 0 or 1. */
const mixed = (a: number, b: number, w: number): number =>
  w === 1 ? b : Math.fround(a + Math.fround(w * Math.fround(b - a)));

function mixedInto(into: Float64Array, at: number, a: Float64Array, b: Float64Array, w: number): void {
  for (let k = 0; k < a.length; k++) into[at + k] = mixed(a[k], b[k], w);
}

/**
 * Writes the map of a speed: every number of its two neighbours blended in a straight line. Trajectories and table are linear in their
 * numbers, so a blend of maps that are C² over the phase is C² too, and a blend of tables that rise rises. Nothing is allocated.
 */
export function blendMap(into: LiveMap, layers: readonly AtSpeed<CarriedMap>[], speed: number): void {
  const { low, high, share: w } = neighbours(layers, speed);
  const [a, b] = [layers[low].of, layers[high].of];
  into.scale = mixed(a.scale, b.scale, w);
  into.pace = mixed(a.pace, b.pace, w);
  const m = into.map;
  m.toeOff = mixed(a.map.toeOff, b.map.toeOff, w);
  m.referenceOn = mixed(a.map.referenceOn, b.map.referenceOn, w);
  m.full = mixed(a.map.full, b.map.full, w);
  m.fullPhase = mixed(a.map.fullPhase, b.map.fullPhase, w);
  m.peak = mixed(a.map.peak, b.map.peak, w);
  m.peakPhase = mixed(a.map.peakPhase, b.map.peakPhase, w);
  m.play = mixed(a.map.play, b.map.play, w);
  m.fastest = mixed(a.map.fastest, b.map.fastest, w);
  m.finishRate = mixed(a.map.finishRate, b.map.finishRate, w);
  m.corner = mixed(a.map.corner, b.map.corner, w);
  m.blend = mixed(a.map.blend, b.map.blend, w);
  mixedInto(m.phase, 0, a.map.phase, b.map.phase, w);
  mixedInto(m.bend, 0, a.map.bend, b.map.bend, w);
  mixedInto(m.knee, 0, a.map.knee, b.map.knee, w);
  mixedInto(m.ankle, 0, a.map.ankle, b.map.ankle, w);
  const { torque } = m;
  const [from, to] = [a.map.torque, b.map.torque];
  if (torque === undefined || from === undefined || to === undefined) return;
  mixedInto(torque.kneeHeld, 0, from.kneeHeld, to.kneeHeld, w);
  mixedInto(torque.kneeMoved, 0, from.kneeMoved, to.kneeMoved, w);
  mixedInto(torque.ankleHeld, 0, from.ankleHeld, to.ankleHeld, w);
  mixedInto(torque.ankleMoved, 0, from.ankleMoved, to.ankleMoved, w);
  torque.fastest = mixed(from.fastest, to.fastest, w);
}

/**
 * Writes where the thigh of a map is, `of` that map on the level or `into` itself, for a leg that leans with a slope, rad: θ_ref + γ in swing,
 * −θ_ref − γ in stance, in float32. Nothing is allocated.
 */
export function turnMap(into: LiveMap, of: CarriedMap, slope: number): void {
  const angle = of.sign * slope;
  into.map.referenceOn = Math.fround(of.map.referenceOn + angle);
  into.map.full = Math.fround(of.map.full + angle);
  into.map.peak = Math.fround(of.map.peak + angle);
}

/** A map of its own to blend into. */
export const liveMap = (carried: CarriedMap): LiveMap => ({
  ...carried,
  map: {
    ...carried.map,
    phase: carried.map.phase.slice(),
    bend: carried.map.bend.slice(),
    knee: carried.map.knee.slice(),
    ankle: carried.map.ankle.slice(),
    ...(carried.map.torque && { torque: copied(carried.map.torque) }),
  },
});

const copied = ({ kneeHeld, kneeMoved, ankleHeld, ankleMoved, fastest }: SwingTorque): SwingTorque => ({
  kneeHeld: kneeHeld.slice(),
  kneeMoved: kneeMoved.slice(),
  ankleHeld: ankleHeld.slice(),
  ankleMoved: ankleMoved.slice(),
  fastest,
});

/** Writes the schedule of a speed at `at` of three rows. Nothing is allocated. */
export function blendSchedule(
  into: ScheduleLayer,
  at: number,
  layers: readonly AtSpeed<ScheduleLayer>[],
  speed: number,
): void {
  const { low, high, share: w } = neighbours(layers, speed);
  const [a, b] = [layers[low].of, layers[high].of];
  mixedInto(into.stiffness, at, a.stiffness, b.stiffness, w);
  mixedInto(into.offset, at, a.offset, b.offset, w);
  mixedInto(into.damping, at, a.damping, b.damping, w);
}
