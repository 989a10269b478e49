import { referenceStrides } from '@striderule/reference';
import { describe, expect, test } from 'vitest';
import { Fault } from '../quantity/fault.ts';
import { sampleCurve } from './curve.ts';
import { comparePower, momentTimesVelocity } from './power-identity.ts';
import type { ChannelName, Recipe } from './recipe.ts';
import type { Stride } from './stride.ts';
import { strideFromRecording } from './stride-from-recording.ts';
import { curveOf, plainRecipe, rowsOf } from './test-recording.ts';

const strides = referenceStrides();
const natural = strides['walk-natural'];
const name = { id: 'own', title: 'Own' };
/** Published hip moments do not close at initial contact and stairs are single steps; their sources say so. */
const OPEN = { largestGap: 1 };

function faultsOf(stride: Stride, recipe: Recipe, alter?: (v: number, column: string) => number): string[] {
  try {
    strideFromRecording({ rows: rowsOf(stride, recipe, alter) }, recipe, name);
    return [];
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    return error.faults.map(({ code, what, mend }) => `${code}: ${what}. ${mend}.`);
  }
}

// The published strides are the outside witness: their signs and units are known.
const whole = Object.values(strides).filter((stride) => stride.joints.ankle !== undefined);
const FIRM: readonly ChannelName[] = [
  'ankle.moment',
  'ankle.angle',
  'knee.angle',
  'hip.angle',
  'thigh.angle',
  'groundForce.vertical',
  'groundForce.foreAft',
];

describe.each(whole.map((stride) => [stride.id, stride] as const))('%s as published', (_, stride) => {
  test('has no unit and no sign that is found wrong', () => {
    expect(faultsOf(stride, plainRecipe(stride, OPEN))).toEqual([]);
  });

  for (const channel of FIRM.filter((c) => curveOf(stride, c) !== undefined)) {
    test(`${channel} flipped is found`, () => {
      const recipe = plainRecipe(stride, OPEN);
      const alter = (v: number, column: string) => (column === channel ? -v : v);
      const found = faultsOf(stride, recipe, alter);
      if (stride.id === 'stair-descent' && channel === 'thigh.angle') {
        // going down, the thigh hardly turns: there the sign stays unconfirmed, and that is said
        const { checks } = strideFromRecording({ rows: rowsOf(stride, recipe, alter) }, recipe, name);
        expect(checks.find(({ id }) => id === 'sign thigh.angle')?.verdict).toBe('warns');
      } else expect(found.join('\n')).toContain(`sign: \`${channel}\` shows the reverse`);
    });
  }
});

describe.each(['walk-slow', 'walk-natural', 'walk-fast'])('%s', (id) => {
  const stride = strides[id];
  test.each(FIRM)('%s flipped is one fault that names the column', (channel) => {
    const found = faultsOf(stride, plainRecipe(stride, OPEN), (v, column) => (column === channel ? -v : v));
    expect(found).toHaveLength(1);
    expect(found[0]).toContain(
      `gait.recording-sign: \`${channel}\` shows the reverse of the published strides`,
    );
    expect(found[0]).toContain('Turn `positive:` of this column in the recipe');
  });

  test('recorded power is moment × velocity: the published power agrees with r above 0.98', () => {
    // reference/README.md: the power of each source against its own moment and angle, r 0.99 and more for the table itself
    for (const joint of ['hip', 'knee', 'ankle'] as const) {
      const { angle, moment, power } = stride.joints[joint] as Required<NonNullable<Stride['joints']['hip']>>;
      const { r, slope } = comparePower(
        sampleCurve(power).value,
        momentTimesVelocity(moment, angle, stride.strideTime),
      );
      expect(r).toBeGreaterThan(0.98);
      expect(slope).toBeGreaterThan(0.9);
      expect(slope).toBeLessThan(1.1);
    }
  });
});

test('the fault of a flipped ankle moment, word for word', () => {
  expect(
    faultsOf(natural, plainRecipe(natural, OPEN), (v, column) => (column === 'ankle.moment' ? -v : v)),
  ).toEqual([
    'gait.recording-sign: `ankle.moment` shows the reverse of the published strides, where it is plantarflexor in late stance: its sign is likely flipped. Turn `positive:` of this column in the recipe; if it is truly so, add `accept: [{ check: sign ankle.moment, because: … }]` to the recipe.',
  ]);
});

describe('a wrong unit is named', () => {
  const RAD = Math.PI / 180;
  const withUnit = (joint: 'knee' | 'ankle', quantity: 'angle' | 'moment', unit: string): Recipe => {
    const recipe = plainRecipe(natural, { ...OPEN, bodyMass: 80 });
    const mapped = recipe[joint] as unknown as Record<string, Record<string, unknown>>;
    return { ...recipe, [joint]: { ...mapped, [quantity]: { ...mapped[quantity], unit } } };
  };
  const of = (channel: string, factor: number) => (v: number, column: string) =>
    column === channel ? v * factor : v;

  test('radians declared as degrees', () => {
    const found = faultsOf(natural, withUnit('knee', 'angle', 'deg'));
    expect(found).toHaveLength(1);
    expect(found[0]).toMatch(
      /^gait.recording-unit: `knee.angle` read in deg spans 0.0\d+ rad over the stride, where people show 0.04 to 3.5. It looks like rad \(then 1\.\d+ rad\): correct `unit:` in the recipe; if it is truly so/,
    );
  });
  test('degrees declared as radians', () => {
    const found = faultsOf(natural, withUnit('knee', 'angle', 'rad'), of('knee.angle', 1 / RAD));
    expect(found).toHaveLength(1);
    expect(found[0]).toContain('It looks like deg');
  });
  test('N·m declared as N·m/kg', () => {
    const found = faultsOf(natural, withUnit('ankle', 'moment', 'N*m/kg'), of('ankle.moment', 80));
    expect(found).toHaveLength(1);
    expect(found[0]).toContain('`ankle.moment` read in N*m/kg spans');
    expect(found[0]).toContain('It looks like N*m (then 1.');
  });
  test('N·m/kg declared as N·m', () => {
    const found = faultsOf(natural, withUnit('ankle', 'moment', 'N*m'));
    expect(found).toHaveLength(1);
    expect(found[0]).toContain('It looks like N*m/kg');
  });
  test('N·mm/kg declared as N·m/kg', () => {
    const found = faultsOf(natural, withUnit('ankle', 'moment', 'N*m/kg'), of('ankle.moment', 1000));
    expect(found).toHaveLength(1);
    expect(found[0]).toContain('It looks like N*mm/kg');
  });
  test('a column without a curve suits no unit', () => {
    const found = faultsOf(natural, plainRecipe(natural, OPEN), of('thigh.angle', 0));
    expect(found.some((text) => text.includes('Check the column and its unit'))).toBe(true);
  });
});

describe('a power that is not moment × velocity names its slip', () => {
  // only the power column is wrong here; by what factor says which slip it was
  const slope = (factor: number, mass?: number) =>
    faultsOf(
      natural,
      plainRecipe(natural, { ...OPEN, ...(mass !== undefined && { bodyMass: mass }), accept: UNITS }),
      (v, column) => (column === 'ankle.power' ? v * factor : v),
    );
  const UNITS = [{ check: 'unit ankle.power', because: 'tried on purpose' }];

  test('sign', () => {
    expect(slope(-1)).toHaveLength(1);
    expect(slope(-1)[0]).toMatch(
      /^gait.recording-power: The ankle power is -(0\.9|1\.0)\d* × moment × velocity \(r -(1\.00|0\.99)\), as if the sign of angle, moment or power is flipped\. Correct unit or sign of the ankle columns in the recipe/,
    );
  });
  test('degrees', () => {
    expect(slope(180 / Math.PI)[0]).toContain('as if the angle is in radians and read as degrees');
    expect(slope(Math.PI / 180)[0]).toContain('as if the angle is in degrees and read as radians');
  });
  test('body mass, told apart from degrees where it is far from 57.3', () => {
    expect(slope(1 / 90, 90)[0]).toContain(
      'as if the power was already divided by body mass, or the moment was not',
    );
    expect(slope(90, 90)[0]).toContain(
      'as if the moment was already divided by body mass, or the power was not',
    );
    expect(slope(60, 60)[0]).toContain('radians and read as degrees or the moment was already divided');
  });
  test('a factor that no slip leaves is a warning with its figure', () => {
    const recipe = plainRecipe(natural, OPEN);
    const rows = rowsOf(natural, recipe, (v, column) => (column === 'ankle.power' ? v * 1.6 : v));
    const { checks } = strideFromRecording({ rows }, recipe, name);
    const found = checks.find(({ id }) => id === 'power ankle');
    expect(found?.verdict).toBe('warns');
    expect(found?.figure).toBeGreaterThan(1.5);
    expect(found?.text).toContain('a stride time off by this factor');
  });
});

describe('closing', () => {
  test('a stride cut at the wrong place is a fault with its share of range', () => {
    const recipe = plainRecipe(natural, { accept: [] });
    // a ramp of a tenth of the knee's range over the stride
    const range = 1.1;
    const rows = rowsOf(natural, recipe, (v, column, row) =>
      column === 'knee.angle' ? v + (0.1 * range * row) / 200 : v,
    );
    expect(() => strideFromRecording({ rows }, recipe, name)).toThrow(
      /knee.angle: `knee.angle` ends (9|10)\.\d % of its range above where it began: the rows are not one whole stride, or the stride is not periodic. Check where strides begin and end; for single steps raise `largestGap:` above 5 %/,
    );
  });
  test('accepted with a reason it is kept as drift, and the stride says so', () => {
    const recipe = plainRecipe(natural, {
      accept: [{ check: 'closes hip.moment', because: 'as in the source' }],
    });
    const { stride, checks } = strideFromRecording({ rows: rowsOf(natural, recipe) }, recipe, name);
    const moment = stride.joints.hip?.moment;
    expect(moment?.form === 'series' && Math.abs(moment.drift)).toBeGreaterThan(0.1);
    expect(checks.find(({ id }) => id === 'closes hip.moment')?.verdict).toBe('accepted');
    expect(stride.caveats.join(' ')).toContain('Accepted: as in the source');
  });
});
