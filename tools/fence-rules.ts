import type { IForbiddenRuleType } from 'dependency-cruiser';

/** The engine's rooms, in the order in which they may be used: a room imports itself and rooms before it. */
export const ENGINE_ROOMS = [
  'quantity',
  'numeric',
  'gait',
  'drive',
  'control',
  'walk',
  'evidence',
  'study',
] as const;

/** Workspaces that may be imported only through their index, so that the inside stays free to change. */
const WORKSPACES = 'engine|store|wire|threads|reference|examples|apps/[^/]+';

/** Tests read reference data and anything else they need to judge; they are no part of what ships. */
const TESTS = String.raw`\.test\.tsx?$|^apps/web/(e2e/|vite\.config\.ts)|(^|/)test-[^/]*\.ts$`;

function upward(room: string, later: readonly string[]): IForbiddenRuleType {
  return {
    name: `engine-${room}-imports-no-later-room`,
    comment: `engine/${room} may use only itself and rooms before it`,
    severity: 'error',
    from: { path: `^engine/${room}/`, pathNot: TESTS },
    to: { path: `^engine/(${later.join('|')})/` },
  };
}

/** The one-way rules of docs/architecture.md, type-only imports included. */
export const FENCE: IForbiddenRuleType[] = [
  ...ENGINE_ROOMS.slice(0, -1).map((room, k) => upward(room, ENGINE_ROOMS.slice(k + 1))),
  {
    name: 'engine-imports-nothing-outside',
    comment: 'the engine is pure: no node module, no package (numeric/ aside), no other workspace',
    severity: 'error',
    from: { path: '^engine/', pathNot: `^engine/numeric/|${TESTS}` },
    to: { pathNot: '^engine/' },
  },
  {
    name: 'engine-numeric-imports-packages-only',
    comment: 'numeric/ may use packages of note, but no node module and no workspace of ours',
    severity: 'error',
    from: { path: '^engine/numeric/', pathNot: TESTS },
    to: { path: '^(apps|store|wire|threads|reference|examples|tools|bench-perf)/' },
  },
  {
    name: 'engine-numeric-is-pure',
    comment: 'numeric/ may use packages of note, but no node module and no workspace of ours',
    severity: 'error',
    from: { path: '^engine/numeric/', pathNot: TESTS },
    to: { dependencyTypes: ['core'] },
  },
  {
    name: 'engine-index-is-for-apps',
    comment: 'nothing inside the engine imports its index',
    severity: 'error',
    from: { path: '^engine/.+/', pathNot: TESTS },
    to: { path: String.raw`^engine/index\.ts$` },
  },
  {
    name: 'apps-never-import-one-another',
    comment: 'what two faces need is an engine function',
    severity: 'error',
    from: { path: '^apps/([^/]+)/', pathNot: TESTS },
    to: { path: '^apps/', pathNot: '^apps/$1/' },
  },
  {
    name: 'apps-import-engine-store-wire-only',
    comment: 'reference data reach an app as values, through store/; the command has itself compiled',
    severity: 'error',
    from: { path: '^apps/', pathNot: TESTS },
    to: { path: '^(reference|examples|tools|bench-perf)/', pathNot: '^tools/compile\\.mjs$' },
  },
  {
    name: 'web-not-store',
    comment: 'the page runs in a browser: it has no disk and no threads of this machine',
    severity: 'error',
    from: { path: '^apps/web/', pathNot: TESTS },
    to: { path: '^(store|threads)/' },
  },
  {
    name: 'web-not-node',
    comment: 'the page runs in a browser: it has no node modules',
    severity: 'error',
    from: { path: '^apps/web/', pathNot: TESTS },
    to: { dependencyTypes: ['core'] },
  },
  {
    name: 'store-imports-engine-and-reference-only',
    comment: 'store/ stands below the apps',
    severity: 'error',
    from: { path: '^store/', pathNot: TESTS },
    to: { path: '^(apps|wire|threads|examples|tools|bench-perf)/' },
  },
  {
    name: 'threads-import-engine-only',
    comment: 'threads/ divides what the engine works out; each of its threads has the engine compiled',
    severity: 'error',
    from: { path: '^threads/', pathNot: TESTS },
    to: { path: '^(apps|store|wire|reference|examples|tools|bench-perf)/', pathNot: '^tools/compile\\.mjs$' },
  },
  {
    name: 'wire-has-shapes-only',
    comment: 'wire/ imports engine types and nothing else',
    severity: 'error',
    from: { path: '^wire/', pathNot: TESTS },
    to: { pathNot: '^(wire|engine)/' },
  },
  {
    name: 'reference-is-read-by-few',
    comment: 'published tables are read by store/, tests, examples and speed measurements',
    severity: 'error',
    from: { pathNot: `^(reference|store|examples|bench-perf)/|${TESTS}` },
    to: { path: '^reference/' },
  },
  {
    name: 'reference-imports-engine-only',
    comment: 'reference/ holds data and the flip of signs',
    severity: 'error',
    from: { path: '^reference/', pathNot: TESTS },
    to: { path: '^(apps|store|wire|threads|examples|tools|bench-perf)/' },
  },
  {
    name: 'through-the-index',
    comment: 'a workspace is imported by its name, not by a file inside it',
    severity: 'error',
    from: { path: `^(${WORKSPACES})/`, pathNot: TESTS },
    to: {
      path: String.raw`^(?:engine|store|wire|threads|reference|apps/[^/]+)/(?!index\.ts$|package\.json$)`,
      pathNot: '^$1/',
    },
  },
  {
    name: 'no-circle',
    comment: 'two files that import each other are one idea, or three',
    severity: 'error',
    from: { pathNot: TESTS },
    to: { circular: true },
  },
  {
    name: 'resolves',
    comment: 'an import that leads nowhere',
    severity: 'error',
    from: { pathNot: TESTS },
    to: { couldNotResolve: true },
  },
];
