import { readFileSync } from 'node:fs';
import { isDeepStrictEqual } from 'node:util';
import { type DrivenJoint, Fault } from '@striderule/engine';
import { isMap, isScalar, isSeq, type Pair, parseDocument, type Scalar } from 'yaml';
import type { FileEdit } from './edit-of-file.ts';
import { editYaml } from './edit-yaml.ts';
import { fingerprintOfBytes } from './fingerprint.ts';
import { resolveInside } from './inside.ts';
import { openStudy } from './open-study.ts';

/** What is asked anew of one requirement; what is left out stays as it is. */
export interface AskedEdit {
  /** The bound with its unit, as the file says it. */
  readonly bound?: string;
  readonly joint?: DrivenJoint;
  /** null: every task. */
  readonly task?: string | null;
  readonly because?: string;
}

const FILE = 'requirements.yaml';

/**
 * The study's requirements with some of them asking something else, every other byte as it was, and the whole study opened with
 * it. Faults: those of a study that cannot be opened before or after, such as a bound in another unit or a task that is not
 * there; `store.no-requirement`; those of `editYaml`.
 */
export async function editRequirements(
  folder: string,
  edits: { readonly [id: string]: AskedEdit },
): Promise<FileEdit> {
  await openStudy(folder);
  const bytes = readFileSync(resolveInside(folder, FILE));
  const before = bytes.toString('utf8');
  let after = before;
  for (const [id, edit] of Object.entries(edits)) after = edited(after, id, edit);
  await openStudy(folder, { instead: { [FILE]: after } });
  return { file: FILE, sha256: fingerprintOfBytes(bytes), before, after };
}

function edited(text: string, id: string, { bound, joint, task, because }: AskedEdit): string {
  const list: unknown = parseDocument(text).toJS();
  const items: readonly ({ readonly id?: unknown } | null)[] = Array.isArray(list) ? list : [];
  const at = items.findIndex((each) => each?.id === id);
  if (at < 0) {
    throw new Fault({
      code: 'store.no-requirement',
      what: `there is no requirement \`${id}\` any more`,
      mend: 'Look at the file: somebody renamed or deleted it',
      place: { file: FILE },
    });
  }
  let now = text;
  if (bound !== undefined) {
    const key = Object.hasOwn(items[at]!, 'atMost') ? 'atMost' : 'atLeast';
    now = scalar(now, [at, key], bound);
  }
  if (joint !== undefined) now = withKey(now, at, 'joint', joint);
  if (task === null) now = withoutKey(now, at, 'task');
  else if (task !== undefined) now = withKey(now, at, 'task', task);
  if (because !== undefined) now = scalar(now, [at, 'because'], because);
  return now;
}

function scalar(text: string, path: readonly (string | number)[], value: string): string {
  try {
    return editYaml(text, path, value);
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    throw new Fault(error.faults.map((fault) => ({ ...fault, place: { ...fault.place, file: FILE } })));
  }
}

type Found = { readonly pair: Pair<Scalar, Scalar>; readonly flow: boolean };

/** The pair of a key in one requirement; undefined where it has none. */
function pairOf(text: string, at: number, key: string): Found | undefined {
  const { contents } = parseDocument(text);
  const item = isSeq(contents) ? contents.items[at] : undefined;
  if (!isMap(item)) return undefined;
  const pair = item.items.find((each) => isScalar(each.key) && each.key.value === key);
  return pair === undefined ? undefined : { pair: pair as Found['pair'], flow: item.flow === true };
}

/** The key with this value; where it is not there yet, on a line of its own after the one that says the metric. */
function withKey(text: string, at: number, key: string, value: string): string {
  if (pairOf(text, at, key) !== undefined) return scalar(text, [at, key], value);
  const metric = pairOf(text, at, 'metric');
  const [start] = metric?.pair.key.range ?? [];
  const [, end] = metric?.pair.value?.range ?? [];
  if (metric === undefined || start === undefined || end === undefined) throw byHand(key);
  const made = metric.flow
    ? `${text.slice(0, end)}, ${key}: ${value}${text.slice(end)}`
    : withLine(text, start, end, `${key}: ${value}`);
  return checked(text, made, at, key, value);
}

/** A line more below the one that ends the value, indented as its key. */
function withLine(text: string, key: number, end: number, line: string): string {
  const lineStart = text.lastIndexOf('\n', key - 1) + 1;
  const indent = text.slice(lineStart, key).replace(/\S/g, ' ');
  const lineEnd = text.indexOf('\n', end);
  const cut = lineEnd < 0 ? text.length : lineEnd;
  const ending = text[cut - 1] === '\r' ? '\r\n' : '\n';
  const from = text[cut - 1] === '\r' ? cut - 1 : cut;
  return `${text.slice(0, from)}${ending}${indent}${line}${text.slice(from)}`;
}

/** The requirement without the key: its line goes, with a comment that stands behind it. */
function withoutKey(text: string, at: number, key: string): string {
  const found = pairOf(text, at, key);
  if (found === undefined) return text;
  const [start] = found.pair.key.range ?? [];
  const [, end] = found.pair.value?.range ?? [];
  if (start === undefined || end === undefined || found.flow) throw byHand(key);
  const lineStart = text.lastIndexOf('\n', start - 1) + 1;
  const lineEnd = text.indexOf('\n', end);
  // the first key stands behind the hyphen of its item
  if (text.slice(lineStart, start).trim() !== '' || lineEnd < 0) throw byHand(key);
  return checked(text, text.slice(0, lineStart) + text.slice(lineEnd + 1), at, key, undefined);
}

/** The text, if it says what was said before but for this one key. */
function checked(before: string, after: string, at: number, key: string, value: string | undefined): string {
  const was = parseDocument(before).toJS() as Record<string, unknown>[];
  const doc = parseDocument(after);
  const { [key]: _, ...rest } = was[at]!;
  const wanted = was.with(at, value === undefined ? rest : { ...rest, [key]: value });
  if (doc.errors.length > 0 || !isDeepStrictEqual(doc.toJS(), wanted)) throw byHand(key);
  return after;
}

const byHand = (key: string): Fault =>
  new Fault({
    code: 'store.edit-elsewhere',
    what: `\`${key}:\` cannot be changed here without changing something else, as this file is written`,
    mend: 'Edit it by hand',
    place: { file: FILE },
  });
