// The whole leg file, all groups, also those that only later stages read. SI after reading; see docs/study-folder.md.
// What is unknown is left out: every field that a stage can do without is optional, and the stage that needs it says so.
import { z } from 'zod';
import { joint, passiveJoint } from './joint-schema.ts';
import { efficiency, interval, notNegative, positive, quantity, share } from './quantity-field.ts';

const length = quantity('length');
const angle = quantity('angle');
const point = z.strictObject({ x: length, z: length });

const segment = z.strictObject({
  length: quantity('length', positive).optional().describe('Proximal to distal joint'),
  mass: quantity('mass', notNegative),
  centre: point.describe('Centre of mass in the segment frame: x forward, z up from the proximal joint'),
  inertia: quantity('moment of inertia', notNegative).describe('About the centre of mass, without rotors'),
  buildHeight: interval('length').optional(),
});

const currentLimit = z
  .union([
    quantity('current', notNegative),
    z
      .array(
        z.strictObject({ temperature: quantity('temperature'), current: quantity('current', notNegative) }),
      )
      .min(2),
  ])
  .describe('One current, or a list of { temperature, current } with rising temperature');

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
      dischargeLimit: currentLimit.optional(),
      chargeLimit: currentLimit.optional(),
      capacity: quantity('charge', positive).optional(),
      usableShare: quantity('pure number', share)
        .optional()
        .describe('Share of the capacity that is used between two charges'),
      capacitance: quantity('capacitance', positive).optional(),
      brakeResistor: z
        .strictObject({
          resistance: quantity('resistance', positive),
          threshold: quantity('voltage', positive),
        })
        .optional(),
      overVoltage: quantity('voltage', positive).optional(),
      converter: z
        .strictObject({
          power: quantity('power', positive).optional(),
          current: quantity('current', positive).optional(),
          efficiency: quantity('pure number', efficiency).optional(),
        })
        .optional()
        .describe('Where one stands between pack and bus: its limits'),
      opensPackOn: z.array(z.string()).optional(),
    })
    .optional(),
  ambientTemperature: quantity('temperature')
    .optional()
    .describe('Warmest air in which the leg is to be used: heat is predicted for it, and for nothing warmer'),
  thighSensor: z
    .strictObject({
      position: point.optional().describe('In the frame of the thigh part: from the hip, x forward, z up'),
      angle: angle
        .optional()
        .describe('Mounting angle of the sensor axis against the thigh, as the thigh turns'),
      roll: angle.optional().describe('Mounting angle about the axis forward'),
      turn: angle.optional().describe('Mounting angle about the axis of the thigh'),
      poseError: quantity('angle', notNegative)
        .optional()
        .describe('By how much the mounting may differ from these angles, about each axis'),
      rate: quantity('frequency', positive),
      gyroNoise: quantity('angular velocity', notNegative)
        .optional()
        .describe('Standard deviation of one sample'),
      accelerometerNoise: quantity('acceleration', notNegative)
        .optional()
        .describe('Standard deviation of one sample'),
      bias: quantity('angular velocity', notNegative).optional().describe('What a gyro at rest reads'),
      drift: quantity('angular velocity', notNegative)
        .optional()
        .describe('How far the bias wanders within a minute'),
      accelerometerBias: quantity('acceleration', notNegative)
        .optional()
        .describe('What an accelerometer reads too much'),
      delay: quantity('time', notNegative).optional(),
      mounting: z
        .strictObject({
          frequency: quantity('frequency', positive),
          damping: quantity('pure number', notNegative),
        })
        .optional()
        .describe(
          'What lies between sensor and thigh, liner and socket: natural frequency and damping ratio of the housing',
        ),
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
