import { HIP_Z, KNEE } from './leg-terms.ts';
import { GROUND } from './sole-contact.ts';
import { COMMAND } from './walk-controller.ts';
import type { WalkFault } from './walk-fault.ts';
import { LOG, LOG_WIDTH, type WalkLog } from './walk-log.ts';
import { copyRoom, type DrivenRoom, KEPT, walkRoom } from './walk-room.ts';
import { audited, fallen, walkRun } from './walk-run.ts';
import type { WalkSetup } from './walk-setup.ts';
import { walkSteps } from './walk-step.ts';
import { walkTick } from './walk-tick.ts';

/** How a fault at one place of the stride ended. */
export interface FaultTrial {
  /** Share of the reference stride. */
  readonly place: number;
  readonly outcome: 'survived' | 'stumbled' | 'fell';
  /** For what has stumbled or fallen: in words, and s after the fault. */
  readonly why?: string;
  readonly after?: number;
  /** The first fault or warning that the controller told of, counted from 1; 0: none. */
  readonly noticed: number;
  /** V: most on the bus. */
  readonly bus: number;
}

/** A walk from which faults set out. */
export interface OpenTrials {
  /** Has each fault begin at `place`, a share of the third stride. A walk that falls without any fault has no trials. */
  readonly at: (place: number, faults: readonly ((time: number) => WalkFault)[]) => readonly FaultTrial[];
  /** The walk without a fault, for as long as any trial lasts. */
  readonly sound: WalkLog;
}

/** Strides that a walk has behind it when the fault begins, and how many it may last from there. Our choice. */
const BEFORE = 2;
const AFTER = 3;
/** Strides of a walk that has any trial in it from beginning to end. */
export const TRIAL_STRIDES = BEFORE + 1 + AFTER;
/** Share of a stride for which a trial goes on after its second contact: whether the leg bears. Our choice. */
const BEARS = 0.2;
/** Shares of the weight on the foot at which it has come down, and at which it is off; s for which it was off. Our choice. */
const DOWN = 0.08;
const OFF = 0.04;
const OFF_FOR = 0.02;
/**
 * What is called a stumble, beside the same walk without the fault; all our own choice. m by which the hip sinks; rad of knee flexion more at
 * contact, or under a fifth of the weight; share of the weight on the foot while the sound leg swings, 60 ms and more from its contacts; share
 * of a stride by which contact comes late.
 */
const STUMBLE = {
  sinks: 0.05,
  lands: Math.PI / 18,
  gives: Math.PI / 9,
  loaded: 0.2,
  touches: 0.05,
  aside: 0.06,
  late: 0.1,
} as const;

/** Ticks before each place of the third stride of a walk, counted from its contact; the log need not reach further than its first contact. */
export function trialTicks({ table, strideTime, period }: WalkLog): (place: number) => number {
  const rows = Math.round(strideTime / period);
  let contact = 1;
  while (table[contact * LOG_WIDTH + LOG.place] > table[(contact - 1) * LOG_WIDTH + LOG.place]) contact++;
  // a row is written one period after the first tick
  const start = contact + 1 + (BEFORE - 1) * rows;
  return (place) => start + Math.round(place * rows);
}

/**
 * A sound walk of `setup` that stops at places of its third stride and lets faults set out from there, each to its next two contacts and a
 * fifth of a stride beyond, or to its fall. Every trial's energy is balanced, as a walk's is. The wearer, the other leg and the thigh's course go on as if nothing had happened.
 *
 * From place to later place it walks on; for an earlier one it begins anew, so that a trial is the same whatever was tried before it.
 */
export function openTrials(setup: WalkSetup, step: number): OpenTrials {
  const sound = walkRun(setup, step, TRIAL_STRIDES + 1);
  const rows = Math.round(sound.strideTime / sound.period);
  const tickOf = trialTicks(sound);
  let room = walkRoom(setup, step, 1);
  let tick = 0;
  return {
    sound,
    at: (place, faults) => {
      if (sound.fell !== undefined) return [];
      const from = tickOf(place);
      if (from < tick) {
        room = walkRoom(setup, step, 1);
        tick = 0;
      }
      for (; tick < from; tick++) {
        walkTick(room);
        walkSteps(room, room.perTick);
      }
      return faults.map((fault) => trial(room, sound, fault(from * setup.period), { place, from, rows }));
    },
  };
}

/** One fault from `from` on. */
function trial(
  room: DrivenRoom,
  sound: WalkLog,
  fault: WalkFault,
  { place, from, rows }: { readonly place: number; readonly from: number; readonly rows: number },
): FaultTrial {
  const own = copyRoom(room, fault);
  const { q, ground, command, kept, setup } = own;
  const { weight } = setup.course;
  const { period } = setup;
  const aside = Math.round(STUMBLE.aside / period);
  const value = (tick: number, column: number): number => sound.table[(tick - 1) * LOG_WIDTH + column];
  const swings = (tick: number): boolean =>
    value(tick - aside, LOG.up) === 0 && value(tick, LOG.up) === 0 && value(tick + aside, LOG.up) === 0;
  let down = ground[GROUND.up] > DOWN * weight;
  let soundDown = down;
  let off = 0;
  let soundOff = 0;
  let contacts = 0;
  let soundContacts = 0;
  let soundKnee = Number.NaN;
  let owes = Number.POSITIVE_INFINITY;
  let noticed = 0;
  let bus = 0;
  let stumble: { readonly why: string; readonly after: number } | undefined;
  const stumbles = (tick: number, why: string): void => {
    stumble ??= { why, after: (tick - from) * period };
  };
  let end = from + AFTER * rows;
  for (let tick = from; tick < end; tick++) {
    walkTick(own);
    if (noticed === 0) noticed = command[COMMAND.fault] || command[COMMAND.warning];
    bus = Math.max(bus, kept[KEPT.volts]);
    const why = fallen(own);
    if (why !== undefined) {
      audited(own);
      return { place, outcome: 'fell', why, after: (tick - from) * period, noticed, bus };
    }
    if (tick > from) {
      const up = ground[GROUND.up];
      const soundUp = value(tick, LOG.up);
      off = up < OFF * weight ? off + 1 : 0;
      if (down && off * period >= OFF_FOR) down = false;
      soundOff = soundUp < OFF * weight ? soundOff + 1 : 0;
      if (soundDown && soundOff * period >= OFF_FOR) soundDown = false;
      if (!soundDown && soundUp > DOWN * weight) {
        soundDown = true;
        soundContacts++;
        soundKnee = value(tick, LOG.knee);
        if (contacts < soundContacts) owes = tick + STUMBLE.late * rows;
      }
      if (!down && up > DOWN * weight) {
        down = true;
        contacts++;
        if (contacts >= soundContacts) owes = Number.POSITIVE_INFINITY;
        const against =
          Number.isNaN(soundKnee) || contacts > soundContacts ? value(tick, LOG.knee) : soundKnee;
        if (q[KNEE] - against > STUMBLE.lands)
          stumbles(tick, `lands on a knee bent ${degrees(q[KNEE] - against)}° more`);
        if (contacts === 2) end = Math.min(end, tick + Math.round(BEARS * rows));
      }
      if (tick > owes) stumbles(tick, 'comes down late');
      if (value(tick, LOG.height) - q[HIP_Z] > STUMBLE.sinks) stumbles(tick, 'the hip sinks');
      if (up > STUMBLE.loaded * weight && q[KNEE] - value(tick, LOG.knee) > STUMBLE.gives)
        stumbles(tick, 'the knee gives under load');
      if (up > STUMBLE.touches * weight && swings(tick)) stumbles(tick, 'the foot touches in swing');
    }
    walkSteps(own, own.perTick);
  }
  audited(own);
  return {
    place,
    outcome: stumble === undefined ? 'survived' : 'stumbled',
    ...stumble,
    noticed,
    bus,
  };
}

const degrees = (x: number): string => ((x * 180) / Math.PI).toFixed(0);
