/** The place a fault points to, as far as it is known. Lines and columns count from 1. */
export interface FaultPlace {
  readonly file?: string;
  readonly line?: number;
  readonly column?: number;
  /** Where inside the data, such as `joints.knee.motor.torqueConstant`. */
  readonly path?: string;
  /** The source line itself; a caret is drawn under `column`. */
  readonly excerpt?: string;
}

/** A fault as data: what is wrong, where, and how to mend it. The faces word it for their own controls. */
export interface FaultData {
  /** Stable name, `<stage>.<cause>`, such as `gait.empty-stride`. */
  readonly code: string;
  readonly what: string;
  readonly mend: string;
  readonly place?: FaultPlace;
}

/** What a fault says, as a sentence: a full stop unless it ends with a mark of its own. */
export const faultSentence = (text: string): string => (/[.?!]$/.test(text) ? text : `${text}.`);

/** One fault as text: `file:line:col path: what. mend.`, then the source line and a caret where both are known. */
export function faultText(fault: FaultData): string {
  const { place = {} } = fault;
  const spot = [place.file, place.line, place.column].filter((part) => part !== undefined).join(':');
  const head = [spot, place.path].filter((part) => part !== undefined && part !== '').join(' ');
  const text = `${head === '' ? '' : `${head}: `}${faultSentence(fault.what)} ${faultSentence(fault.mend)}`;
  if (place.excerpt === undefined) return text;
  const caret = place.column === undefined ? '' : `\n  ${' '.repeat(place.column - 1)}^`;
  return `${text}\n  ${place.excerpt}${caret}`;
}

/** Thrown where work cannot go on. Readers of files collect every fault before they throw. */
export class Fault extends Error {
  readonly faults: readonly FaultData[];

  constructor(fault: FaultData | readonly FaultData[]) {
    const faults = Array.isArray(fault) ? (fault as readonly FaultData[]) : [fault as FaultData];
    super(faults.map(faultText).join('\n'));
    this.name = 'Fault';
    this.faults = faults;
  }
}
