import type { FaultData } from '@striderule/engine';
import type { z } from 'zod';
import type { hazardsSchema } from './study-schemas.ts';
import type { YamlFile } from './yaml-file.ts';

/** What shows that a hazard's measure works. */
export interface Evidence {
  readonly kind: 'requirement' | 'fault' | 'scenario';
  readonly name: string;
}

const KINDS = ['requirement', 'fault', 'scenario'] as const;

/**
 * What `shownBy` names: parts with `; ` between them, each `requirement`, `fault` or `scenario` and then names with `, ` between them. Any other
 * part is in words, for people.
 */
export function evidenceOf(shownBy: string): readonly Evidence[] {
  return shownBy.split('; ').flatMap((part) => {
    const kind = KINDS.find((word) => part.startsWith(`${word} `));
    if (kind === undefined) return [];
    return part
      .slice(kind.length + 1)
      .split(', ')
      .map((name) => ({ kind, name }));
  });
}

/** Names in `shownBy` that stand for nothing in the study. */
export function evidenceFaults(
  hazards: z.output<typeof hazardsSchema>,
  file: YamlFile,
  known: { readonly [kind in Evidence['kind']]: readonly string[] },
): readonly FaultData[] {
  return hazards.flatMap(({ id, shownBy }, i) =>
    evidenceOf(shownBy)
      .filter(({ kind, name }) => !known[kind].includes(name))
      .map(({ kind, name }) => ({
        code: 'store.hazard-evidence',
        what: `the hazard \`${id}\` is shown by the ${kind} \`${name}\`, and there is none of that name`,
        mend:
          known[kind].length === 0
            ? `The study has no ${kind} yet: write \`open\``
            : `Name one of: ${known[kind].join(', ')}; or write \`open\``,
        place: file.place([i, 'shownBy']),
      })),
  );
}
