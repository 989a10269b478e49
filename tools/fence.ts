import { cruise, type ICruiseResult } from 'dependency-cruiser';
import { FENCE } from './fence-rules.ts';

/** The rooms under the fence. `tools/` stands outside: it starts and joins what the fence keeps apart. */
export const FENCED = [
  'engine',
  'reference',
  'store',
  'wire',
  'threads',
  'apps',
  'examples',
  'bench-perf',
] as const;

/** One import that breaks a rule. */
export interface Breach {
  readonly rule: string;
  readonly from: string;
  readonly to: string;
}

/** Every import below `root` that breaks a rule of FENCE, and how many files were read to find them. */
export async function breaches(
  root: string,
  rooms: readonly string[] = FENCED,
): Promise<{ readonly files: number; readonly breaches: readonly Breach[] }> {
  const { output } = await cruise([...rooms], {
    baseDir: root,
    validate: true,
    ruleSet: { forbidden: FENCE },
    tsPreCompilationDeps: true, // type-only imports too
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '(^|/)(dist|coverage|results)/' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'default'],
      extensions: ['.ts', '.tsx', '.js', '.mjs', '.css', '.json'],
    },
  });
  const { modules, summary } = output as ICruiseResult;
  return {
    files: modules.filter((module) => rooms.some((room) => module.source.startsWith(`${room}/`))).length,
    breaches: summary.violations.map(({ rule, from, to }) => ({ rule: rule.name, from, to })),
  };
}
