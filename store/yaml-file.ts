import { type FaultData, type FaultPlace, nearestName } from '@striderule/engine';
import {
  isAlias,
  isMap,
  isScalar,
  LineCounter,
  type Node,
  type ParsedNode,
  parseDocument,
  visit,
} from 'yaml';
import type { z } from 'zod';

/** One YAML file as read: its text, the plain value, and where every path stands. */
export interface YamlFile {
  readonly name: string;
  readonly text: string;
  readonly value: unknown;
  readonly place: (path: readonly PropertyKey[], what?: 'key' | 'value') => FaultPlace;
}

/** Aliases a hand-written file may expand to; more is a file made to exhaust memory. */
const MAX_ALIASES = 100;
const RESERVED = new Set(['__proto__', 'constructor', 'prototype']);

const YAML_MENDS: Readonly<Record<string, string>> = {
  DUPLICATE_KEY: 'Keep one of the two and delete the other',
  TAB_AS_INDENT: 'Indent with spaces',
  BAD_INDENT: 'Indent with spaces, two for each level',
  UNEXPECTED_TOKEN:
    'Check how far this line and the one above are indented, and quote a text that holds `: ` or ` #`',
  BLOCK_AS_IMPLICIT_KEY:
    'Check how far this line and the one above are indented, and quote a text that holds `: ` or ` #`',
};

const YAML_WORDS: Readonly<Record<string, string>> = {
  DUPLICATE_KEY: 'this key stands twice in one map',
  TAB_AS_INDENT: 'a tab is used for indentation',
};

/** Parses YAML and collects every fault of syntax, with line, column and the line itself. */
export function readYaml(name: string, text: string): { file: YamlFile | null; faults: FaultData[] } {
  const lines = text.split(/\r?\n/);
  const counter = new LineCounter();
  const doc = parseDocument(text, { lineCounter: counter, prettyErrors: false, logLevel: 'error' });
  const spot = (offset: number): FaultPlace => {
    const { line, col } = counter.linePos(offset);
    return { file: name, line, column: col, excerpt: lines[line - 1] ?? '' };
  };
  // What follows a broken line is its echo: one fault for it, and for doubled keys one each.
  const broken =
    doc.errors.find((e) => e.code === 'TAB_AS_INDENT') ?? doc.errors.find((e) => e.code !== 'DUPLICATE_KEY');
  const faults: FaultData[] = (broken === undefined ? doc.errors : [broken]).map((error) => ({
    code: 'store.yaml',
    what:
      YAML_WORDS[error.code] ?? `not valid YAML: ${error.message.replace(/\s+/g, ' ').replace(/\.$/, '')}`,
    mend: YAML_MENDS[error.code] ?? 'Correct the syntax here',
    place: spot(error.pos[0]),
  }));
  visit(doc, {
    Pair(_, pair) {
      const key = pair.key as ParsedNode | null;
      if (isScalar(key) && RESERVED.has(String(key.value))) {
        faults.push({
          code: 'store.reserved-key',
          what: `\`${String(key.value)}\` cannot be the name of a field`,
          mend: 'Delete this line',
          place: spot(key.range?.[0] ?? 0),
        });
      }
    },
  });
  if (faults.length > 0) return { file: null, faults };
  let value: unknown;
  try {
    value = doc.toJS({ maxAliasCount: MAX_ALIASES });
  } catch {
    let at = 0;
    visit(doc, {
      Alias(_, node) {
        at = node.range?.[0] ?? 0;
      },
    });
    const fault = {
      code: 'store.alias-bomb',
      what: `aliases in this file expand more than ${MAX_ALIASES} times`,
      mend: 'Write the values out where they are used',
      place: spot(at),
    };
    return { file: null, faults: [fault] };
  }
  const place = (path: readonly PropertyKey[], what: 'key' | 'value' = 'value'): FaultPlace => {
    // the deepest part of the path that is in the file
    for (let depth = path.length; depth >= 0; depth--) {
      const parent = doc.getIn(path.slice(0, depth - 1), true) as Node | undefined;
      const last = path[depth - 1];
      let node = (depth === 0 ? doc.contents : doc.getIn(path.slice(0, depth), true)) as
        | Node
        | null
        | undefined;
      if (isAlias(node)) node = node.resolve(doc) ?? node;
      if ((what === 'key' || depth < path.length || node?.range == null) && isMap(parent)) {
        const pair = parent.items.find((p) => isScalar(p.key) && String(p.key.value) === String(last));
        if (pair !== undefined && isScalar(pair.key) && pair.key.range)
          return { ...spot(pair.key.range[0]), path: path.map(String).join('.') };
      }
      if (node?.range && (what === 'value' || depth === 0))
        return { ...spot(node.range[0]), path: path.map(String).join('.') };
    }
    return { file: name, path: path.map(String).join('.') };
  };
  return { file: { name, text, value, place }, faults };
}

/** The keys an object schema knows at `path`, through optionals, unions and transforms. */
function keysAt(schema: unknown, path: readonly PropertyKey[]): string[] {
  const def = (schema as { _zod?: { def: Record<string, unknown> } } | undefined)?._zod?.def;
  if (def === undefined) return [];
  if (def.type === 'optional' || def.type === 'default' || def.type === 'nullable')
    return keysAt(def.innerType, path);
  if (def.type === 'pipe') return keysAt(def.in, path);
  if (def.type === 'union') return [...new Set((def.options as unknown[]).flatMap((o) => keysAt(o, path)))];
  if (def.type === 'array') return keysAt(def.element, path.slice(1));
  if (def.type === 'record') return keysAt(def.valueType, path.slice(1));
  if (def.type !== 'object') return [];
  const shape = def.shape as Record<string, unknown>;
  const [next, ...rest] = path;
  return next === undefined ? Object.keys(shape) : keysAt(shape[String(next)], rest);
}

const TYPE_WORDS: Readonly<Record<string, string>> = {
  object: 'a map of fields',
  array: 'a list',
  string: 'a word or text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
};

const MISSING = 'store.missing-field';

type Issue = z.core.$ZodIssue;

function issueFaults(
  issue: Issue,
  file: YamlFile,
  schema: z.ZodType,
  above: readonly PropertyKey[] = [],
): FaultData[] {
  const path = [...above, ...issue.path];
  const field = String(path[path.length - 1] ?? 'file');
  const one = (what: string, mend: string, place = file.place(path)): FaultData[] => [
    { code: `store.${issue.code}`, what, mend, place },
  ];
  const there = path.reduce<unknown>(
    (at, key) =>
      typeof at === 'object' && at !== null ? (at as Record<PropertyKey, unknown>)[key] : undefined,
    file.value,
  );
  if (issue.code === 'unrecognized_keys') {
    const known = keysAt(schema, path);
    return issue.keys.flatMap((key) => {
      const near = nearestName(key, known);
      const mend =
        near === undefined ? `Delete it, or use one of: ${known.join(', ')}` : `Did you mean \`${near}\`?`;
      return [
        {
          code: 'store.unknown-field',
          what: `\`${key}\` is not a field here`,
          mend,
          place: file.place([...path, key], 'key'),
        },
      ];
    });
  }
  if (there === undefined && issue.code !== 'custom') {
    return one(`\`${field}\` is missing`, `Add \`${field}:\` here`).map((fault) => ({
      ...fault,
      code: MISSING,
    }));
  }
  if (there === null && issue.code !== 'custom')
    return one(`\`${field}\` is empty`, 'Give it a value, or delete the line where it is not known');
  if (issue.code === 'invalid_type')
    return one(`\`${field}\` should be ${TYPE_WORDS[issue.expected] ?? issue.expected}`, 'Correct the value');
  if (issue.code === 'invalid_value') {
    const options = issue.values.map(String);
    if (typeof there === 'object')
      return one(`\`${field}\` should be one of: ${options.join(', ')}`, 'Use one of them');
    const near = nearestName(String(there), options);
    return one(
      `\`${String(there)}\` is not one of: ${options.join(', ')}`,
      near === undefined ? 'Use one of them' : `Did you mean \`${near}\`?`,
    );
  }
  if (issue.code === 'invalid_union') {
    // A map was written: report what is wrong inside it. Otherwise the value is of no form that fits.
    const inside =
      issue.errors.find((e) => e.some((i) => i.code === 'custom')) ??
      (typeof there === 'object' && there !== null
        ? issue.errors.find((e) => e.some((i) => i.path.length > 0 || i.code === 'unrecognized_keys'))
        : undefined);
    if (inside !== undefined) return inside.flatMap((i) => issueFaults(i, file, schema, path));
    return one(
      `\`${field}\` has no form that fits here`,
      'Write a quantity such as `0.05 N*m`, or `{ value, range, basis, because }`',
    );
  }
  if (issue.code === 'too_small') {
    return Array.isArray(there)
      ? one(`\`${field}\` has too few entries`, `Give at least ${issue.minimum}`)
      : typeof there === 'string'
        ? one(`\`${field}\` is empty`, 'Write something here')
        : one(
            `\`${String(there)}\` is too small for \`${field}\``,
            `Give ${issue.inclusive ? 'at least' : 'more than'} ${issue.minimum}`,
          );
  }
  if (issue.code === 'too_big')
    return one(`\`${String(there)}\` is too large for \`${field}\``, `Give at most ${issue.maximum}`);
  if (issue.code === 'invalid_format')
    return one(`\`${String(there)}\` does not have the form of \`${field}\``, 'Correct the value');
  const mend = (issue as { params?: { mend?: string } }).params?.mend;
  return one(issue.message, mend ?? 'Correct the value');
}

/** Checks a read file against its schema; every fault has its place. */
export function checkShape<T>(
  file: YamlFile,
  schema: z.ZodType<T>,
): { value: T | null; faults: FaultData[] } {
  const result = schema.safeParse(file.value);
  if (result.success) return { value: result.data, faults: [] };
  const { issues } = result.error;
  const faults = issues.flatMap((issue) => issueFaults(issue, file, schema as z.ZodType));
  // One slip, one fault: a misspelt field is not missed as well under the name that was meant.
  const meant = issues.flatMap((issue) =>
    issue.code === 'unrecognized_keys'
      ? issue.keys.map((key) =>
          [...issue.path, nearestName(key, keysAt(schema, issue.path)) ?? ''].map(String).join('.'),
        )
      : [],
  );
  // A value of the wrong type is not also too short.
  const wrongType = new Set(faults.filter((f) => f.code === 'store.invalid_type').map((f) => f.place?.path));
  return {
    value: null,
    faults: faults
      .filter((f) => f.code !== 'store.too_small' || !wrongType.has(f.place?.path))
      .filter((f) => f.code !== MISSING || !meant.includes(f.place?.path ?? '')),
  };
}
