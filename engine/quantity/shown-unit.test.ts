import { expect, test } from 'vitest';
import { parseQuantity, parseWidth } from './parse-quantity.ts';
import { shownUnit } from './shown-unit.ts';

test('what is shown reads back as what it was', () => {
  const back = (unit: string, kind: 'angle' | 'angular velocity' | 'temperature', written: string) => {
    const { of } = shownUnit(unit);
    const parsed = parseQuantity(`${of(0.731)} ${written}`, kind);
    expect('si' in parsed && parsed.si).toBeCloseTo(0.731, 12);
  };
  back('rad', 'angle', 'deg');
  back('rad/s', 'angular velocity', 'deg/s');
  back('K', 'temperature', 'degC');
});

test('a difference of temperature has no zero in it', () => {
  const width = parseWidth('47.5 K', 'temperature');
  expect('si' in width && shownUnit('K').difference(width.si)).toBe(47.5);
  expect(shownUnit('K').of(Number.POSITIVE_INFINITY)).toBe(Number.POSITIVE_INFINITY);
});

test('any other unit is shown as it is, whatever it is called', () => {
  for (const unit of ['N·m', 'constructor']) {
    expect(shownUnit(unit).unit).toBe(unit);
    expect(shownUnit(unit).of(3)).toBe(3);
  }
});
