import { brakeDuty, largestBrakeResistance } from '../drive/brake-resistor.ts';
import type { BrakingBurst } from '../drive/braking-burst.ts';
import { characteristicCurrent } from '../drive/field-weakening.ts';
import { operation, safeWeakening, sagSpeed } from '../drive/joint-envelope.ts';
import { regenerationLimit } from '../drive/regeneration.ts';
import { motorConstant, motorConstants } from '../drive/torque-constant.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import type { LegSupply } from './leg-supply.ts';
import type { Leg } from './study-input.ts';

/** What one task returns: in one go, and on average where the pack takes nothing, W. */
export interface Returned {
  readonly title: string;
  readonly burst: BrakingBurst;
  readonly mean: number;
}

/** What limits charging, and how fast each joint is on this bus. SI. */
export interface BusFacts {
  readonly openCircuitVoltage: number;
  readonly chargeLimit: number;
  readonly dischargeLimit?: number;
  /** V at the bus while the cells take their limit. */
  readonly chargingVoltage: number;
  readonly resistor?: {
    readonly resistance: number;
    readonly threshold: number;
    /** Whether it switches on before the cells take more than their limit. */
    readonly holdsLimit: boolean;
    /** A into the cells at its threshold. */
    readonly currentAtThreshold: number;
    /** W at its threshold. */
    readonly power: number;
    /** Ω that takes the largest returned power at the threshold, +∞ where nothing returns; and its share of the time on, were all for it. */
    readonly largestResistance: number;
    readonly duty: number;
  };
  readonly joints: {
    readonly [joint in DrivenJoint]?: {
      /** rad/s at the joint without load: on a stiff bus, on this one, and with a weakened field as far as it is safe. */
      readonly stiff: number;
      readonly sagging: number;
      readonly weakened?: number;
      /** A; and the most the joint may carry stands in its leg file. */
      readonly characteristicCurrent: number;
      /** N·m·s/rad: braking with more torque than this times the joint's speed costs energy. */
      readonly regeneration: number;
    };
  };
}

/** Facts of the bus of a leg whose tasks return so much. */
export function busFacts(leg: Leg, known: LegSupply, tasks: readonly Returned[]): BusFacts {
  const { supply, brake } = known;
  const { openCircuitVoltage: E, resistance, chargeLimit, dischargeLimit } = supply;
  const chargingVoltage = E + resistance * chargeLimit;
  const peak = Math.max(0, ...tasks.map(({ burst }) => burst.peak));
  const mean = Math.max(0, ...tasks.map((task) => task.mean));
  return {
    openCircuitVoltage: E,
    chargeLimit,
    ...(dischargeLimit !== undefined && { dischargeLimit }),
    chargingVoltage,
    ...(brake && {
      resistor: {
        ...brake,
        holdsLimit: brake.threshold <= chargingVoltage,
        currentAtThreshold: (brake.threshold - E) / resistance,
        power: brake.threshold ** 2 / brake.resistance,
        largestResistance: largestBrakeResistance(brake.threshold, peak),
        duty: brakeDuty(brake.resistance, brake.threshold, mean),
      },
    }),
    joints: Object.fromEntries(
      known.joints.map(({ joint, drive, bridge }) => {
        const { motor, transmission: t } = drive;
        const o = operation(drive, { supply, bridge });
        const plain = sagSpeed(o, 0, 0);
        const over = leg.bus?.overVoltage;
        const constant = motorConstant(
          motorConstants(motor.fluxLinkage, motor.polePairs).ktPerPhasePeak,
          motor.resistance,
        );
        return [
          joint,
          {
            stiff: sagSpeed({ ...o, supply: { openCircuitVoltage: E, resistance: 0 } }, 0, 0) / t.ratio,
            sagging: plain / t.ratio,
            ...(over !== undefined && {
              weakened: sagSpeed(o, 0, 0, { fastest: safeWeakening(drive, over) }) / t.ratio,
            }),
            characteristicCurrent: characteristicCurrent(motor),
            regeneration: (t.ratio * regenerationLimit(constant, t.ratio).nothing) / t.backDrivenEfficiency,
          },
        ];
      }),
    ),
  };
}
