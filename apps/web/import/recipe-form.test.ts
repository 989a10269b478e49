import { expect, test } from 'vitest';
import { carried, proposed } from './propose.ts';
import { recipeText, turned } from './recipe-form.ts';

const NAMES = [
  'Time [s]',
  'Cycle',
  'Hip angle [deg]',
  'Knee angle [deg]',
  'Knee moment [Nm]',
  'Ankle angle [deg]',
  'Ankle moment [Nm]',
  'Ankle power [W]',
  'Thigh [deg]',
  'Fz [N]',
  'Fx [N]',
  'Remark',
];
const preview = {
  layout: { delimiter: ';', decimal: ',', namesLine: 2, dataLine: 4 },
  names: NAMES,
  rows: [],
} as const;

test('names that say what they hold are proposed, with the unit they say', () => {
  const form = proposed(preview, 'Our Walk_2.csv');
  expect(
    Object.entries(form.channels).flatMap(([name, { column, unit }]) =>
      column === '' ? [] : [[name, column, unit]],
    ),
  ).toEqual([
    ['hip.angle', 'Hip angle [deg]', 'deg'],
    ['knee.angle', 'Knee angle [deg]', 'deg'],
    ['knee.moment', 'Knee moment [Nm]', 'N*m'],
    ['ankle.angle', 'Ankle angle [deg]', 'deg'],
    ['ankle.moment', 'Ankle moment [Nm]', 'N*m'],
    ['ankle.power', 'Ankle power [W]', 'W'],
    ['thigh.angle', 'Thigh [deg]', 'deg'],
    ['groundForce.vertical', 'Fz [N]', 'N'],
    ['groundForce.foreAft', 'Fx [N]', 'N'],
  ]);
  expect([form.clock, form.clockColumn, form.strideColumn]).toEqual(['time', 'Time [s]', 'Cycle']);
  expect([form.task, form.title]).toEqual(['our-walk-2', 'Our Walk 2']);
});

test('the recipe says what was filled in and nothing else', () => {
  const form = {
    ...proposed({ ...preview, names: ['% of stride', 'knee "flexion"'] }, 'a.csv'),
    strideTime: '1.1 s',
    stance: '62 %',
    incline: '−5 deg ',
    cutOff: ' 6 Hz',
    more: 'notice: demo data\n',
  };
  expect(recipeText(form)).toBe(`delimiter: ";"
decimal: ","
namesLine: 2
dataLine: 4
percent: "% of stride"
strideTime: "1.1 s"
stance: "62 %"
incline: "−5 deg"
cutOff: "6 Hz"
knee:
  angle: { column: "knee \\"flexion\\"", unit: "deg", positive: flexion }
notice: demo data
`);
  expect(recipeText({ ...form, stance: '20 N' })).toContain('stance: { forceBelow: "20 N" }\n');
});

test('turning a column turns it and no other, and back', () => {
  const form = proposed(preview, 'a.csv');
  const once = turned(form, 'ankle.moment');
  expect(once.channels['ankle.moment']?.positive).toBe('plantarflexion');
  expect(once.channels['ankle.angle']).toEqual(form.channels['ankle.angle']);
  expect(turned(once, 'ankle.moment')).toEqual(form);
});

test('another file keeps what was filled in, where its columns are', () => {
  const form = { ...turned(proposed(preview, 'a.csv'), 'ankle.moment'), cutOff: '15 Hz' };
  const next = carried(form, { ...preview, names: NAMES.filter((name) => !name.startsWith('Hip')) });
  expect(next.cutOff).toBe('15 Hz');
  expect(next.channels['hip.angle']?.column).toBe('');
  expect(next.channels['ankle.moment']).toEqual(form.channels['ankle.moment']);
});
