import type { PassiveSetup, WalkJoint, WalkPassiveJoint, WalkSetup } from './walk-setup.ts';

/**
 * The same setup with every field in its place, those left out as `undefined`.
 *
 * A setup is joined from parts, and after a dozen of them the compiler takes each for a record of another kind: the code of the walk is then
 * compiled anew for every leg of a shortlist, or given up, at a third of its speed. Records written out in one place stay of one kind.
 */
export function laidOut<S extends WalkSetup | PassiveSetup>(setup: S): S;
export function laidOut(setup: WalkSetup | PassiveSetup): unknown {
  return 'supply' in setup ? driven(setup) : passive(setup);
}

/** Every field of a record, whether it may be left out or not. */
type Every<T> = { readonly [field in keyof Required<T>]: T[field] | undefined };

function driven(of: WalkSetup): Every<WalkSetup> {
  const { leg, sole, course, thigh, guide, ground, pace, terrain, seat, controller, period, socket } = of;
  const { delayPeriods, thighDelayPeriods, filterPole, supply, bus, noise, ambient, temperature, fault } = of;
  const knee = drivenJoint(of.knee) as WalkJoint;
  const ankle = drivenJoint(of.ankle) as WalkJoint;
  // biome-ignore format: one line a part, as above
  return {
    leg, sole, course, thigh, guide, ground, pace, terrain, seat, controller, period, socket, knee, ankle,
    delayPeriods, thighDelayPeriods, filterPole, supply, bus, noise, ambient, temperature, fault,
  };
}

function passive(of: PassiveSetup): Every<PassiveSetup> {
  const { leg, sole, course, thigh, guide, ground, pace, terrain, seat, controller, period, socket } = of;
  const [knee, ankle] = [passiveJoint(of.knee), passiveJoint(of.ankle)];
  // biome-ignore format: one line a part, as above
  return { leg, sole, course, thigh, guide, ground, pace, terrain, seat, controller, period, socket, knee, ankle };
}

const drivenJoint = (of: WalkJoint): Every<WalkJoint> => {
  const { drive, stops, reference, encoderAt, encoderStep, secondStep, lost } = of;
  return { drive, stops, reference, encoderAt, encoderStep, secondStep, lost };
};
const passiveJoint = ({ passive, stops, reference }: WalkPassiveJoint): WalkPassiveJoint => ({
  passive,
  stops,
  reference,
});
