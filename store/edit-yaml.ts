import { isDeepStrictEqual } from 'node:util';
import { Fault, type FaultPlace } from '@striderule/engine';
import { type Document, isAlias, isScalar, parseDocument, Scalar } from 'yaml';
import { readYaml } from './yaml-file.ts';

export type YamlPath = readonly (string | number)[];

/**
 * The text with the scalar at `path` replaced by `scalar`; every other byte stays: comments, order, quotes, blanks,
 * line ends. Quotes of the value are kept, and put where the new text needs them. Where the value is an alias only
 * this place is changed. Faults: `store.yaml` (the text is not sound YAML), `store.no-such-value`,
 * `store.not-a-scalar`, `store.edit-elsewhere` (the value is anchored and stands in other places too).
 */
export function editYaml(text: string, path: YamlPath, scalar: string): string {
  const { file, faults } = readYaml('', text);
  if (file === null) throw new Fault(faults);
  const doc = parseDocument(text);
  const node = doc.getIn(path, true);
  const place = (): FaultPlace => ({ ...file.place(path), path: path.join('.') });
  if (node === undefined) {
    throw new Fault({
      code: 'store.no-such-value',
      what: 'there is no such value in this file',
      mend: 'Add the field to the file first',
      place: { path: path.join('.') },
    });
  }
  if (!(isScalar(node) || isAlias(node)) || !node.range) {
    throw new Fault({
      code: 'store.not-a-scalar',
      what: 'this is a map or a list, not one value',
      mend: 'Edit one of the values inside it',
      place: place(),
    });
  }
  const [from, to] = node.range;
  const style = isScalar(node) ? node.type : Scalar.PLAIN;
  const forms =
    style === Scalar.QUOTE_DOUBLE
      ? [JSON.stringify]
      : style === Scalar.QUOTE_SINGLE
        ? [single, JSON.stringify]
        : [plain, single, JSON.stringify];
  const gap = from === to && !/\s$/.test(text.slice(0, from)) ? ' ' : ''; // `key:` without a value
  const end = /\n$/.test(text.slice(from, to)) ? '\n' : ''; // a block scalar takes its line end along
  for (const form of forms) {
    const edited = text.slice(0, from) + gap + form(scalar) + end + text.slice(to);
    const after = parseDocument(edited);
    if (after.errors.length > 0 || !holds(after, path, scalar)) continue;
    if (sameElsewhere(doc, after, path)) return edited;
    if (isScalar(node) && node.anchor !== undefined) break;
  }
  throw new Fault({
    code: 'store.edit-elsewhere',
    what: 'this value cannot be changed without changing another, since it is anchored or of a form of its own',
    mend: 'Edit it by hand',
    place: place(),
  });
}

const plain = (scalar: string): string => scalar;
const single = (scalar: string): string => `'${scalar.replaceAll("'", "''")}'`;

/** Whether the value at the path reads as this text, as it is written (plain) or as a string (quoted). */
function holds(doc: Document, path: YamlPath, scalar: string): boolean {
  const node = doc.getIn(path, true);
  if (!isScalar(node)) return false;
  return node.type === Scalar.PLAIN ? node.source === scalar : node.value === scalar;
}

function sameElsewhere(before: Document, after: Document, path: YamlPath): boolean {
  return isDeepStrictEqual(without(before.toJS(), path), without(after.toJS(), path));
}

/** The value with what stands at the path replaced by null; maps and lists on the way are copied, not written. */
function without(value: unknown, [key, ...rest]: YamlPath): unknown {
  if (key === undefined) return null;
  if (Array.isArray(value)) return value.map((item, k) => (k === Number(key) ? without(item, rest) : item));
  return Object.fromEntries(
    Object.entries(value as object).map(([k, item]) => [k, k === String(key) ? without(item, rest) : item]),
  );
}
