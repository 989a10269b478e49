import { steadiestDamper } from '../control/steadiest-damper.ts';
import { curveAt } from '../gait/curve.ts';
import { taskStride } from '../gait/demand.ts';
import type { StrideCurve } from '../gait/stride.ts';
import { dataController } from '../walk/data-controller.ts';
import { stairController } from '../walk/stair-controller.ts';
import { type StairHip, stairCourse, stairHip, treadsUnder } from '../walk/stair-course.ts';
import type { TreadsShape } from '../walk/terrain.ts';
import type { WalkCourse } from '../walk/walk-course.ts';
import type { Scenario } from '../walk/walk-scenario.ts';
import type { WalkSetup } from '../walk/walk-setup.ts';
import { begunMachine, told } from './begun-machine.ts';
import { standingAt } from './hung-plan.ts';
import { legSupply } from './leg-supply.ts';
import { ofBoth } from './of-both.ts';
import type { PassedState, PlannedWalk } from './planned-walk.ts';
import { sampledDrive } from './sampled-drive.ts';
import type { StudyInput } from './study-input.ts';
import { followGains, throughGears, walkHardware } from './walk-hardware.ts';
import { drivesNothing, walkNeeds } from './walk-needs.ts';
import { hipThatLeads, ownMotion, soleOfLeg, weakGuide, wearersLeg } from './walk-wearer.ts';

type Open = { readonly openBecause: string };

/** A stair before its first step. */
export interface StairPlan extends PlannedWalk<WalkSetup> {
  readonly terrain: TreadsShape;
  readonly hip: StairHip;
}

/** Spring about the stride's own motion in stance, N·m/rad per kilogram, with its steadiest damper. Our own proposal. */
const STANCE = 3;

/**
 * One stair of the study's leg and wearer, with the stride of a task: hip, thigh and the force of the other leg are the stride's, the ground is
 * a tread with a riser before and behind it. `clock`: joints led by the stride's own moment with springs and dampers about its motion, since the
 * sub-phases of level stance are not found on stairs and the thigh goes too short a way down them to lead a swing. Open where the stride lacks
 * something.
 */
export function stairPlan(
  input: StudyInput,
  { stairs, control, thigh: hold, seed, begins }: Scenario & Required<Pick<Scenario, 'stairs'>>,
): StairPlan | Open {
  if (drivesNothing(input.leg)) return { openBecause: 'this leg has no drives that could lift anybody' };
  const lacks = walkNeeds(input);
  if (lacks.length > 0) return { openBecause: `the leg file lacks what this needs: ${lacks.join('; ')}` };
  const task = input.tasks.find(({ id }) => id === stairs.task);
  if (task === undefined || task.kind !== 'stride')
    return { openBecause: `the study has no task \`${stairs.task}\` of a stride` };
  const supply = legSupply(input.leg);
  if ('openBecause' in supply) return supply;
  const { stride } = taskStride(task, input.strides, input.wearer);
  if (stride.activity !== 'stair ascent' && stride.activity !== 'stair descent')
    return { openBecause: `\`${stairs.task}\` goes over no stair: it is ${stride.activity}` };
  const { hip: hipJoint, knee, ankle } = stride.joints;
  const { thigh, groundForce, speed } = stride;
  if (
    thigh === undefined ||
    groundForce === undefined ||
    speed === undefined ||
    hipJoint?.moment === undefined ||
    knee?.moment === undefined ||
    ankle?.moment === undefined
  )
    return {
      openBecause:
        'its stride lacks thigh, ground force, speed, or an angle or a moment of hip, knee or ankle',
    };
  const { mass } = input.wearer;
  const { segments } = input.leg;
  const sole = soleOfLeg(input.leg);
  const { leg, socket, weight } = wearersLeg(input);
  const force = (place: number): number =>
    weight * Math.max(0, curveAt(groundForce.vertical, 100 * place).value);
  const riser = stride.activity === 'stair ascent' ? stairs.riser : -stairs.riser;
  const angles = { thigh, knee: knee.angle, ankle: ankle.angle };
  const { strideTime } = stride;
  const length = speed * strideTime;
  const hip = stairHip(angles, stride.stance, segments, sole, { riser, length, force });
  const hardware = walkHardware(input, supply, {
    knee: ownMotion(angles.knee),
    ankle: ownMotion(angles.ankle),
  });
  const curves = {
    knee: { angle: knee.angle, moment: knee.moment },
    ankle: { angle: ankle.angle, moment: ankle.moment },
  };
  const joints = ofBoth((name) => {
    const sampled = sampledDrive(input, name);
    if ('openBecause' in sampled) return sampled;
    const stiffness = STANCE * mass;
    const stance = throughGears(sampled, { stiffness, damping: steadiestDamper(sampled, stiffness) });
    if ('openBecause' in stance) return stance;
    const swing = followGains(input, name, sampled);
    if ('openBecause' in swing) return swing;
    const { angle, moment } = curves[name];
    // what is given ahead winds up the gears too
    return { angle, moment: times(moment, (mass * stance.stiffness) / stiffness), stance, swing };
  });
  if ('openBecause' in joints) return joints;
  const machine = control === 'clock' ? undefined : begunMachine(input, seed, begins);
  if (machine !== undefined && 'openBecause' in machine) return machine;
  if (machine === undefined && begins !== undefined)
    return { openBecause: 'only the study’s controller begins in a state: `control: study`' };
  const passed: PassedState[] = [];
  let known: WalkCourse | undefined;
  const setup: WalkSetup = {
    ...hardware,
    leg,
    socket,
    sole,
    course: {
      hip: standingAt(hip.knots[2][1] - riser),
      mass,
      weight,
      rows: (step) => {
        if (known?.step !== step)
          known = stairCourse(
            { hip, thigh, hipMoment: hipJoint.moment!, force, mass, speed, strideTime },
            step,
          );
        return known;
      },
    },
    thigh: hold === 'led' ? hipThatLeads(mass) : 'prescribed',
    guide: weakGuide(weight),
    ground: 'overground',
    controller: () =>
      machine === undefined
        ? stairController({
            period: hardware.period,
            strideTime,
            stance: stride.stance,
            ...joints,
          })
        : told(dataController(machine.compiled, machine.begins), machine.compiled, passed),
    ...(machine !== undefined && { noise: machine.noise }),
  };
  return {
    setup,
    stride,
    ...(machine !== undefined && { passed }),
    regressionTime: strideTime,
    terrain: treadsUnder(hip, sole, { ...stairs, riser }),
    hip,
    notes: [
      ...stride.caveats,
      `One stride from contact to contact, beginning at its own pace with the other leg behind. While the foot stands, the hip goes as the angles on this leg ask, within ${(1e3 * hip.heightMisfit).toFixed(0)} mm; then it is led smoothly to where the last pose stands, ${length.toFixed(2)} m from the first as published: its way there was not published.`,
      'The other leg gives the published force half a stride away, as on the level; nobody says that two unlike legs share so. The foot stands in the middle of its tread.',
      ...(control === 'clock'
        ? [
            'Knee and ankle are led by a clock with the stride’s own moment, a spring and a damper about its motion: it knows that a stair is there. A controller on the leg does not.',
          ]
        : []),
    ],
  };
}

/** A curve times a factor. */
function times(curve: StrideCurve, by: number): StrideCurve {
  if (curve.form === 'table') return { ...curve, value: curve.value.map((y) => by * y) };
  const { mean, drift, cos, sin } = curve;
  return {
    form: 'series',
    mean: by * mean,
    drift: by * drift,
    cos: cos.map((y) => by * y),
    sin: sin.map((y) => by * y),
  };
}
