import type { CompiledController } from './compile-controller.ts';
import {
  blendMap,
  blendSchedule,
  type LiveMap,
  liveMap,
  type ScheduleLayer,
  type SpeedTables,
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
} as const;

/** What is said of the speed: of the last stance as in WALK_STATUS, and where the speed lies beyond every task, which is then held at the end. */
export const SPEED_STATUS = {
  'not read': 0,
  ...WALK_STATUS,
  'below the slowest': 6,
  'above the fastest': 7,
} as const;

/** A controller's memory of its speed: plain numbers, and the maps and schedules of the speed that is latched, which follow from them. */
export interface SpeedMemory {
  readonly walk: Float64Array;
  readonly own: Float64Array;
  readonly live: CompiledController;
  /** State and speed that `live` was written for; it is written anew where these are others, so a memory may be filled from numbers alone. */
  readonly made: Float64Array;
}

/** The memory before the first stance: at the speed that the file names. */
export function speedMemory(of: CompiledController): SpeedMemory | undefined {
  const { bySpeed } = of;
  if (bySpeed === undefined) return undefined;
  const own = new Float64Array(4);
  own[SPEED.used] = bySpeed.start;
  own[SPEED.latched] = bySpeed.start;
  return { walk: walkState(), own, live: liveController(of, bySpeed), made: new Float64Array(2).fill(-1) };
}

/** One like it that goes on from here by itself. */
export const copiedSpeed = (of: CompiledController, { walk, own }: SpeedMemory): SpeedMemory => ({
  walk: walk.slice(),
  own: own.slice(),
  live: liveController(of, of.bySpeed!),
  made: new Float64Array(2).fill(-1),
});

function liveController(of: CompiledController, { maps }: SpeedTables): CompiledController {
  return {
    ...of,
    maps: of.maps.map((map, p) => (maps[p].length > 0 ? liveMap(map) : map)),
    scheduleStiffness: of.scheduleStiffness.slice(),
    scheduleOffset: of.scheduleOffset.slice(),
    scheduleDamping: of.scheduleDamping.slice(),
  };
}

/** Writes the map and the schedules of a state at the latched speed, unless they are there. */
export function blendState(
  { maps, schedules }: SpeedTables,
  { own, live, made }: SpeedMemory,
  now: number,
): void {
  const speed = own[SPEED.latched];
  if (made[0] === now && made[1] === speed) return;
  made[0] = now;
  made[1] = speed;
  const m = live.mapOf[now];
  if (m >= 0 && maps[m].length > 0) blendMap(live.maps[m] as LiveMap, maps[m], speed);
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
