import { type EncoderStep, encoderStep, encoderStepTorque } from '../control/encoder-step.ts';
import { type Load, loopPolynomial } from '../control/loop-polynomial.ts';
import { slowestRoot } from '../control/loop-stability.ts';
import { largestPassiveStiffness, type Passivity, passivity } from '../control/passivity.ts';
import {
  impedanceBandwidth,
  type RenderedImpedance,
  renderedImpedance,
  renderedInertia,
  type SlowReading,
  slowReading,
  stiffnessBandwidth,
} from '../control/rendered-impedance.ts';
import { type Gains, loopAge, type SampledJoint } from '../control/sampled-joint.ts';
import { jointStiffness, softwareGains } from '../control/software-gains.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { DesignResult } from './design.ts';
import { RENDERED_SWING, sampledDrive } from './sampled-drive.ts';
import { bestStableStiffness, loadsOf, type StableStiffness, stableStiffness } from './stable-stiffness.ts';
import { type StanceBurden, stanceBurden } from './stance-burden.ts';
import type { StudyInput } from './study-input.ts';

/** Hz at which what is rendered is shown: steps of about two, up to a fifth of a kilohertz. */
const FREQUENCIES = [0.5, 1, 2, 5, 10, 20, 50] as const;
/** Multiples of the asked damping at which the limits of stiffness are shown. */
const DAMPINGS = [0, 0.5, 1, 2, 4] as const;
/** Shares of the rotor's inertia that software may try to take off; up to 80 % is usual (COMMON PRACTICE). */
const TAKEN_OFF = [0, 0.1, 0.2, 0.4, 0.8] as const;
/** Hz at which it is shown what delay makes of that: heel strike asks for as much (COMMON PRACTICE). */
export const RENDERED_SHOWN = 10;
/** A torque constant is wrong by so much where nobody has measured it: COMMON PRACTICE, ±5 … 10 %. */
export const CONSTANT_ERROR = 0.05;

/** A spring and a damper asked of one joint, and what comes. */
export interface AskedImpedance {
  readonly joint: SampledJoint;
  readonly requested: Gains;
  /** What the software must hold for slow motion to be as asked. */
  readonly software: Gains;
  readonly age: number;
  readonly slow: SlowReading;
  /** Moved by RENDERED_SWING, friction and mesh in it; and without dry friction. */
  readonly rendered: readonly RenderedImpedance[];
  readonly frictionless: readonly RenderedImpedance[];
  /** `renderedInertia` at the same frequencies. */
  readonly inertia: readonly number[];
  /** Hz up to which the stiffness, and the whole of it, is within a tenth. */
  readonly stiffnessBandwidth: number;
  readonly impedanceBandwidth: number;
  /** Largest |z| with each load: below 1 stable. */
  readonly stability: readonly { readonly load: Load; readonly largest: number }[];
  readonly passivity: Passivity;
  /** N·m/rad up to which a spring alone, no damper in the software, is passive. */
  readonly passiveSpring: number;
  readonly encoder: EncoderStep;
}

/** What comes where software takes off a part of the rotor's inertia by measured, filtered motion. */
export interface InertiaTakenOff {
  /** Of the rotor's inertia. */
  readonly share: number;
  readonly inertia: number;
  readonly slow: SlowReading;
  readonly stiffnessBandwidth: number;
  /** Without dry friction, at RENDERED_SHOWN. */
  readonly rendered: RenderedImpedance;
  readonly limit: StableStiffness;
}

/** The same with the limits, which take a search. */
export interface JointImpedance extends AskedImpedance {
  /** Largest stable stiffness by damping of the joint; and the damping that allows most. */
  readonly limits: readonly StableStiffness[];
  readonly best: StableStiffness;
  readonly takenOff: readonly InertiaTakenOff[];
}

const three = (x: number): string => String(Number(x.toPrecision(3)));

/** One joint under an asked spring and damper, or why it cannot be said: what can be told while gains slide. */
export function askedImpedance(
  input: StudyInput,
  joint: DrivenJoint,
  requested: Gains,
  cutoff?: number,
): AskedImpedance | { readonly openBecause: string } {
  const sampled = sampledDrive(input, joint, cutoff);
  if ('openBecause' in sampled) return sampled;
  const software = softwareGains(sampled, requested);
  const drive = input.leg.joints[joint]!;
  if (software === undefined)
    return {
      openBecause: `the gears of the ${joint} yield by themselves, ${three(drive.transmission.torsionalStiffness)} N·m/rad: measured at the motor no software makes the joint as stiff as ${three(requested.stiffness)}`,
    };
  const loads = loadsOf(input, joint);
  const rendering = { requested, software, amplitude: RENDERED_SWING };
  return {
    joint: sampled,
    requested,
    software,
    age: loopAge(sampled),
    slow: slowReading(sampled, software),
    rendered: FREQUENCIES.map((f) => renderedImpedance(sampled, software, f, RENDERED_SWING)),
    frictionless: FREQUENCIES.map((f) => renderedImpedance(sampled, software, f)),
    inertia: FREQUENCIES.map((f) => renderedInertia(sampled, rendering, f)),
    stiffnessBandwidth: stiffnessBandwidth(sampled, rendering),
    impedanceBandwidth: impedanceBandwidth(sampled, rendering),
    stability: loads.flatMap((load) => {
      const loop = loopPolynomial(sampled, load);
      return loop === undefined ? [] : [{ load, largest: slowestRoot(loop, software) }];
    }),
    passivity: passivity(sampled, software),
    passiveSpring: jointStiffness(sampled, largestPassiveStiffness(sampled, 0)),
    encoder: encoderStepTorque(
      sampled,
      software,
      encoderStep(drive.encoder!.bits, sampled.measuredAt, drive.transmission.ratio),
    ),
  };
}

/** The same, and the largest stable stiffness by damping. */
export function jointImpedance(
  input: StudyInput,
  joint: DrivenJoint,
  requested: Gains,
  cutoff?: number,
): JointImpedance | { readonly openBecause: string } {
  const asked = askedImpedance(input, joint, requested, cutoff);
  if ('openBecause' in asked) return asked;
  const loads = loadsOf(input, joint);
  return {
    ...asked,
    limits: DAMPINGS.map((times) => stableStiffness(asked.joint, loads, times * requested.damping)),
    best: bestStableStiffness(asked.joint, loads),
    takenOff: TAKEN_OFF.map((share) => inertiaTakenOff(asked, loads, share)),
  };
}

function inertiaTakenOff(
  { joint, requested, software }: AskedImpedance,
  loads: readonly Load[],
  share: number,
): InertiaTakenOff {
  const inertia = share * joint.rotorInertia;
  return {
    share,
    inertia,
    slow: slowReading(joint, software, inertia),
    stiffnessBandwidth: stiffnessBandwidth(joint, {
      ...{ requested, software, amplitude: RENDERED_SWING, compensated: inertia },
    }),
    rendered: renderedImpedance(joint, software, RENDERED_SHOWN, undefined, inertia),
    limit: stableStiffness(joint, loads, requested.damping, inertia),
  };
}

/** Burden of one joint behind one ratio, motor and gears kept; and the worse mismatch of a constant CONSTANT_ERROR off either way. */
export interface RatioBurden {
  readonly ratio: number;
  readonly burden: StanceBurden;
  readonly withConstantError: number;
}

/** Tuning burden of one task's stance against the ratio, the leg's own among those `compared`. Empty where the task has no curve of the joint. */
export function burdenByRatio(
  input: StudyInput,
  design: DesignResult,
  joint: DrivenJoint,
  task: string,
  compared: readonly number[] = BURDEN_RATIOS,
): readonly RatioBurden[] {
  const drive = input.leg.joints[joint];
  const demand = design.demands[task];
  if (drive === undefined || demand === undefined) return [];
  const own = drive.transmission.ratio;
  const ratios = [...new Set([...compared, own])].sort((a, b) => a - b);
  return ratios.flatMap((ratio) => {
    const there = { ...drive, transmission: { ...drive.transmission, ratio } };
    const burden = stanceBurden(there, demand, joint);
    if (burden === undefined) return [];
    const off = [CONSTANT_ERROR, -CONSTANT_ERROR].map(
      (error) => stanceBurden(there, demand, joint, error)!.mismatch,
    );
    return [{ ratio, burden, withConstantError: Math.max(...off) }];
  });
}

/** Ratios at which the burden is compared. Our choice: from a low one to one of old. */
const BURDEN_RATIOS = [9, 22, 50, 100] as const;
