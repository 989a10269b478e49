import type { RandomStream } from '../numeric/random.ts';
import { Fault } from '../quantity/fault.ts';
import { PEOPLE, type UncertainInput } from './uncertain-inputs.ts';

/** Numbers of a leg that may be negative or zero. */
const SIGNED = /equilibrium$|Coefficient$|centre\.[xz]$/;

/** Which values an input can have at all. */
interface Possible {
  readonly least: number;
  /** Whether `least` itself can be. */
  readonly leastToo: boolean;
  readonly most: number;
}

/** A loss is not negative, an efficiency not above 1, a mass not zero. */
function possible({ path, nominal }: UncertainInput): Possible {
  const signed = path.startsWith(PEOPLE) || SIGNED.test(path);
  return {
    least: signed ? Number.NEGATIVE_INFINITY : 0,
    leastToo: signed || nominal === 0,
    most: /Efficiency$|voltageMargin$/.test(path) ? 1 : Number.POSITIVE_INFINITY,
  };
}

/** Draws values of one input that can be; `refused` counts the others that it met on the way. */
export interface InputDraw {
  readonly draw: (stream: RandomStream) => number;
  readonly refused: () => number;
}

/** Of so many draws one must be possible, or the spread says nothing. */
const MOST_TRIES = 100;

/**
 * Values of an input, one a call. A draw that cannot be is counted and drawn again, so the tail is cut off, not piled up at the edge.
 * Fault: hardly any value within the spread can be.
 */
export function inputDraw(input: UncertainInput): InputDraw {
  const { nominal, deviation, range } = input;
  const { least, leastToo, most } = possible(input);
  let refused = 0;
  return {
    refused: () => refused,
    draw(stream) {
      for (let k = 0; k < MOST_TRIES; k++) {
        const value =
          range === undefined
            ? nominal + deviation * stream.normal()
            : nominal + range * (2 * stream.uniform() - 1);
        if (value <= most && (value > least || (leastToo && value === least))) return value;
        refused++;
      }
      throw new Fault({
        code: 'study.impossible-spread',
        what: `Hardly any value within the spread of \`${input.path}\` can be: ${nominal} ± ${deviation}`,
        mend: 'Give the spread in the unit of the value, or as a share of it',
        place: { path: input.path },
      });
    },
  };
}
