import {
  constantSignature,
  type DrivenJoint,
  type FaultData,
  type JointDrive,
  type Leg,
  type LegSegments,
  nearestName,
  type Rad,
  type Segment,
  type Spread,
} from '@striderule/engine';
import { busOf } from './bus-of.ts';
import { electronicsOf } from './electronics-of.ts';
import { encoderOf } from './encoder-of.ts';
import type { JointFile, MotorFile } from './joint-schema.ts';
import { legFaults } from './leg-checks.ts';
import type { LegFile } from './leg-schema.ts';
import { lacking, motorOf } from './motor-of.ts';
import { passiveJointsOf } from './passive-joints-of.ts';
import { planetaryOf } from './planetary-of.ts';
import { taker } from './take-quantity.ts';
import { thermalOf } from './thermal-of.ts';
import { thighSensorOf } from './thigh-sensor-of.ts';
import type { YamlFile } from './yaml-file.ts';

/** Makes the engine's leg of a leg file: SI numbers, and the spreads by their path in it. */
export function legOf(
  leg: LegFile,
  file: YamlFile,
  catalogue: ReadonlyMap<string, MotorFile>,
): { leg: Leg | null; spreads: Spread[]; faults: FaultData[] } {
  const faults: FaultData[] = [];
  const spreads: Spread[] = [];
  const fault = (code: string, path: PropertyKey[], what: string, mend: string) =>
    faults.push({ code: `store.${code}`, what, mend, place: file.place(path) });
  const take = taker(spreads);
  const segment = (name: 'thighPart' | 'shank' | 'foot', needsLength: boolean): Segment => {
    const s = leg.segments[name];
    const at = `segments.${name}`;
    if (needsLength && s.length === undefined)
      fault(
        'missing',
        ['segments', name],
        `\`${name}\` has no length`,
        'Add `length:`, proximal to distal joint',
      );
    return {
      length: s.length === undefined ? 0 : take(s.length, `${at}.length`),
      mass: take(s.mass, `${at}.mass`),
      centre: { x: take(s.centre.x, `${at}.centre.x`), z: take(s.centre.z, `${at}.centre.z`) },
      inertia: take(s.inertia, `${at}.inertia`),
    };
  };
  const segments: LegSegments = {
    thighLength: take(leg.residualLimb.thighLength, 'segments.thighLength'),
    thighPart: segment('thighPart', false),
    shank: segment('shank', true),
    foot: segment('foot', false),
    sole: leg.foot.sole.map(({ x, z }) => ({ x: x.si, z: z.si })),
  };
  faults.push(...legFaults(leg, file));

  const joints: { [joint in DrivenJoint]?: JointDrive } = {};
  for (const joint of ['knee', 'ankle'] as const) {
    const written = leg.joints?.[joint];
    if (written === undefined) continue;
    const made = drive(joint, written);
    if (made !== null) joints[joint] = made;
  }
  if (faults.length > 0) return { leg: null, spreads, faults };
  const busVoltage = leg.bus === undefined ? Number.NaN : take(leg.bus.nominalVoltage, 'busVoltage');
  const ambientTemperature =
    leg.ambientTemperature === undefined ? Number.NaN : take(leg.ambientTemperature, 'ambientTemperature');
  return {
    leg: {
      name: leg.name,
      version: leg.version,
      side: leg.side,
      segments,
      joints,
      ...(leg.passiveJoints && { passiveJoints: passiveJointsOf(leg.passiveJoints, take) }),
      busVoltage,
      ...(leg.bus && { bus: busOf(leg.bus, take) }),
      foot: {
        ...(leg.foot.heelStiffness && {
          heelStiffness: take(leg.foot.heelStiffness, 'foot.heelStiffness'),
        }),
        ...(leg.foot.toeStiffness && { toeStiffness: take(leg.foot.toeStiffness, 'foot.toeStiffness') }),
        ...(leg.foot.damping && { damping: take(leg.foot.damping, 'foot.damping') }),
      },
      ...(leg.controllerHardware && {
        controller: {
          period: take(leg.controllerHardware.period, 'controller.period'),
          delayPeriods: leg.controllerHardware.delayPeriods,
        },
      }),
      ...(leg.thighSensor && {
        thighSensor: thighSensorOf(leg.thighSensor, take),
      }),
      ...(leg.axialLoad && { axialLoad: { noise: take(leg.axialLoad.noise, 'axialLoad.noise') } }),
      ambientTemperature,
    },
    spreads,
    faults,
  };

  function drive(joint: DrivenJoint, j: JointFile): JointDrive | null {
    const path = ['joints', joint, 'motor'];
    const named = j.motor.catalogue;
    const entry = named === undefined ? {} : catalogue.get(named);
    if (entry === undefined) {
      const near = nearestName(named!, [...catalogue.keys()]);
      fault(
        'unknown-motor',
        [...path, 'catalogue'],
        `There is no motor \`${named}\` in motors/*.csv`,
        near ? `Did you mean \`${near}\`?` : `Use one of: ${[...catalogue.keys()].join(', ')}`,
      );
      return null;
    }
    // a constant written here goes before the catalogue's, in whichever form that gives it
    const { fluxLinkage: _flux, torqueConstant: _constant, ...others } = entry;
    const own = j.motor.fluxLinkage !== undefined || j.motor.torqueConstant !== undefined;
    const m: MotorFile = { ...(own ? others : entry), ...j.motor };
    const before = faults.length;
    const missing = lacking(m);
    for (const key of missing)
      fault(
        'missing',
        path,
        `\`${key}\` is known neither here nor in the catalogue`,
        `Add \`${key}:\`, marked assumed with its reason if nobody has measured it`,
      );
    if ((m.fluxLinkage === undefined) === (m.torqueConstant === undefined)) {
      const both = m.fluxLinkage !== undefined;
      fault(
        'flux-linkage',
        path,
        both
          ? 'both flux linkage and torque constant are given'
          : 'neither flux linkage nor torque constant is given',
        'Give one of them; the torque constant with its convention',
      );
    }
    if (faults.length > before) return null;
    const constant = m.torqueConstant;
    const motor = motorOf(m, named ?? 'own', `joints.${joint}.motor`, take);
    if (m.speedConstant !== undefined) {
      const stated =
        constant === undefined
          ? ({ convention: 'phasePeak', value: motor.polePairs * motor.fluxLinkage } as const)
          : { convention: constant.convention, value: constant.value.si };
      const check = constantSignature(stated, { convention: 'linePeak', value: m.speedConstant.si });
      if (!check.agrees) {
        fault(
          'constants-disagree',
          [...path, 'speedConstant'],
          `${constant === undefined ? 'flux linkage' : 'torque constant'} and speed constant disagree by ${(100 * check.mismatch).toFixed(0)} %${check.confusion ? `, the mark of ${check.confusion}` : ''}`,
          'Check per which ampere and volt each is given',
        );
      }
    }
    const t = j.transmission;
    const tp = `joints.${joint}.transmission`;
    const spring = j.parallelSpring;
    const planetary = planetaryOf(t.stages);
    return {
      motor,
      transmission: {
        ratio: take(t.ratio, `${tp}.ratio`),
        inputInertia: take(t.inputInertia, `${tp}.inputInertia`),
        outputInertia: take(t.outputInertia, `${tp}.outputInertia`),
        drivingEfficiency: take(t.drivingEfficiency, `${tp}.drivingEfficiency`),
        backDrivenEfficiency: take(t.backDrivenEfficiency, `${tp}.backDrivenEfficiency`),
        outputCoulomb: take(t.outputCoulomb, `${tp}.outputCoulomb`),
        outputViscous: take(t.outputViscous, `${tp}.outputViscous`),
        outputBreakaway: take(t.outputBreakaway, `${tp}.outputBreakaway`),
        backlash: take(t.backlash, `${tp}.backlash`) as Rad,
        torsionalStiffness: take(t.torsionalStiffness, `${tp}.torsionalStiffness`),
        ...(t.torqueLimit && { torqueLimit: take(t.torqueLimit, `${tp}.torqueLimit`) }),
        ...(planetary && { planetary }),
      },
      ...(spring && {
        parallelSpring: {
          stiffness: take(spring.stiffness, `joints.${joint}.parallelSpring.stiffness`),
          equilibrium: take(spring.equilibrium, `joints.${joint}.parallelSpring.equilibrium`) as Rad,
          engaged: { from: spring.engaged.from.si as Rad, to: spring.engaged.to.si as Rad },
        },
      }),
      ...(j.thermal && { thermal: thermalOf(j.thermal, `joints.${joint}.thermal`, take) }),
      currentLimit: take(j.electronics.currentLimit, `joints.${joint}.currentLimit`),
      modulation: j.electronics.modulation,
      voltageMargin: take(j.electronics.voltageMargin, `joints.${joint}.voltageMargin`),
      ...electronicsOf(j.electronics, `joints.${joint}`, take),
      ...(j.sensors && { encoder: encoderOf(j.sensors, `joints.${joint}.encoder`, take) }),
      ...(j.endStop && {
        endStop: {
          stiffness: take(j.endStop.stiffness, `joints.${joint}.endStop.stiffness`),
          ...(j.endStop.damping && { damping: take(j.endStop.damping, `joints.${joint}.endStop.damping`) }),
        },
      }),
      range: { from: j.range.from.si as Rad, to: j.range.to.si as Rad },
    };
  }
}
