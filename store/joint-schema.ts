// One driven or passive joint of a leg file: motor, transmission, spring, heat, electronics, sensors.
import { z } from 'zod';
import { efficiency, interval, notNegative, positive, quantity, share } from './quantity-field.ts';

const angle = quantity('angle');
const angles = interval('angle');

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
  continuousCurrent: quantity('current', positive).optional().describe('Peak phase'),
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
  soft: angles.optional().describe('Where the soft stop begins, inside the range'),
  stiffness: quantity('rotational stiffness', positive),
  damping: quantity('rotational damping', notNegative).optional(),
});

export const joint = z.strictObject({
  range: angles.describe('Range of motion, flexion and dorsiflexion positive'),
  direction: z
    .enum(['same', 'opposite'])
    .optional()
    .describe('Whether positive motor rotation flexes (dorsiflexes) the joint, or extends it'),
  endStop: endStop.optional(),
  motor: motorSchema,
  transmission,
  parallelSpring: z
    .strictObject({
      stiffness: quantity('rotational stiffness', positive),
      equilibrium: angle,
      engaged: angles,
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
      stallFactor: quantity('pure number', positive)
        .optional()
        .describe('Loss of the hottest phase at standstill ÷ mean loss of the three'),
    })
    .optional(),
  electronics: z.strictObject({
    modulation: z.enum(['sine', 'spaceVector']),
    voltageMargin: quantity('pure number', share),
    currentLimit: quantity('current', positive).describe('Peak phase'),
    switchingFrequency: quantity('frequency', positive).optional(),
    onResistance: quantity('resistance', positive).optional(),
    switchingTime: quantity('time', positive).optional().describe('Rise and fall together'),
    deadTime: z
      .strictObject({
        time: quantity('time', notNegative),
        diodeVoltage: quantity('voltage', notNegative),
      })
      .optional()
      .describe('Between the two switches of a half bridge, and what the diode takes meanwhile'),
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

export const passiveJoint = z.strictObject({
  range: angles.describe('Range of motion, flexion and dorsiflexion positive'),
  endStop: endStop.optional(),
  stiffness: quantity('rotational stiffness', notNegative).describe('Of the spring above its neutral angle'),
  stiffnessBelow: quantity('rotational stiffness', notNegative).describe(
    'Of the spring below its neutral angle: of a foot, the heel',
  ),
  neutral: angle.describe('Where the spring is without torque'),
  flexionDamping: quantity('rotational damping', notNegative).describe('While it flexes or dorsiflexes'),
  extensionDamping: quantity('rotational damping', notNegative).describe('While it extends or plantarflexes'),
  friction: quantity('torque', notNegative).describe('Dry, either way'),
  extensionAssist: quantity('torque', notNegative).describe('Towards extension, the same at every angle'),
});

export type JointFile = z.output<typeof joint>;
export type MotorFile = z.output<typeof motorSchema>;
