import { expect, test } from 'vitest';
import { leastSquares } from './least-squares.ts';

test('a straight line through scattered points: the textbook slope and intercept', () => {
  const [x, y] = [
    [1, 2, 4, 7],
    [3, 2, 6, 9],
  ];
  const [meanX, meanY] = [3.5, 5];
  const slope =
    x.reduce((sum, v, k) => sum + (v - meanX) * (y[k]! - meanY), 0) /
    x.reduce((sum, v) => sum + (v - meanX) ** 2, 0);
  const [a, b] = leastSquares(
    x.map((v) => [1, v]),
    y,
  );
  expect(b).toBeCloseTo(slope, 12);
  expect(a).toBeCloseTo(meanY - slope * meanX, 12);
});

test('what is left stands square on every column', () => {
  const rows = Array.from({ length: 9 }, (_, k) => [1, Math.sin(k), k * k]);
  const right = Array.from({ length: 9 }, (_, k) => Math.cos(3 * k) + k);
  const x = leastSquares(rows, right);
  for (let c = 0; c < 3; c++) {
    const dot = rows.reduce(
      (sum, row, k) => sum + row[c]! * (right[k]! - row.reduce((s, v, i) => s + v * x[i]!, 0)),
      0,
    );
    expect(Math.abs(dot)).toBeLessThan(1e-9);
  }
});

test('what cannot be determined is refused', () => {
  expect(() => leastSquares([[1, 2]], [1])).toThrow('1 rows cannot determine 2 unknowns');
  expect(() =>
    leastSquares(
      [
        [1, 2],
        [2, 4],
        [3, 6],
      ],
      [1, 2, 3],
    ),
  ).toThrow('the columns are not independent');
});
