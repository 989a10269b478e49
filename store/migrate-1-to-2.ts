// Format 1, the first draft, against format 2:
//
//   study.yaml       format: 1                              format: 2
//   wearers/*.yaml   mass: 82 kg                            massWithoutDevice: 82 kg
//   legs/*.yaml      motor:                                 motor:
//                      torqueConstant: 22 mN*m/A              torqueConstant: { value: 22 mN*m/A, convention: perPhasePeak }
//                      convention: perPhasePeak
//
// Text to text, so that comments, order and blanks stay. What is of format 2 already is left as it is: a migration
// that was interrupted can be run again. A torque constant without `convention:` is a fault: nobody can guess it.

import type { FaultData, FaultPlace } from '@striderule/engine';
import { type Document, isMap, isScalar, type Pair, parseDocument, type Scalar, type YAMLMap } from 'yaml';
import { readYaml, type YamlFile } from './yaml-file.ts';

interface Splice {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

/** One file of format 1 as text of format 2, and what kept it from being one. */
export function from1to2(name: string, text: string): { text: string; faults: FaultData[] } {
  const { file, faults } = readYaml(name, text);
  if (file === null) return { text, faults };
  const doc = parseDocument(text);
  const splices: Splice[] = [];
  if (name === 'study.yaml') splices.push(...format(doc));
  else if (name.startsWith('wearers/')) splices.push(...bodyMass(doc));
  else if (name.startsWith('legs/')) {
    for (const joint of ['knee', 'ankle']) {
      const path = ['joints', joint, 'motor'];
      const motor = doc.getIn(path, true);
      if (isMap(motor)) splices.push(...torqueConstant(motor, text, file, path, faults));
    }
  }
  if (faults.length > 0) return { text, faults };
  splices.sort((a, b) => b.from - a.from); // from the end, so that places before stay right
  return { text: splices.reduce((t, s) => t.slice(0, s.from) + s.text + t.slice(s.to), text), faults };
}

function format(doc: Document): Splice[] {
  const node = doc.get('format', true);
  return isScalar(node) && node.value === 1 ? [replace(node, '2')] : [];
}

function bodyMass(doc: Document): Splice[] {
  if (!isMap(doc.contents) || doc.has('massWithoutDevice')) return [];
  const key = pairOf(doc.contents, 'mass')?.key;
  return key === undefined ? [] : [replace(key, 'massWithoutDevice')];
}

function torqueConstant(
  motor: YAMLMap,
  text: string,
  file: YamlFile,
  path: readonly string[],
  faults: FaultData[],
): Splice[] {
  const constant = pairOf(motor, 'torqueConstant');
  if (!isScalar(constant?.value) || !constant.value.range) return []; // not given, or of format 2
  const convention = pairOf(motor, 'convention');
  if (!isScalar(convention?.value) || !convention.value.range) {
    const place: FaultPlace = {
      ...file.place([...path, 'torqueConstant']),
      path: [...path, 'torqueConstant'].join('.'),
    };
    faults.push({
      code: 'store.untagged-torque-constant',
      what: 'this torque constant has no `convention:` beside it, so nobody can say which ampere it belongs to',
      mend: 'Write `convention:` below it: perPhasePeak, perPhaseRms or dcEquivalent',
      place,
    });
    return [];
  }
  const written = ({ range }: Scalar): string => text.slice(range![0], range![1]);
  const tagged = `{ value: ${written(constant.value)}, convention: ${written(convention.value)} }`;
  return [
    replace(constant.value, tagged),
    motor.flow ? withoutItem(convention, text) : withoutLine(convention, text),
  ];
}

/** Takes a field out of a map in braces, with one comma. */
function withoutItem(pair: Field, text: string): Splice {
  const [from, to] = [pair.key.range![0], (pair.value as Scalar).range![1]];
  const before = /,\s*$/.exec(text.slice(0, from));
  if (before !== null) return { from: from - before[0].length, to, text: '' };
  const after = /^\s*,\s*/.exec(text.slice(to));
  return { from, to: to + (after?.[0].length ?? 0), text: '' };
}

/** Takes out the line of a field; a comment behind it keeps its line. */
function withoutLine(pair: Field, text: string): Splice {
  const [key, value] = [pair.key.range![0], (pair.value as Scalar).range![1]];
  const lineEnd = text.indexOf('\n', value);
  const end = lineEnd === -1 ? text.length : lineEnd;
  const comment = text.slice(value, end).trimStart();
  if (comment.trim() !== '') return { from: key, to: end - comment.length, text: '' };
  return { from: text.lastIndexOf('\n', key) + 1, to: Math.min(end + 1, text.length), text: '' };
}

type Field = Pair<Scalar, unknown>;

function pairOf(map: YAMLMap, name: string): Field | undefined {
  return map.items.find(({ key }) => isScalar(key) && key.value === name) as Field | undefined;
}

function replace(node: Scalar, text: string): Splice {
  return { from: node.range![0], to: node.range![1], text };
}
