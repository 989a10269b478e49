import { type Replay, SAME } from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { table } from './table.ts';

/** A log run again, and whose it is. */
export interface ReplayReport {
  readonly replay: Replay;
  /** Fingerprints that the log names. */
  readonly log: {
    readonly controller: string | undefined;
    readonly build: string | undefined;
    /** Columns of readings that it does not have. */
    readonly lacks: readonly string[];
  };
  readonly here: { readonly id: string; readonly controller: string; readonly build: string };
  readonly unknownStates: readonly string[];
  readonly period: number;
}

const short = (fingerprint: string): string => fingerprint.slice(0, 12);

/** One line first: the same, or where it first is not. */
export function replayVerdict({ replay: { ticks, first }, here }: ReplayReport): string {
  return paragraph(
    first === undefined
      ? `Controller ${here.id}, ${short(here.controller)}, does the same as the log in all ${ticks} ticks.`
      : `Controller ${here.id}, ${short(here.controller)}, first differs at ${fixed(first.time, 3)} s, tick ${first.tick}: ${first.what} was ${first.was}, is ${first.is}.`,
  );
}

/** Whose log it is, then what differs and by how much. */
export function replayText({ replay, log, here, unknownStates, period }: ReplayReport): string {
  const { ticks, differ, torque, phase } = replay;
  const whose = (name: string, there: string | undefined, own: string): string =>
    there === undefined
      ? `The log names no ${name}: nobody can say what wrote it.`
      : there === own
        ? `The log’s ${name} ${short(there)} is this one.`
        : `The log’s ${name} is ${short(there)}, this one ${short(own)}: another version.`;
  return [
    `${fixed(ticks * period, 2)} s of log, ${ticks} ticks`,
    table(
      [
        { head: 'of', align: 'left' },
        { head: 'ticks that differ' },
        { head: 'by at most' },
        { head: 'unit', align: 'left' },
      ],
      [
        ['state', fixed(differ.state, 0), '', ''],
        ['fault', fixed(differ.fault, 0), '', ''],
        ['phase', fixed(differ.phase, 0), phase.toExponential(1), 'stride'],
        ['knee torque', fixed(differ['knee torque'], 0), torque[0].toExponential(1), 'N·m'],
        ['ankle torque', fixed(differ['ankle torque'], 0), torque[1].toExponential(1), 'N·m'],
      ],
    ),
    '',
    list([
      whose('controller', log.controller, here.controller),
      whose('build', log.build, here.build),
      `The same means: states and faults equal, phase within ${SAME.phase}, torque within ${SAME.torque} N·m and ${SAME.torqueShare} of it, which is what float32 leaves.`,
      'What the leg read is taken as it was: had another controller run, the leg would have moved otherwise.',
      ...(log.lacks.length === 0
        ? []
        : [
            `The log has no ${log.lacks.map((name) => `\`${name}\``).join(', ')}: they are taken as no numbers, and what watches them finds nothing or that they are missing.`,
          ]),
      ...(unknownStates.length === 0
        ? []
        : [`States of the log that this controller does not have: ${unknownStates.join(', ')}.`]),
    ]),
    '',
    CAUTION,
  ].join('\n');
}
