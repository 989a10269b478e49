import { curveAt } from '../gait/curve.ts';
import { type ChairTimes, chairCourse, chairTimes, SEATED_SHARE, STOPS_AT } from '../walk/chair-course.ts';
import { dataController } from '../walk/data-controller.ts';
import type { WalkCourse } from '../walk/walk-course.ts';
import type { Scenario } from '../walk/walk-scenario.ts';
import type { WalkSetup } from '../walk/walk-setup.ts';
import { told } from './begun-machine.ts';
import type { PassedState, PlannedWalk } from './planned-walk.ts';
import type { StudyInput } from './study-input.ts';
import { walkPlan } from './walk-plan.ts';

type Open = { readonly openBecause: string };

/** Standing, walking, sitting and rising before the first step. */
export interface ChairPlan extends PlannedWalk<WalkSetup> {
  readonly times: ChairTimes;
}

/** Of the seat: N/m and s/m. COMMON PRACTICE for a firm cushion: it gives some four centimetres. */
const CUSHION = { stiffness: 20e3, damping: 1 };

/**
 * The study's controller through standing, walking, standing, sitting down, sitting, rising and standing. Only peaks of rising were published:
 * how thigh and shank go, how high the seat is and what the other leg takes is said by the scenario and our own proposal.
 */
export function chairPlan(
  input: StudyInput,
  { chair, speed, thigh, control, seed }: Scenario & Required<Pick<Scenario, 'chair'>>,
): ChairPlan | Open {
  if (control !== 'study')
    return { openBecause: 'only a controller with states can stand up and sit down: `control: study`' };
  const plan = walkPlan(input, {
    speed,
    control,
    thigh,
    ground: 'overground',
    ...(seed !== undefined && { seed }),
  });
  if ('openBecause' in plan) return plan;
  const { setup, stride, machine } = plan;
  const { thighLength, shank, sole } = input.leg.segments;
  const at = (curve: typeof stride.thigh): number => curveAt(curve!, 100 * STOPS_AT).value;
  const ankleHeight = -Math.min(...sole.map(({ z }) => z));
  const upright = (chair.hip - ankleHeight - thighLength * Math.cos(chair.thigh)) / shank.length;
  if (!(upright > 0 && upright <= 1))
    return {
      openBecause: `with the hip at ${chair.hip} m and the thigh as \`chair\` says, this leg’s foot does not stand on the floor: a hip between ${(ankleHeight + thighLength * Math.cos(chair.thigh)).toFixed(2)} and ${(ankleHeight + thighLength * Math.cos(chair.thigh) + shank.length).toFixed(2)} m`,
    };
  const way = {
    standing: { thigh: at(stride.thigh), shank: at(stride.thigh) - at(stride.joints.knee!.angle) },
    // the foot is drawn back, as one rises from it
    seated: { thigh: chair.thigh, shank: -Math.acos(upright) },
    thighLength,
    shankLength: shank.length,
    over: chair.over,
    sits: chair.sits,
    share: chair.share,
  };
  const { course } = setup;
  const { hip, mass, weight } = course;
  let known: WalkCourse | undefined;
  const passed: PassedState[] = [];
  return {
    setup: {
      ...setup,
      course: {
        hip,
        mass,
        weight,
        rows: (step) => {
          if (known?.step !== step) known = chairCourse(course, way, step);
          return known;
        },
      },
      seat: {
        ...CUSHION,
        height: chair.hip + ((1 - 2 * SEATED_SHARE) * weight) / CUSHION.stiffness,
      },
      controller: () => told(dataController(machine!), machine!, passed),
    },
    stride,
    regressionTime: plan.regressionTime,
    passed,
    times: chairTimes(stride.strideTime, chair),
    notes: [
      ...plan.notes,
      `Of rising only peaks were published: thigh and shank go with least jerk over a foot that stays flat, in ${chair.over} s, our own proposal. The seat is a spring and a damper under the hip, wherever that is ahead or behind.`,
      `The other leg stands beside this one where it stops, takes half of the weight there and ${(100 * chair.share).toFixed(0)} % on the way down and up: given, not found. What this leg does not carry of the rest, the guide does: on a person that is the other leg, or the hands.`,
    ],
  };
}
