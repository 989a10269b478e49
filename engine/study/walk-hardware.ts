import { filterPole, type Gains } from '../control/sampled-joint.ts';
import { type Gears, softwareGains } from '../control/software-gains.ts';
import { linkInertia } from '../drive/link-inertia.ts';
import { reflectedInertia } from '../drive/reflected-inertia.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { OwnMotion } from '../walk/own-motion.ts';
import { walkDrive } from '../walk/walk-drive.ts';
import type { WalkJoint, WalkSetup } from '../walk/walk-setup.ts';
import type { legSupply } from './leg-supply.ts';
import { phasesOf } from './power-lost.ts';
import { SPEED_FILTER } from './sampled-drive.ts';
import type { Leg, StudyInput } from './study-input.ts';

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

/** What software feels of a joint whose limb hangs free, kg·m²: limb, rotor and gears. */
export function jointInertia({ segments, joints }: Leg, name: DrivenJoint): number {
  const { motor, transmission } = joints[name]!;
  return linkInertia(name, segments) + reflectedInertia(motor, transmission);
}

/** Frequency, Hz, and damping ratio with which swing angles are followed. Our own proposal. */
const FOLLOW = { frequency: 6, dampingRatio: 0.7 };

/**
 * Spring and damper of the software, N·m/rad and N·m·s/rad, that follow angles with limb and rotor of so many kg·m² at the joint:
 * K = J·ω²,  B = 2ζ·J·ω. Where the angle is the rotor's, the joint follows it through its gears, softer.
 */
export function followGains(inertia: number): Gains {
  const omega = 2 * Math.PI * FOLLOW.frequency;
  return { stiffness: inertia * omega * omega, damping: 2 * FOLLOW.dampingRatio * inertia * omega };
}

/** Gears of a joint that is walked, as its software must know them. */
const gearsOf = ({ drive, encoderAt }: WalkJoint): Gears => ({
  gearStiffness: drive.gearStiffness,
  measuredAt: encoderAt,
});

/** Gains that software must hold through the gears of `joint`; open where they are softer than what is asked. */
export function throughGears(joint: WalkJoint, asked: Gains): Gains | { readonly openBecause: string } {
  return (
    softwareGains(gearsOf(joint), asked) ?? {
      openBecause: `a spring of ${Math.round(asked.stiffness)} N·m/rad at the joint is asked of gears that are an elastic ${Math.round(joint.drive.gearStiffness)}: \`torsionalStiffness\` under \`transmission\` must be the stiffer of the two`,
    }
  );
}
