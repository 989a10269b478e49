import { referenceStrides } from '@striderule/reference';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Fault } from '../quantity/fault.ts';
import { curveAt, sampleCurve } from './curve.ts';
import type { ChannelName, Recipe } from './recipe.ts';
import type { StrideCurve } from './stride.ts';
import { strideFromRecording } from './stride-from-recording.ts';
import { curveOf, plainRecipe, rowsOf } from './test-recording.ts';

const natural = referenceStrides()['walk-natural'];
const name = { id: 'own', title: 'Own' };
const OPEN: Partial<Recipe> = { largestGap: 1 };

const rangeOf = (y: Float64Array) => Math.max(...y) - Math.min(...y);
const largest = (a: StrideCurve, b: StrideCurve) => {
  const [x, y] = [sampleCurve(a).value, sampleCurve(b).value];
  return x.reduce((most, v, i) => Math.max(most, Math.abs(v - y[i])), 0) / rangeOf(y);
};

/** A stride written as a time series at `rate` Hz, several times over, and the recipe that reads it. */
function timeSeries(rate: number, strides: number, more: Partial<Recipe> = {}) {
  const { percent: _, strideTime: __, ...plain } = plainRecipe(natural, OPEN);
  const recipe: Recipe = {
    ...plain,
    cutOff: 15 / natural.strideTime, // the published series have 15 harmonics
    time: { column: 'time', unit: 's' },
    stride: 'stride',
    strideEnds: 'next row',
    ...more,
  };
  const channels = (Object.keys({}) as ChannelName[]).concat(
    ['hip.angle', 'hip.moment', 'hip.power', 'knee.angle', 'knee.moment', 'knee.power'] as ChannelName[],
    ['ankle.angle', 'ankle.moment', 'ankle.power'] as ChannelName[],
    ['thigh.angle', 'groundForce.vertical', 'groundForce.foreAft'] as ChannelName[],
  );
  const perStride = Math.round(rate * natural.strideTime);
  const rows: number[][] = [];
  for (let i = 0; i <= perStride * strides; i++) {
    const percent = (100 * (i % perStride)) / perStride;
    const at = (channel: ChannelName) => curveAt(curveOf(natural, channel) as StrideCurve, percent).value;
    rows.push([
      Number(((i * natural.strideTime) / perStride).toFixed(9)),
      1 + Math.floor(i / perStride),
      ...channels.map(at),
    ]);
  }
  return { recipe, rows };
}

describe('what is exported comes back', () => {
  test('a published stride through rows in per cent, within a thousandth of its range where it closes', () => {
    const recipe = plainRecipe(natural, OPEN);
    const { stride } = strideFromRecording({ rows: rowsOf(natural, recipe) }, recipe, name);
    for (const channel of [
      'hip.angle',
      'knee.angle',
      'knee.moment',
      'ankle.angle',
      'ankle.moment',
    ] as const) {
      expect(
        largest(curveOf(stride, channel) as StrideCurve, curveOf(natural, channel) as StrideCurve),
        channel,
      ).toBeLessThan(1e-3);
    }
    expect(stride.strideTime).toBe(natural.strideTime);
    expect(stride.stance).toBe(natural.stance);
    expect(stride.activity).toBe('recorded');
    expect(stride.origin.status).toBe('recorded');
  });

  test('through a time series of several strides at 100 to 500 Hz', () => {
    fc.assert(
      fc.property(fc.integer({ min: 100, max: 500 }), fc.integer({ min: 1, max: 4 }), (rate, strides) => {
        const { recipe, rows } = timeSeries(rate, strides);
        const { stride, count } = strideFromRecording({ rows }, recipe, name);
        expect(count).toBe(strides);
        expect(stride.strideTime).toBeCloseTo(natural.strideTime, 9);
        for (const channel of ['knee.angle', 'ankle.angle', 'ankle.moment'] as const) {
          // a cubic spline errs by 5/384·h⁴·max|y⁗|; the 15th harmonic of these series at 100 Hz leaves 0.1 %, the
          // gap at initial contact the rest
          expect(
            largest(curveOf(stride, channel) as StrideCurve, curveOf(natural, channel) as StrideCurve),
          ).toBeLessThan(0.012);
        }
      }),
      { seed: 7, numRuns: 12 },
    );
  });

  test('any closed series whose harmonics lie below the cut-off comes back to a ten-thousandth', () => {
    const a = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
      fc.property(fc.array(fc.tuple(a, a), { minLength: 1, maxLength: 8 }), (terms) => {
        // the first term turns the knee, so that unit and sign are beyond doubt
        const cos = [-0.5, ...terms.map(([c], k) => (0.1 * c) / (k + 2))];
        const sin = [-0.4, ...terms.map(([, s], k) => (0.1 * s) / (k + 2))];
        const angle: StrideCurve = { form: 'series', mean: 0.3, drift: 0, cos, sin };
        const stride = { ...natural, joints: { knee: { angle } } };
        const { thigh: _, groundForce: __, ...only } = stride;
        const recipe = plainRecipe(only, { cutOff: 20 / natural.strideTime });
        const back = strideFromRecording({ rows: rowsOf(only, recipe) }, recipe, name).stride.joints.knee;
        expect(largest(back?.angle as StrideCurve, angle)).toBeLessThan(1e-4);
      }),
      { seed: 8, numRuns: 40 },
    );
  });

  test('units, signs and body mass of another laboratory change nothing', () => {
    const plain = plainRecipe(natural, OPEN);
    const other: Recipe = {
      ...plain,
      bodyMass: 80,
      knee: {
        angle: { column: 'knee.angle', unit: 'deg', positive: 'extension' },
        moment: { column: 'knee.moment', unit: 'N*m', positive: 'extension' },
        power: { column: 'knee.power', unit: 'W', positive: 'absorption' },
      },
      ankle: {
        angle: { column: 'ankle.angle', unit: 'deg', positive: 'dorsiflexion' },
        moment: { column: 'ankle.moment', unit: 'N*mm/kg', positive: 'plantarflexion' },
      },
      groundForce: { vertical: { column: 'groundForce.vertical', unit: 'N', positive: 'down' } },
    };
    const DEG = 180 / Math.PI;
    const factor: Record<string, number> = {
      'knee.angle': -DEG,
      'knee.moment': -80,
      'knee.power': -80,
      'ankle.angle': DEG,
      'ankle.moment': -1000,
      'groundForce.vertical': -80 * 9.80665,
    };
    const rows = rowsOf(natural, other, (v, column) => v * (factor[column] ?? 1));
    const a = strideFromRecording({ rows }, other, name).stride;
    const b = strideFromRecording({ rows: rowsOf(natural, plain) }, plain, name).stride;
    for (const channel of [
      'knee.angle',
      'knee.moment',
      'knee.power',
      'ankle.angle',
      'ankle.moment',
    ] as const) {
      expect(
        largest(curveOf(a, channel) as StrideCurve, curveOf(b, channel) as StrideCurve),
        channel,
      ).toBeLessThan(1e-9);
    }
  });
});

test('stance ends where the vertical force falls below the bound', () => {
  const recipe = plainRecipe(natural, { ...OPEN, bodyMass: 70, stance: { forceBelow: 20 } });
  const { stride } = strideFromRecording({ rows: rowsOf(natural, recipe) }, recipe, name);
  // the source prints 62.6 % of the stride
  expect(Math.abs(stride.stance - 0.626)).toBeLessThan(0.02);
  const never = plainRecipe(natural, { ...OPEN, bodyMass: 70, stance: { forceBelow: 0.001 } });
  expect(() =>
    strideFromRecording(
      { rows: rowsOf(natural, never, (v, c) => (c.startsWith('ground') ? v + 1 : v)) },
      never,
      name,
    ),
  ).toThrow('The vertical force does not fall below 0.001 N between 20 and 95 % of the stride');
});

describe('bad rows', () => {
  const said = (rows: number[][], recipe: Recipe): string[] => {
    try {
      strideFromRecording({ rows, firstLine: 2 }, recipe, name);
      return [];
    } catch (error) {
      if (!(error instanceof Fault)) throw error;
      return error.faults.map(({ what, mend, place }) => `${place?.line ?? ''}: ${what}. ${mend}.`);
    }
  };
  const made = () => timeSeries(100, 3);

  test('no row at all', () => {
    expect(said([], made().recipe)).toEqual([
      ': The recording has no row of data. Check that the file was exported whole, and `dataLine:` of the recipe.',
    ]);
  });

  test('a NaN is a fault with line and column, all of them at once; in a stride left out it is not', () => {
    const { recipe, rows } = made();
    rows[120][3] = Number.NaN;
    rows[130][6] = Number.NaN;
    expect(said(rows, recipe)).toEqual([
      '122: there is no number in column `hip.moment`. Restore it, or name its stride under `leaveOut:`; nothing is filled in.',
      '132: there is no number in column `knee.moment`. Restore it, or name its stride under `leaveOut:`; nothing is filled in.',
    ]);
    const without = { ...recipe, leaveOut: [{ stride: 2, because: 'a marker was lost' }] };
    const { count, stride } = strideFromRecording({ rows }, without, name);
    expect(count).toBe(2);
    expect(stride.caveats).toContain('Stride 2 is left out: a marker was lost');
  });

  test('a NaN in the row that closes the stride before is still a fault', () => {
    const { recipe, rows } = made();
    rows[110][3] = Number.NaN; // first row of stride 2, 100 % of stride 1
    const without = { ...recipe, leaveOut: [{ stride: 2, because: 'a marker was lost' }] };
    expect(said(rows, without)).toHaveLength(1);
  });

  test('time that goes back, and time that stands still', () => {
    const { recipe, rows } = made();
    rows[50][0] = 0.1;
    expect(said(rows, recipe)).toEqual([
      '52: time falls from 0.49 to 0.1. Split the file where the recorder restarted, or sort its rows.',
    ]);
    const again = made();
    again.rows[50][0] = again.rows[49][0];
    expect(said(again.rows, recipe)[0]).toBe(
      '52: time 0.49 stands twice. Split the file where the recorder restarted, or sort its rows.',
    );
  });

  test('several strides in per cent without a stride column', () => {
    const recipe = plainRecipe(natural, OPEN);
    const rows = rowsOf(natural, recipe);
    expect(said([...rows, ...rows], recipe)[0]).toBe(
      '203: per cent falls from 100 to 0. The file seems to hold several strides: name the column that numbers them with `stride:`.',
    );
    expect(said(rows.slice(0, 190), recipe)[0]).toContain('runs from 0 to 94.5 % instead of 0 to 100');
    expect(
      said(
        rows.map(([p, ...rest]) => [p / 100, ...rest]),
        recipe,
      )[0],
    ).toContain('Give the column in per cent');
  });

  test('a hole in a stride, too few rows, an empty stride', () => {
    const { recipe, rows } = made();
    expect(said([...rows.slice(0, 40), ...rows.slice(50)], recipe)).toEqual([
      '42: stride 1 has no row between 35.5 and 45.5 %. Rows may be 5 % apart at most: restore them, or name the stride under `leaveOut:`.',
    ]);
    const thin = rows.filter((_, i) => i % 5 === 0);
    expect(said(thin, recipe)[0]).toMatch(
      /2: stride 1 has 23 rows, a cut-off of [\d.]+ Hz needs 32. Record faster, or lower `cutOff:`/,
    );
    const single = [...rows.slice(0, 110), [1.1, 9, ...rows[110].slice(2)]].map((row) => [...row]);
    expect(said(single, { ...recipe, strideEnds: 'last row' })).toEqual([
      '112: stride 9 has 1 row. Delete it, or name it under `leaveOut:`.',
    ]);
  });

  test('a stride whose end was not recorded', () => {
    const { recipe, rows } = made();
    const cut = [...rows.slice(0, 100), ...rows.slice(110)];
    expect(said(cut, recipe)[0]).toBe(
      '102: stride 1 ends at 0.99 and stride 2 begins at 1.1: its 100 % was not recorded. If each stride brings its own last row write `strideEnds: last row`; else name it under `leaveOut:`.',
    );
    const alone = rows.slice(0, 100);
    expect(said(alone, recipe)[0]).toContain(
      'The recording has no whole stride. If each stride brings its own last row',
    );
  });

  test('milliseconds declared as seconds', () => {
    const { recipe, rows } = made();
    // slower by a thousand, so a cut-off would need a thousand times the rows: that is not what is complained of
    const ms = rows.map(([t, ...rest]) => [t * 1000, ...rest]);
    expect(said(ms, recipe)[0]).toContain(
      'The mean stride takes 1100 s, where people take 0.35 to 4 s. Check whether the time column is in s or ms',
    );
    expect(said(ms, { ...recipe, time: { column: 'time', unit: 'ms' } })).toEqual([]);
  });

  test('a cut-off below one harmonic', () => {
    const { recipe, rows } = made();
    expect(said(rows, { ...recipe, cutOff: 0.5 })[0]).toContain(
      'A cut-off of 0.5 Hz keeps 0 harmonics of a stride of 1.100 s; this recording carries 1 to',
    );
  });

  test('an odd stride is pointed out by its number', () => {
    const { recipe, rows } = timeSeries(200, 6);
    const slow = rows.map(([t, k, ...rest]) => [k === 6 || k === 7 ? 5.5 + (t - 5.5) * 1.6 : t, k, ...rest]);
    const { checks } = strideFromRecording({ rows: slow }, { ...recipe, cutOff: 9 }, name);
    expect(checks.find(({ id }) => id === 'stride time')?.text).toBe(
      'Stride 6 takes 1.760 s where the mean is 1.210 s.',
    );
  });
});

test('the recipe says all that is wrong with it at once', () => {
  const { percent: _, strideTime: __, stance: ___, knee, ...plain } = plainRecipe(natural);
  const recipe = {
    ...plain,
    knee: knee && { ...knee, moment: { column: 'M', unit: 'N*m', positive: 'flexion' } },
    stance: { forceBelow: 20 },
  } as Recipe;
  expect(() => strideFromRecording({ rows: [] }, recipe, name)).toThrow(
    [
      'knee.moment: `M` is in N*m and the recipe has no body mass. Add `bodyMass:` of the person recorded, without the device.',
      'The recipe names neither a per cent nor a time column. Name exactly one of `percent:` and `time:`.',
      'stance: Stance is to end below a force in newtons, and the recipe has no body mass. Add `bodyMass:`, or give `stance:` as a share.',
    ].join('\n'),
  );
});
