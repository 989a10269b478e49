import type { Supply } from '../drive/battery.ts';
import type { BrakeResistor } from '../drive/bus-flow.ts';
import type { Bridge } from '../drive/inverter-loss.ts';
import type { EnvelopeConditions } from '../drive/joint-envelope.ts';
import { currentLimitAt } from '../drive/largest-current.ts';
import type { CurrentLimit, JointDrive } from '../drive/leg-drive.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { DRIVEN } from './design.ts';
import type { Leg } from './study-input.ts';

/** Bus and bridges of a leg of which enough is known to speak of energy. */
export interface LegSupply {
  readonly supply: Supply & { readonly chargeLimit: number };
  readonly brake?: BrakeResistor;
  /** The driven joints in the order of `DRIVEN`. */
  readonly joints: readonly {
    readonly joint: DrivenJoint;
    readonly drive: JointDrive;
    readonly bridge: Bridge;
  }[];
}

const BRIDGE = ['switchingFrequency', 'onResistance', 'switchingTime', 'quiescentPower'] as const;

/** The bridge of a joint, or the first field its leg file lacks. */
function bridgeOf({ inverter = {} }: JointDrive): Bridge | (typeof BRIDGE)[number] {
  const { switchingFrequency, onResistance, switchingTime, quiescentPower, deadTime } = inverter;
  if (
    switchingFrequency === undefined ||
    onResistance === undefined ||
    switchingTime === undefined ||
    quiescentPower === undefined
  )
    return BRIDGE.find((name) => inverter[name] === undefined)!;
  return {
    switchingFrequency,
    onResistance,
    switchingTime,
    quiescentPower,
    ...(deadTime !== undefined && { deadTime }),
  };
}

/** A limit of the cells in the air of the leg, or why it is not known. */
function limitOf(
  name: 'chargeLimit' | 'dischargeLimit',
  limit: CurrentLimit,
  air: number,
): number | { readonly openBecause: string } {
  if (typeof limit === 'number') return limit;
  if (Number.isNaN(air))
    return {
      openBecause: `\`bus.${name}\` goes with temperature, and the leg file has no \`ambientTemperature\`: add it`,
    };
  const amperes = currentLimitAt(limit, air);
  return Number.isNaN(amperes)
    ? { openBecause: `\`bus.${name}\` says nothing of air as cold as \`ambientTemperature\`: add an entry` }
    : amperes;
}

/** Bus and bridges of `leg`, or the field that its file must gain before energy can be told. */
export function legSupply(leg: Leg): LegSupply | { readonly openBecause: string } {
  const driven = DRIVEN.filter((joint) => leg.joints[joint] !== undefined);
  if (driven.length === 0) return { openBecause: 'the leg drives no joint' };
  const { bus, busVoltage, ambientTemperature } = leg;
  if (bus?.resistance === undefined)
    return {
      openBecause: 'the leg file has no `bus.resistance`, so how far the bus sags is not known: add it',
    };
  if (bus.chargeLimit === undefined)
    return {
      openBecause:
        'the leg file has no `bus.chargeLimit`, so what the cells take back is not known: add it, 0 A where they may take nothing',
    };
  const chargeLimit = limitOf('chargeLimit', bus.chargeLimit, ambientTemperature);
  if (typeof chargeLimit !== 'number') return chargeLimit;
  const dischargeLimit =
    bus.dischargeLimit && limitOf('dischargeLimit', bus.dischargeLimit, ambientTemperature);
  if (typeof dischargeLimit === 'object') return dischargeLimit;
  const joints: LegSupply['joints'][number][] = [];
  for (const joint of driven) {
    const drive = leg.joints[joint]!;
    const bridge = bridgeOf(drive);
    if (typeof bridge === 'string')
      return {
        openBecause: `the leg file has no \`${bridge}\` in \`electronics\` of the ${joint}, so what its bridge loses is not known: add it`,
      };
    joints.push({ joint, drive, bridge });
  }
  return {
    supply: {
      openCircuitVoltage: busVoltage,
      resistance: bus.resistance,
      chargeLimit,
      ...(dischargeLimit !== undefined && { dischargeLimit }),
    },
    ...(bus.brakeResistor && { brake: bus.brakeResistor }),
    joints,
  };
}

/** Conditions under which to draw a joint's envelope: sag and bridge as far as the leg file knows them, else a stiff bus without loss. */
export function envelopeConditions(leg: Leg, joint: DrivenJoint): EnvelopeConditions {
  const known = legSupply(leg);
  if ('openBecause' in known) return { supply: { openCircuitVoltage: leg.busVoltage, resistance: 0 } };
  const bridge = known.joints.find((own) => own.joint === joint)?.bridge;
  return { supply: known.supply, ...(bridge !== undefined && { bridge }) };
}
