import { openStudy } from '@striderule/store';
import { expect, test } from 'vitest';
import { cutPieces, faultPieces, pricePieces, tolerancePieces } from './pieces.ts';
import { openTolerance } from './tolerance.ts';
import { faultRows, openFaultMap } from './walk-faults.ts';
import { walkLevers } from './walk-levers.ts';
import { openPowerCut } from './walk-power-cut.ts';
import { openWalkPrice, withPrices } from './walk-price.ts';

const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);
const STEP = 5e-4;

/** Pieces as two threads may come to share them, each with what it holds itself, then laid in order. */
function shared<Task, Piece>(open: () => (task: Task) => Piece, tasks: readonly Task[]): Piece[] {
  const [one, other] = [open(), open()];
  const found: Piece[] = [];
  for (let k = tasks.length - 1; k >= 0; k--) found[k] = (k % 2 === 0 ? one : other)(tasks[k]!);
  return found;
}

test('faults: pieces in any order are the map that is made place by place', () => {
  const places = [0.45, 0.8];
  const map = openFaultMap(input, { speed: 1.1, thigh: 'led' }, STEP);
  if ('openBecause' in map) throw new Error(map.openBecause);
  const whole = faultRows(input.leg, places.flatMap(map.at));
  const found = shared(
    () => faultPieces({ input, thigh: 'led', step: STEP }),
    places.map((place) => ({ speed: 1.1, place })),
  );
  const trials = found.flatMap((piece) => ('trials' in piece ? piece.trials : []));
  expect(faultRows(input.leg, trials)).toEqual(whole);
  expect(whole.some((row) => row.trials.some(({ outcome }) => outcome === 'fell'))).toBe(true);
});

test('faults: a speed at which there is no map says why', () => {
  const piece = faultPieces({ input, thigh: 'led', step: STEP })({ speed: 3.5, place: 0 });
  expect('noneBecause' in piece && piece.noneBecause).toMatch(/\S/);
});

test('cuts: pieces in any order are the cuts that are made one after another', () => {
  const places = [0.45, 0.8];
  const open = openPowerCut(input, { speed: 1.1 }, STEP);
  if ('openBecause' in open) throw new Error(open.openBecause);
  expect(shared(() => cutPieces({ input, choice: { speed: 1.1 }, step: STEP }), places)).toEqual(
    places.map((place) => ({ cut: open.at(place), stance: open.stance })),
  );
  const { lossOfPower: _, ...knee } = input.leg.joints.knee!;
  const bare = { ...input, leg: { ...input.leg, joints: { ...input.leg.joints, knee } } };
  expect(cutPieces({ input: bare, choice: { speed: 1.1 }, step: STEP })(0)).toEqual({
    openBecause: expect.stringContaining('lossOfPower'),
  });
});

test('prices: pieces in any order are the list that is made lever by lever', () => {
  const [choice, length] = [{ speed: 1.1 }, { step: STEP, strides: 6 }];
  const levers = [7, 20];
  const run = openWalkPrice(input, choice, length, walkLevers(input));
  if ('openBecause' in run) throw new Error(run.openBecause);
  const pieces = shared(() => pricePieces({ input, choice, ...length }), levers).flatMap((piece) =>
    'priced' in piece ? [piece] : [],
  );
  expect(
    withPrices(
      pieces[0]!.planned,
      pieces.map(({ priced }) => priced),
    ),
  ).toEqual(withPrices(run.planned, levers.map(run.at)));
});

test('tolerances: blocks in any order are the draws that are made one after another', () => {
  const asked = input.requirements.slice(0, 12).map(({ id }) => id);
  const blocks = [
    { from: 0, count: 6 },
    { from: 6, count: 6 },
    { from: 12, count: 3 },
  ];
  const whole = openTolerance(
    { ...input, requirements: input.requirements.filter(({ id }) => asked.includes(id)) },
    { seed: 7 },
  );
  whole.draw(15);
  const open = () => tolerancePieces({ input, asked, seed: 7 });
  const of = shared(open, blocks).flatMap((piece) => ('block' in piece ? [piece.block] : []));
  expect(open()({ of })).toEqual({ tolerance: whole.result() });
  expect(whole.result().requirements.length).toBeGreaterThan(5);
});
