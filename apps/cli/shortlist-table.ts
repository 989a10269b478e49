import {
  type CandidateWalk,
  leastMargin,
  type RankedBy,
  type ShortlistJoint,
  type ShortlistRow,
  worstEnd,
} from '@striderule/engine';
import { CAUTION } from './caution.ts';
import { fixed, GAP, significant } from './number-text.ts';
import { list, paragraph } from './paragraph.ts';
import { table } from './table.ts';

/** Rows of the printed table; all are in --json. */
const SHOWN = 40;

const joint = ({ motor, ratio }: ShortlistJoint): string => `${motor} ${significant(ratio, 3)}:1`;

/** One line: the first of the rank, and where the leg as it stands comes in. */
export function shortlistVerdict(rows: readonly ShortlistRow[], by: RankedBy): string {
  const walked = rows.filter(({ walk }) => Number.isFinite(worstEnd(walk, 'hip')));
  const [first] = walked;
  if (first === undefined) return 'No candidate was walked to its end.';
  const own = walked.findIndex(({ candidate }) => candidate.own);
  const place = own < 0 ? 'the leg as it stands was not' : `the leg as it stands is ${own + 1}.`;
  const { candidate, walk } = first;
  return paragraph(
    `${walked.length} of ${rows.length} walked; first by ${by}: knee ${joint(candidate.knee)}, ankle ${joint(candidate.ankle)}, ${fixed(worstEnd(walk, 'hip'), 1)} J a stride at the hip; ${place}${own < 0 ? '.' : ''}`,
  );
}

/** The ranked table, what was not walked and why, notes, cautions. */
export function shortlistText(
  rows: readonly ShortlistRow[],
  by: RankedBy,
  { choice, length }: { readonly choice: { speed: number }; readonly length: { strides: number } },
): string {
  const lost = rows.flatMap(({ candidate, walk }) => {
    const why = reason(walk);
    return why === undefined
      ? []
      : [`Not walked: knee ${joint(candidate.knee)}, ankle ${joint(candidate.ankle)}: ${why}.`];
  });
  const audit = Math.max(
    0,
    ...rows.flatMap(({ walk }) =>
      [walk.prescribed, walk.led].flatMap((end) => ('openBecause' in end ? [] : [end.audit])),
    ),
  );
  return [
    [
      `At ${fixed(choice.speed, 2)} m/s, at unchanged thigh motion, by ${by}; length of the stride: not predicted`,
      table(
        [
          { head: '' },
          { head: 'leg', align: 'left' },
          { head: 'knee', align: 'left' },
          { head: 'ankle', align: 'left' },
          { head: 'hip gives', unit: 'J, prescribed' },
          { head: '', unit: 'led' },
          { head: 'pull-off', unit: 'W, prescribed' },
          { head: '', unit: 'led' },
          { head: 'copper', unit: 'W' },
          { head: 'cells', unit: 'J a stride' },
          { head: 'least margin', unit: 'limit ÷ need' },
          { head: 'where', align: 'left' },
        ],
        rows.slice(0, SHOWN).map(({ candidate, walk }, k) => {
          const { knee, ankle, leg, own } = candidate;
          const tight = knee.margin <= ankle.margin ? { name: 'knee', ...knee } : { name: 'ankle', ...ankle };
          const of = (
            thigh: 'prescribed' | 'led',
            what: 'hip' | 'pullOff' | 'copper' | 'cells',
            digits: number,
          ) => {
            const end = walk[thigh];
            return 'openBecause' in end ? GAP : fixed(end[what], digits);
          };
          return [
            String(k + 1),
            own ? `${leg}, as it stands` : leg,
            joint(knee),
            joint(ankle),
            of('prescribed', 'hip', 1),
            of('led', 'hip', 1),
            of('prescribed', 'pullOff', 0),
            of('led', 'pullOff', 0),
            Number.isFinite(worstEnd(walk, 'copper')) ? fixed(worstEnd(walk, 'copper'), 1) : GAP,
            of('prescribed', 'cells', 1),
            fixed(leastMargin(candidate), 2),
            `${tight.name}, ${tight.limit}, ${tight.at}`,
          ];
        }),
      ),
      ...(rows.length > SHOWN ? [`${rows.length - SHOWN} more in --json.`] : []),
    ].join('\n'),
    ...(lost.length > 0 ? [list(lost.slice(0, SHOWN))] : []),
    list([
      `Each walk ${length.strides} strides, the last half counted; the energy missed at most ${fixed(100 * audit, 2)} % of the work moved.`,
      'Ranked by the worse end of the bracket. Copper of both motors, the larger of both ends; margins are those of the ratio scan over all tasks.',
      'Gears are the leg file’s at every ratio, and segments weigh the same whatever the motor weighs; software is fitted to each leg in the same way. A design that is chosen is walked again with its own leg file.',
    ]),
    CAUTION,
  ].join('\n\n');
}

/** Why a walk is not whole, in words; undefined where it is. */
function reason({ prescribed, led }: CandidateWalk): string | undefined {
  const told = Object.entries({ prescribed, led }).flatMap(([thigh, end]) =>
    'openBecause' in end ? [`thigh ${thigh}, ${end.openBecause}`] : [],
  );
  return told.length === 0 ? undefined : told.join('; ');
}
