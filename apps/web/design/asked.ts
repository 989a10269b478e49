import { catalogueEntry, parseQuantity, type Requirement, shownUnit } from '@striderule/engine';
import type { Asked } from './history.ts';

/** The unit people read for a metric as it can be typed: `N·m` as `N*m`, `°/s` as `deg/s`; nothing for a pure number. */
export const typedUnit = (metric: string): string =>
  shownUnit(catalogueEntry(metric)!.unit)
    .unit.replace('×', '')
    .replaceAll('·', '*')
    .replace('°C', 'degC')
    .replace('°', 'deg')
    .replace('²', '^2');

/** What a requirement asks, its bound in the unit people read. */
export function askedOf({ metric, joint, task, bound, because }: Requirement): Asked {
  const { of } = shownUnit(catalogueEntry(metric)!.unit);
  // a dozen figures: all that was written, without what the way to SI and back leaves behind them
  const text = `${Number(of(bound.value).toPrecision(12))} ${typedUnit(metric)}`.trim();
  return {
    text,
    value: bound.value,
    ...(joint !== undefined && { joint }),
    ...(task !== undefined && { task }),
    because,
  };
}

export function withAsked(requirement: Requirement, { value, joint, task, because }: Asked): Requirement {
  const { joint: _, task: __, ...rest } = requirement;
  return {
    ...rest,
    ...(joint !== undefined && { joint }),
    ...(task !== undefined && { task }),
    bound: { kind: requirement.bound.kind, value },
    because,
  };
}

/** Reads a bound as it is typed; a bare number is in the unit people read. What is wrong with it otherwise, in words. */
export function readBound(
  typed: string,
  metric: string,
): { readonly text: string; readonly value: number } | { readonly wrong: string } {
  const bare = /^[+\-\u2212]?[\d.]+(?:[eE][+-]?\d+)?$/.test(typed.trim());
  const text = `${typed.trim().replace('\u2212', '-')} ${bare ? typedUnit(metric) : ''}`.trim();
  const parsed = parseQuantity(text, catalogueEntry(metric)!.kind);
  return 'si' in parsed ? { text, value: parsed.si } : { wrong: `${parsed.what}. ${parsed.mend}` };
}
