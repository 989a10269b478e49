import type { CompiledController } from './compile-controller.ts';
import {
  blendMap,
  blendSchedule,
  type LiveMap,
  liveMap,
  type ScheduleLayer,
  type SpeedTables,
  turnMap,
} from './speed-blend.ts';
import { WALK, WALK_STATUS, walkState } from './walk-estimate.ts';

/** Places in what a controller remembers of its speed. */
export const SPEED = {
  /** m/s that maps and schedules go by from the next state on, and that of the present state. */
  used: 0,
  latched: 1,
  /** 1: loaded. */
  loaded: 2,
  /** Stances that have been taken up, refusals among them. */
  judged: 3,
  /** rad: what the readings of the slope come to, smoothed; what maps go by from the next state on; and that of the present state. */
  smoothed: 4,
  slope: 5,
  latchedSlope: 6,
  /** Stances in a row that said no slope. */
  unread: 7,
  /** As in SLOPE_STATUS. */
  slopeStatus: 8,
} as const;
const OWN = 9;

/** What is said of the speed: of the last stance as in WALK_STATUS, and where the speed lies beyond every task, which is then held at the end. */
export const SPEED_STATUS = {
  'not read': 0,
  ...WALK_STATUS,
  'below the slowest': 6,
  'above the fastest': 7,
} as const;

/** What is said of the slope: what the last stance came to, as in WALK_STATUS; a slope beyond the file's ends, and a stance that was no walking, leave it. */
export const SLOPE_STATUS = { 'not read': 0, ...WALK_STATUS, 'beyond its ends': 6, 'no walking': 7 } as const;

/** A controller's memory of its speed and slope: plain numbers, and the maps and schedules of the speed that is latched, which follow from them. */
export interface SpeedMemory {
  readonly walk: Float64Array;
  readonly own: Float64Array;
  readonly live: CompiledController;
  /** Maps that go by no speed, on the level. */
  readonly level: CompiledController['maps'];
  /** State, speed and slope that `live` was written for; it is written anew where these are others, so a memory may be filled from numbers alone. */
  readonly made: Float64Array;
}

/** Steps in which speed and slope are latched, a second and a radian as many: 1 mm/s, 0.014°. */
const STEPS = { speed: 1024, slope: 4096 } as const;

/** Latches speed and slope in steps: firmware's last digits of a reading would else show in every number of its maps, and 32-fold in their slopes. */
export function latch(own: Float64Array): void {
  own[SPEED.latched] = stepped(own[SPEED.used], STEPS.speed);
  own[SPEED.latchedSlope] = stepped(own[SPEED.slope], STEPS.slope);
}

const stepped = (x: number, steps: number): number =>
  Math.floor(Math.fround(Math.fround(x) * steps + 0.5)) / steps;

const notMade = (): Float64Array => new Float64Array(3).fill(-1);

/** The memory before the first stance: at the speed that the file names. */
export function speedMemory(of: CompiledController): SpeedMemory | undefined {
  const { bySpeed } = of;
  if (bySpeed === undefined) return undefined;
  const own = new Float64Array(OWN);
  own[SPEED.used] = bySpeed.start;
  latch(own);
  return { walk: walkState(), own, live: liveController(of, bySpeed), level: of.maps, made: notMade() };
}

/** One like it that goes on from here by itself. */
export const copiedSpeed = (of: CompiledController, { walk, own }: SpeedMemory): SpeedMemory => ({
  walk: walk.slice(),
  own: own.slice(),
  live: liveController(of, of.bySpeed!),
  level: of.maps,
  made: notMade(),
});

function liveController(of: CompiledController, { maps, slope }: SpeedTables): CompiledController {
  return {
    ...of,
    maps: of.maps.map((map, p) => (maps[p].length > 0 || slope !== undefined ? liveMap(map) : map)),
    scheduleStiffness: of.scheduleStiffness.slice(),
    scheduleOffset: of.scheduleOffset.slice(),
    scheduleDamping: of.scheduleDamping.slice(),
  };
}

/** Writes the map and the schedules of a state at the latched speed, the map turned by the latched slope, unless they are there. */
export function blendState(
  { maps, schedules, slope: turns }: SpeedTables,
  { own, live, level, made }: SpeedMemory,
  now: number,
): void {
  const speed = own[SPEED.latched];
  const slope = own[SPEED.latchedSlope];
  if (made[0] === now && made[1] === speed && made[2] === slope) return;
  made[0] = now;
  made[1] = speed;
  made[2] = slope;
  const m = live.mapOf[now];
  if (m >= 0 && maps[m].length > 0) blendMap(live.maps[m] as LiveMap, maps[m], speed);
  if (m >= 0 && turns !== undefined)
    turnMap(live.maps[m] as LiveMap, maps[m].length > 0 ? live.maps[m] : level[m], slope);
  for (let j = 0; j < 2; j++) {
    const k = live.scheduleOf[2 * now + j];
    if (k < 0 || schedules[k].length === 0) continue;
    rows.stiffness = live.scheduleStiffness;
    rows.offset = live.scheduleOffset;
    rows.damping = live.scheduleDamping;
    blendSchedule(rows, live.scheduleFirst[k], schedules[k], speed);
  }
}

const none = new Float64Array(0);
/** Written anew before each use: nothing is allocated in a tick. */
const rows: { -readonly [row in keyof ScheduleLayer]: ScheduleLayer[row] } = {
  stiffness: none,
  offset: none,
  damping: none,
};

/** What is to be said of the speed that is used. */
export function speedStatus({ bySpeed }: CompiledController, { walk, own }: SpeedMemory): number {
  const { low, high } = bySpeed!.ends;
  if (own[SPEED.used] < low) return SPEED_STATUS['below the slowest'];
  if (own[SPEED.used] > high) return SPEED_STATUS['above the fastest'];
  return walk[WALK.status];
}
