import { filterPole, type Gains, type SampledJoint } from '../control/sampled-joint.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { StudyInput } from './study-input.ts';

/** Cut-off of the software's filter of speed, Hz: COMMON PRACTICE, no leg file says it. */
export const SPEED_FILTER = 60;

/** rad to either side by which the joint is moved: 6°. Dry friction counts the more the less it moves. Our choice. */
export const RENDERED_SWING = 0.1;

/**
 * Spring and damper at which every joint is looked at where nobody asks for others, N·m/rad and N·m·s/rad per kg of the wearer: the middle
 * of what perturbing a walking ankle found in stance, 1.14 … 5.43 and 0.016 … 0.080 (Ficanha, Ribeiro, Knop & Rastgaar, J. Medical Devices
 * 12 (2018) 011010; abstract). Our choice for both joints.
 */
const STATED = { stiffness: 3.3, damping: 0.048 };

/** The stated spring and damper of this wearer. */
export const statedGains = (input: StudyInput): Gains => ({
  stiffness: STATED.stiffness * input.wearer.mass,
  damping: STATED.damping * input.wearer.mass,
});

/** One joint of the leg as its sampled software meets it, speed filtered at `cutoff` Hz; or which field of the leg file is missing. */
export function sampledDrive(
  input: StudyInput,
  joint: DrivenJoint,
  cutoff = SPEED_FILTER,
): SampledJoint | { readonly openBecause: string } {
  const drive = input.leg.joints[joint];
  if (drive === undefined) return { openBecause: `the leg has no ${joint} drive` };
  const { controller } = input.leg;
  if (controller === undefined)
    return {
      openBecause: 'the leg file has no `controllerHardware`: add it with `period` and `delayPeriods`',
    };
  if (drive.currentBandwidth === undefined)
    return {
      openBecause: `the leg file’s \`electronics\` of the ${joint} have no \`currentBandwidth\`: add what the current loop is built for`,
    };
  if (drive.encoder === undefined)
    return {
      openBecause: `the leg file’s ${joint} has no \`sensors\`: add \`encoder\` with \`side\` and \`bits\``,
    };
  const { motor, transmission: t, encoder } = drive;
  const N = t.ratio;
  return {
    rotorInertia: N * N * (motor.rotorInertia + t.inputInertia),
    rotorDamping: N * N * motor.viscousDrag,
    rotorCoulomb: N * motor.coulombDrag,
    outputInertia: t.outputInertia,
    outputDamping: t.outputViscous,
    outputCoulomb: t.outputCoulomb,
    gearStiffness: t.torsionalStiffness,
    drivingEfficiency: t.drivingEfficiency,
    backDrivenEfficiency: t.backDrivenEfficiency,
    // with one on each side the motor's closes the loop: it is finer and does not see the gears wind up
    measuredAt: encoder.side === 'joint' ? 'joint' : 'motor',
    period: controller.period,
    delay: controller.delayPeriods * controller.period + (encoder.delay ?? 0),
    currentLag: 1 / (2 * Math.PI * drive.currentBandwidth),
    filterPole: filterPole(cutoff, controller.period),
    constantError: 0,
  };
}
