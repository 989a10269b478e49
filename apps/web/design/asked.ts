import { type Requirement, shownUnit } from '@striderule/engine';
import type { Asked } from './history.ts';

/** The unit people read for an SI unit as it can be typed: `N·m` as `N*m`, `°/s` as `deg/s`; nothing for a pure number. */
export const typedUnit = (unit: string): string =>
  shownUnit(unit)
    .unit.replace('×', '')
    .replaceAll('·', '*')
    .replace('°C', 'degC')
    .replace('°', 'deg')
    .replace('²', '^2');

/** What a requirement asks, its bound in the unit people read; `unit`: that of its metric, SI. */
export function askedOf({ joint, task, bound, because }: Requirement, unit: string): Asked {
  const { of } = shownUnit(unit);
  // a dozen figures: all that was written, without what the way to SI and back leaves behind them
  const text = `${Number(of(bound.value).toPrecision(12))} ${typedUnit(unit)}`.trim();
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
