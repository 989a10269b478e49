import { filterPole, type Gains, type SampledJoint } from '../control/sampled-joint.ts';
import { softwareGains } from '../control/software-gains.ts';
import { largestDamper } from '../control/steadiest-damper.ts';
import { linkInertia } from '../drive/link-inertia.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { OwnMotion } from '../walk/own-motion.ts';
import { walkDrive } from '../walk/walk-drive.ts';
import type { WalkJoint, WalkSetup } from '../walk/walk-setup.ts';
import type { legSupply } from './leg-supply.ts';
import { phasesOf } from './power-lost.ts';
import { SPEED_FILTER } from './sampled-drive.ts';
import { loadsOf } from './stable-stiffness.ts';
import type { StudyInput } from './study-input.ts';

/** What a leg file says of drives, sensors, clock and bus: the same for whatever is walked with it. */
export type WalkHardware = Pick<
  WalkSetup,
  | 'knee'
  | 'ankle'
  | 'period'
  | 'delayPeriods'
  | 'thighDelayPeriods'
  | 'filterPole'
  | 'supply'
  | 'bus'
  | 'ambient'
  | 'temperature'
>;

/** Of a leg that lacks nothing `walkNeeds` asks for. `own`: what a joint does over the stride that is walked. */
export function walkHardware(
  input: StudyInput,
  supply: Extract<ReturnType<typeof legSupply>, { readonly supply: unknown }>,
  own: { readonly [joint in DrivenJoint]: OwnMotion },
): WalkHardware {
  const { leg } = input;
  const { period, delayPeriods } = leg.controller!;
  const joint = (name: DrivenJoint): WalkJoint => {
    const drive = leg.joints[name]!;
    const { endStop, encoder, range } = drive;
    const { bridge } = supply.joints.find((own) => own.joint === name)!;
    const turn = (2 * Math.PI) / 2 ** encoder!.bits;
    const phases = phasesOf(input, name);
    return {
      drive: walkDrive(drive, bridge, drive.currentBandwidth!),
      stops: { from: range.from, to: range.to, stiffness: endStop!.stiffness, damping: endStop!.damping! },
      ...('short' in phases && { lost: phases.short }),
      encoderAt: encoder!.side === 'joint' ? 'joint' : 'motor',
      encoderStep: encoder!.side === 'joint' ? turn : turn / drive.transmission.ratio,
      ...(encoder!.side === 'both' && { secondStep: turn }),
      reference: own[name],
    };
  };
  const { bus, ambientTemperature: air } = leg;
  return {
    knee: joint('knee'),
    ankle: joint('ankle'),
    period,
    delayPeriods: Math.ceil(delayPeriods),
    thighDelayPeriods: Math.ceil(leg.thighSensor!.delay! / period - 1e-9),
    filterPole: filterPole(SPEED_FILTER, period),
    supply: supply.supply,
    ...(bus?.capacitance !== undefined && {
      bus: {
        capacitance: bus.capacitance,
        ...(bus.brakeResistor && { brakeResistor: bus.brakeResistor }),
        ...(bus.overVoltage !== undefined && { overVoltage: bus.overVoltage }),
      },
    }),
    ambient: air,
    temperature: air,
  };
}

/**
 * Frequency, Hz, and damping ratio with which swing angles are followed; and share of the largest stable damper that is taken at most. Our own
 * proposal.
 */
const FOLLOW = { frequency: 6, dampingRatio: 0.7, ofTheStable: 0.5 };

/**
 * Spring and damper of the software, N·m/rad and N·m·s/rad, that follow angles:
 *
 *     K = J·ω²,   B = min(2ζ·J·ω, ½·B_max)
 *
 * J: limb, rotor and gears at the joint; B_max: `largestDamper` beside that spring, open where there is none. Where the angle is the rotor's, the joint follows it
 * through its gears, softer.
 */
export function followGains(
  input: StudyInput,
  name: DrivenJoint,
  sampled: SampledJoint,
): Gains | { readonly openBecause: string } {
  const { segments, joints } = input.leg;
  const { motor, transmission } = joints[name]!;
  const inertia = linkInertia(name, segments) + reflectedInertia(motor, transmission);
  const omega = 2 * Math.PI * FOLLOW.frequency;
  const stiffness = inertia * omega * omega;
  const most = largestDamper(sampled, loadsOf(input, name), stiffness);
  if (most === 0)
    return {
      openBecause: `the sampled loop of the ${name} bears no damper beside the ${Math.round(stiffness)} N·m/rad with which swing is followed: a shorter \`period\` under \`controllerHardware\`, stiffer gears or more inertia before them`,
    };
  return {
    stiffness,
    damping: Math.min(2 * FOLLOW.dampingRatio * inertia * omega, FOLLOW.ofTheStable * most),
  };
}

/** Gains that software must hold for the joint to have those that are asked; open where its gears are softer than that. */
export function throughGears(joint: SampledJoint, asked: Gains): Gains | { readonly openBecause: string } {
  return (
    softwareGains(joint, asked) ?? {
      openBecause: `a spring of ${Math.round(asked.stiffness)} N·m/rad at the joint is asked of gears that are an elastic ${Math.round(joint.gearStiffness)}: \`torsionalStiffness\` under \`transmission\` must be the stiffer of the two`,
    }
  );
}
