import { expect, test } from 'vitest';
import { legText, ratioText } from './ratio-text.ts';

type Asked = Parameters<typeof legText>[0];

const leg = (knee?: number, ankle?: number): Asked =>
  ({
    name: 'Tern',
    joints: {
      ...(knee !== undefined && { knee: { transmission: { ratio: knee } } }),
      ...(ankle !== undefined && { ankle: { transmission: { ratio: ankle } } }),
    },
  }) as Asked;

test('one ratio where both joints have it, both with their joints where they differ or one is missing', () => {
  expect(ratioText(leg(22, 22))).toBe('22 : 1');
  expect(ratioText(leg(22, 33.2))).toBe('knee 22 : 1, ankle 33.2 : 1');
  expect(ratioText(leg(undefined, 9))).toBe('ankle 9 : 1');
  expect(legText(leg(22, 33.2))).toBe('Tern, knee 22 : 1, ankle 33.2 : 1');
  expect(legText(leg())).toBe('Tern');
});
