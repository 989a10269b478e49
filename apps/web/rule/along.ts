import { fixed, written } from '../show/number.ts';
import { phaseName } from '../show/phase.ts';
import { numerals, strideTicks } from '../show/ticks.ts';
import type { Along, Part } from './scale.ts';

// What a rule's axis says at a place: per cent of a stride, or seconds of one stretch. Places are per cent of the axis, as the hairline's.

const secondsOf = (along: Along): number | undefined => ('parts' in along ? along.seconds : undefined);

/** Value of the axis at a place, in its own unit. */
export function valueAt(along: Along, percent: number): number {
  const seconds = secondsOf(along);
  return seconds === undefined ? percent : (seconds * percent) / 100;
}

/** The same in words, without its unit. */
function figure(along: Along, percent: number): string {
  return secondsOf(along) === undefined
    ? fixed(percent, percent % 1 === 0 ? 0 : 1)
    : fixed(valueAt(along, percent), 2);
}

export const placeText = (along: Along, percent: number): string =>
  `${figure(along, percent)} ${secondsOf(along) === undefined ? '%' : 's'}`;
const placeSpoken = (along: Along, percent: number): string =>
  `${figure(along, percent)} ${secondsOf(along) === undefined ? 'per cent' : 'seconds'}`;

/** Per cent by which rounding may miss where a part begins. */
const SAME = 1e-9;

/** What of the stride or stretch a place lies in, that which begins there rather than that which ends; empty where there is nothing to say. */
export const partAt = (along: Along, percent: number): string =>
  'parts' in along
    ? (along.parts.findLast(({ from, to }) => percent >= 100 * from - SAME && percent <= 100 * to + SAME)
        ?.name ?? '')
    : phaseName(percent, along.stance);

export const spokenAt = (along: Along, percent: number): string =>
  [placeSpoken(along, percent), partAt(along, percent)].filter((text) => text !== '').join(', ');

/** What the axis counts: quantity and unit. */
export const axisOf = (
  along: Along,
): { readonly name: string; readonly unit: string; readonly most: number } => {
  const seconds = secondsOf(along);
  return seconds === undefined
    ? { name: 'Stride', unit: '%', most: 100 }
    : { name: 'Time', unit: 's', most: seconds };
};

/** Times at which a numeral stands, s, and what lies between two of them. */
const TIMES = 11;

export interface AxisTick {
  readonly percent: number;
  readonly rank: 0 | 1 | 2;
}

/** Engraved ticks on an axis of `length` px. */
export function axisTicks(along: Along, length: number): readonly AxisTick[] {
  const seconds = secondsOf(along);
  if (seconds === undefined) return strideTicks(length / 100);
  const [from = 0, next = seconds] = numerals(0, seconds, TIMES);
  const step = next - from;
  // tenths of a step where that leaves room, else fifths
  const parts = ((length / seconds) * step) / 10 >= 6 ? 10 : 5;
  const count = Math.floor((parts * seconds) / step + 1e-9);
  return Array.from({ length: count + 1 }, (_, k) => ({
    percent: (100 * k * step) / parts / seconds,
    rank: k % parts === 0 ? 2 : 2 * (k % parts) === parts ? 1 : 0,
  }));
}

/** Numerals under the axis. */
export function axisNumerals(along: Along): readonly { readonly percent: number; readonly text: string }[] {
  const seconds = secondsOf(along);
  return seconds === undefined
    ? Array.from({ length: 11 }, (_, k) => ({ percent: 10 * k, text: String(10 * k) }))
    : numerals(0, seconds, TIMES).map((time) => ({ percent: (100 * time) / seconds, text: written(time) }));
}

/** Samples, of `count` over the axis, that a table for people shows: every five per cent, or as many times as fit on a screen. */
export function shownSamples(along: Along, count: number): readonly number[] {
  const seconds = secondsOf(along);
  const places =
    seconds === undefined
      ? Array.from({ length: 21 }, (_, k) => 5 * k)
      : numerals(0, seconds, 42).map((time) => (100 * time) / seconds);
  return places.map((percent) => Math.round((percent * (count - 1)) / 100));
}

/** How the ground behind the scales is told, in a sentence. */
export function alongWords(along: Along): string {
  if ('stance' in along) return `over one stride, stance to ${fixed(100 * along.stance, 1)} %`;
  const { parts, seconds } = along;
  const told = parts.map((part) => partWords(along, part)).join(', ');
  if (seconds === undefined && parts.length > 0) return `over one stride: ${told}`;
  if (seconds === undefined)
    return 'over one stride; the foot bears nothing, so that it has neither stance nor swing';
  return `over ${fixed(seconds, 2)} s: ${told}`;
}

const partWords = (along: Along, { name, from, to }: Part): string =>
  `${name} ${figure(along, 100 * from)} to ${placeText(along, 100 * to)}`;
