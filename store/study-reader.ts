import { Fault, type FaultData } from '@striderule/engine';
import type { z } from 'zod';
import { listFiles, readText } from './read-files.ts';
import { checkShape, readYaml, type YamlFile } from './yaml-file.ts';

/** A YAML file that passed its schema, and where everything in it stands. */
export interface Shaped<T> {
  readonly value: T;
  readonly file: YamlFile;
}

/** Reads the files of one study folder, each once, and collects every fault on the way. */
export interface StudyReader {
  readonly folder: string;
  readonly faults: FaultData[];
  /** SHA-256 of each file read, by its name in the folder. */
  readonly files: Readonly<Record<string, string>>;
  readonly text: (name: string) => string | null;
  readonly list: (sub: string, ending: string) => string[];
  readonly shaped: <T>(name: string, schema: z.ZodType<T>) => Shaped<T> | null;
}

/** A reader of `folder`, with texts that stand `instead` of files by name. Nothing is read yet, and nothing is ever written. */
export function studyReader(folder: string, instead: Readonly<Record<string, string>> = {}): StudyReader {
  const faults: FaultData[] = [];
  const files: Record<string, string> = {};
  const texts = new Map<string, string | null>(Object.entries(instead));
  const shapes = new Map<string, Shaped<unknown> | null>();
  const lists = new Map<string, string[]>();
  const text = (name: string): string | null => {
    const known = texts.get(name);
    if (known !== undefined) return known;
    const read = readText(folder, name);
    faults.push(...read.faults);
    if (read.sha256 !== null) files[name] = read.sha256;
    texts.set(name, read.text);
    return read.text;
  };
  const list = (sub: string, ending: string): string[] => {
    const key = `${sub} ${ending}`;
    const known = lists.get(key);
    if (known !== undefined) return known;
    let found: string[] = [];
    try {
      found = listFiles(folder, sub, ending);
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      faults.push(...error.faults);
    }
    lists.set(key, found);
    return found;
  };
  const shaped = <T>(name: string, schema: z.ZodType<T>): Shaped<T> | null => {
    if (shapes.has(name)) return shapes.get(name) as Shaped<T> | null;
    const source = text(name);
    let made: Shaped<T> | null = null;
    if (source !== null) {
      const { file, faults: syntax } = readYaml(name, source);
      faults.push(...syntax);
      if (file !== null) {
        const checked = checkShape(file, schema);
        faults.push(...checked.faults);
        if (checked.value !== null) made = { value: checked.value, file };
      }
    }
    shapes.set(name, made);
    return made;
  };
  return { folder, faults, files, text, list, shaped };
}
