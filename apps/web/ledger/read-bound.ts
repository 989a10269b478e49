import { type CatalogueEntry, parseQuantity } from '@striderule/engine';
import { typedUnit } from '../design/asked.ts';

/** Reads a bound as it is typed; a bare number is in the unit people read. What is wrong with it otherwise, in words. */
export function readBound(
  typed: string,
  { unit, kind }: Pick<CatalogueEntry, 'unit' | 'kind'>,
): { readonly text: string; readonly value: number } | { readonly wrong: string } {
  const bare = /^[+\-\u2212]?[\d.]+(?:[eE][+-]?\d+)?$/.test(typed.trim());
  const text = `${typed.trim().replace('\u2212', '-')} ${bare ? typedUnit(unit) : ''}`.trim();
  const parsed = parseQuantity(text, kind);
  return 'si' in parsed ? { text, value: parsed.si } : { wrong: `${parsed.what}. ${parsed.mend}` };
}
