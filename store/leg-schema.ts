// The whole leg file, all groups, also those that only later stages read. SI after reading; see docs/study-folder.md.
// What is unknown is left out: every field that a stage can do without is optional, and the stage that needs it says so.
import { z } from 'zod';
import { efficiency, notNegative, positive, quantity, share } from './quantity-field.ts';

const length = quantity('length');
const angle = quantity('angle');
const point = z.strictObject({ x: length, z: length });
const interval = z.strictObject({ from: angle, to: angle });

const segment = z.strictObject({
  length: quantity('length', positive).optional().describe('Proximal to distal joint'),
  mass: quantity('mass', notNegative),
  centre: point.describe('Centre of mass in the segment frame: x forward, z up from the proximal joint'),
  inertia: quantity('moment of inertia', notNegative).describe('About the centre of mass, without rotors'),
  buildHeight: z.strictObject({ from: length, to: length }).optional(),
});

const torqueConstant = z
  .strictObject({
    value: quantity('torque constant', positive),
    convention: z.enum(['perPhasePeak', 'perPhaseRms', 'dcEquivalent']),
  })
  .describe('N·m/A with the ampere it belongs to');

/** A motor as written in a leg file; what is left out comes from the catalogue entry it names. */
export const motorSchema = z.strictObject({
  catalogue: z.string().optional().describe('Name in motors/*.csv; fields given here override it'),
  polePairs: z.int().positive().optional(),
  fluxLinkage: quantity('flux linkage', positive).optional(),
  torqueConstant: z
    .union([torqueConstant, z.string(), z.number()])
    .transform((raw, ctx) => {
      if (typeof raw === 'object') return raw;
      ctx.addIssue({
        code: 'custom',
        message: 'a torque constant without its convention is not a constant',
        params: {
          mend: 'Write { value: 22 mN*m/A, convention: … } with perPhasePeak (per peak phase ampere), perPhaseRms (per rms phase ampere) or dcEquivalent (six-step drive)',
        },
      });
      return z.NEVER;
    })
    .optional(),
  speedConstant: quantity('voltage constant', positive)
    .optional()
    .describe('Line-to-line peak volts per rad/s, to check the torque constant'),
  resistance: quantity('resistance', positive).optional().describe('Phase, star'),
  referenceTemperature: quantity('temperature').optional(),
  inductanceD: quantity('inductance', positive).optional(),
  inductanceQ: quantity('inductance', positive).optional(),
  rotorInertia: quantity('moment of inertia', positive).optional(),
  saturationCurrent: quantity('current', positive).optional(),
  copperCoefficient: quantity('temperature coefficient').optional(),
  magnetCoefficient: quantity('temperature coefficient').optional(),
  coulombDrag: quantity('torque', notNegative).optional(),
  viscousDrag: quantity('rotational damping', notNegative).optional(),
  breakawayDrag: quantity('torque', notNegative).optional(),
  cogging: z
    .strictObject({ amplitude: quantity('torque', notNegative), order: z.int().positive() })
    .optional(),
  peakCurrent: quantity('current', positive).optional().describe('Peak phase'),
  continuousTorque: quantity('torque', positive).optional(),
  demagnetisationCurrent: quantity('current', positive).optional(),
  mass: quantity('mass', positive).optional(),
});

const transmission = z.strictObject({
  ratio: quantity('pure number', {
    ok: (x) => x > 0,
    what: 'is no ratio',
    mend: 'A ratio is motor speed ÷ joint speed and above zero',
  }),
  stages: z
    .array(
      z.strictObject({
        kind: z.string(),
        ratio: quantity('pure number', positive),
        teeth: z.record(z.string(), z.int().positive()).optional(),
      }),
    )
    .optional(),
  inputInertia: quantity('moment of inertia', notNegative),
  outputInertia: quantity('moment of inertia', notNegative),
  drivingEfficiency: quantity('pure number', efficiency),
  backDrivenEfficiency: quantity('pure number', efficiency),
  outputCoulomb: quantity('torque', notNegative),
  outputViscous: quantity('rotational damping', notNegative),
  outputBreakaway: quantity('torque', notNegative),
  backlash: quantity('angle', notNegative),
  torsionalStiffness: quantity('rotational stiffness', positive),
  torqueLimit: quantity('torque', positive).optional(),
  mass: quantity('mass', positive).optional(),
});

const endStop = z.strictObject({
  soft: interval.optional(),
  stiffness: quantity('rotational stiffness', positive),
  damping: quantity('rotational damping', notNegative).optional(),
});

const joint = z.strictObject({
  range: interval.describe('Range of motion, flexion and dorsiflexion positive'),
  endStop: endStop.optional(),
  motor: motorSchema,
  transmission,
  parallelSpring: z
    .strictObject({
      stiffness: quantity('rotational stiffness', positive),
      equilibrium: angle,
      engaged: interval,
    })
    .optional(),
  thermal: z
    .strictObject({
      windingToHousing: quantity('thermal resistance', positive),
      housingToAmbient: quantity('thermal resistance', positive),
      windingCapacity: quantity('heat capacity', positive),
      housingCapacity: quantity('heat capacity', positive),
      windingLimit: quantity('temperature'),
      surfaceLimit: quantity('temperature')
        .optional()
        .describe('Touchable surface: your own limit, read from the standard that applies'),
      stallFactor: quantity('pure number', positive).optional(),
    })
    .optional(),
  electronics: z.strictObject({
    modulation: z.enum(['sine', 'spaceVector']),
    voltageMargin: quantity('pure number', share),
    currentLimit: quantity('current', positive).describe('Peak phase'),
    switchingFrequency: quantity('frequency', positive).optional(),
    onResistance: quantity('resistance', positive).optional(),
    switchingTime: quantity('time', positive).optional(),
    currentBandwidth: quantity('frequency', positive).optional(),
    quiescentPower: quantity('power', notNegative).optional(),
    lossOfPower: z
      .strictObject({
        phases: z.enum(['open', 'shorted', 'shortedThrough']),
        resistance: quantity('resistance', positive).optional(),
      })
      .optional(),
  }),
  sensors: z
    .strictObject({
      encoder: z.strictObject({
        side: z.enum(['motor', 'joint', 'both']),
        bits: z.int().positive(),
        delay: quantity('time', notNegative).optional(),
      }),
      load: z
        .strictObject({
          kind: z.string(),
          range: quantity('torque', positive),
          noise: quantity('torque', notNegative),
        })
        .optional(),
    })
    .optional(),
});

const passiveJoint = z.strictObject({
  range: interval,
  damping: quantity('rotational damping', notNegative).optional(),
  stiffness: quantity('rotational stiffness', notNegative).optional(),
});

export const legSchema = z.strictObject({
  name: z.string().min(1),
  version: z.string().min(1),
  notice: z.string().optional(),
  side: z.enum(['left', 'right', 'either']),
  purpose: z.string(),
  segments: z.strictObject({ thighPart: segment, shank: segment, foot: segment }),
  foot: z.strictObject({
    sole: z.array(point).min(2).describe('Points of the rocker in the foot frame, heel to toe'),
    heelStiffness: quantity('contact stiffness', positive).optional(),
    toeStiffness: quantity('contact stiffness', positive).optional(),
    damping: quantity('contact damping', notNegative).optional(),
    heelRise: length.optional(),
  }),
  alignment: z
    .strictObject({
      kneeAxisOffset: length.optional(),
      ankleNeutral: angle.optional(),
      socketFlexion: angle.optional(),
    })
    .optional(),
  residualLimb: z
    .strictObject({
      thighLength: quantity('length', positive).describe('Hip to knee axis as the wearer stands'),
      hipToSocketEnd: quantity('length', positive).optional(),
      anthropometry: z.string().optional(),
      linerMass: quantity('mass', notNegative).optional(),
      socketMass: quantity('mass', notNegative).optional(),
    })
    .describe('What of the thigh belongs to the leg'),
  joints: z.strictObject({ knee: joint.optional(), ankle: joint.optional() }).optional(),
  passiveJoints: z.strictObject({ knee: passiveJoint.optional(), ankle: passiveJoint.optional() }).optional(),
  bus: z
    .strictObject({
      chemistry: z.string().optional(),
      cellsInSeries: z.int().positive().optional(),
      cellsInParallel: z.int().positive().optional(),
      nominalVoltage: quantity('voltage', positive),
      openCircuit: z
        .array(
          z.strictObject({ charge: quantity('pure number', share), voltage: quantity('voltage', positive) }),
        )
        .optional(),
      resistance: quantity('resistance', positive).optional(),
      dischargeLimit: quantity('current', positive).optional(),
      chargeLimit: quantity('current', notNegative).optional(),
      capacity: quantity('charge', positive).optional(),
      capacitance: quantity('capacitance', positive).optional(),
      brakeResistor: z
        .strictObject({
          resistance: quantity('resistance', positive),
          threshold: quantity('voltage', positive),
        })
        .optional(),
      overVoltage: quantity('voltage', positive).optional(),
      opensPackOn: z.array(z.string()).optional(),
    })
    .optional(),
  thighSensor: z
    .strictObject({
      position: point.optional(),
      rate: quantity('frequency', positive),
      gyroNoise: quantity('angular velocity', notNegative).optional(),
      accelerometerNoise: quantity('acceleration', notNegative).optional(),
      bias: quantity('angular velocity', notNegative).optional(),
      drift: quantity('angular velocity', notNegative).optional(),
      delay: quantity('time', notNegative).optional(),
    })
    .optional(),
  axialLoad: z
    .strictObject({
      kind: z.string(),
      range: quantity('force', positive),
      noise: quantity('force', notNegative),
      zeroDrift: quantity('force', notNegative).optional(),
    })
    .optional(),
  controllerHardware: z
    .strictObject({
      period: quantity('time', positive),
      delayPeriods: z.number().nonnegative(),
      numberFormat: z.enum(['float32', 'float64', 'fixed']),
      watchdog: quantity('time', positive).optional(),
      emergencyStop: z.string(),
    })
    .optional(),
  massBudget: z
    .array(
      z.strictObject({
        part: z.string(),
        segment: z.enum(['thighPart', 'shank', 'foot']),
        mass: quantity('mass', notNegative),
        position: point.optional(),
      }),
    )
    .optional(),
  limits: z
    .strictObject({
      torque: quantity('torque', positive).optional(),
      speed: quantity('angular velocity', positive).optional(),
      power: quantity('power', positive).optional(),
      windingTemperature: quantity('temperature').optional(),
      busVoltage: quantity('voltage', positive).optional(),
      socketMoment: quantity('torque', positive).optional(),
    })
    .optional(),
});

/** A leg file after reading: quantities in SI with their spreads. */
export type LegFile = z.output<typeof legSchema>;
export type JointFile = z.output<typeof joint>;
export type MotorFile = z.output<typeof motorSchema>;
