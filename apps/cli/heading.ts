import type { StudyInput } from '@striderule/engine';
import { fixed } from './number-text.ts';

/** The mark that every table of an invented study carries. */
export const DEMO_MARK = 'DEMO DATA: parts of this study are invented; its numbers measure nothing.';

/** Which study, leg and wearer a table speaks of, and the demo mark where it is due. */
export function heading(input: StudyInput): string {
  const { wearer, leg } = input;
  const who = `leg ${leg.name}, wearer ${wearer.code} (${fixed(wearer.mass, 1)} kg, ${fixed(wearer.height, 2)} m)`;
  return `Study ${input.name}: ${who}${input.demo ? `\n${DEMO_MARK}` : ''}`;
}
