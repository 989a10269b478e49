import type { Rad } from '../quantity/angle.ts';

/** Star (wye) values at the motor's terminals, amplitude-invariant dq: |i| is the peak phase current. SI units. */
export interface Motor {
  readonly name: string;
  readonly polePairs: number;
  /** λ: peak phase flux linkage at the reference temperature, V·s per electrical radian. */
  readonly fluxLinkage: number;
  /** R: phase resistance at `referenceTemperature`, Ω. */
  readonly resistance: number;
  /** K at which R and λ hold. */
  readonly referenceTemperature: number;
  /** L_d, L_q: H. */
  readonly inductanceD: number;
  readonly inductanceQ: number;
  /** J_m: kg·m² about the motor shaft. */
  readonly rotorInertia: number;
  /** I_s of τ = K·I/√(1+(I/I_s)²), A peak phase. Left out: not known, the motor is taken as linear and says so. */
  readonly saturationCurrent?: number;
  /** Copper temperature coefficient, 1/K. */
  readonly copperCoefficient: number;
  /** Magnet flux temperature coefficient, 1/K (negative). */
  readonly magnetCoefficient: number;
  /** τ_c: constant drag on the shaft, N·m. */
  readonly coulombDrag: number;
  /** b: N·m·s/rad on the shaft. */
  readonly viscousDrag: number;
  /** Breakaway torque of shaft, bearing, seal and cogging together, N·m. */
  readonly breakawayDrag: number;
  /** Zero-mean torque by shaft angle: amplitude N·m, periods per turn. Part of `breakawayDrag`; left out: not known by angle. */
  readonly cogging?: { readonly amplitude: number; readonly order: number };
  /** A, peak phase. */
  readonly peakCurrent: number;
  /** A, peak phase, above which the magnets are hurt at their warmest; left out: not known. */
  readonly demagnetisationCurrent?: number;
  /** N·m that may be held for ever at the rated ambient; left out: not known. */
  readonly continuousTorque?: number;
  /** kg */
  readonly mass: number;
}

/** Teeth of one planetary stage: driven at the sun, carrier out, ring held. */
export interface PlanetaryTeeth {
  readonly sun: number;
  readonly ring: number;
}

/** One reduction between motor and joint. */
export interface Transmission {
  /** N: motor speed ÷ joint speed, > 0. */
  readonly ratio: number;
  /** Gear inertia turning with the motor shaft, kg·m². */
  readonly inputInertia: number;
  /** Gear inertia turning with the joint, kg·m². */
  readonly outputInertia: number;
  /** η_f: power out ÷ power in when the motor drives, 0 < η ≤ 1. */
  readonly drivingEfficiency: number;
  /** η_b: the same when the joint drives the motor. */
  readonly backDrivenEfficiency: number;
  /** Output-side friction: constant N·m, viscous N·m·s/rad, breakaway N·m. */
  readonly outputCoulomb: number;
  readonly outputViscous: number;
  readonly outputBreakaway: number;
  readonly backlash: Rad;
  /** N·m/rad at the joint. */
  readonly torsionalStiffness: number;
  /** N·m at the joint the gears may carry; left out: not known. */
  readonly torqueLimit?: number;
  /** Its stages, the motor's first, where all are planetary with known teeth; left out: not known. */
  readonly planetary?: readonly PlanetaryTeeth[];
}

/** A spring across the joint: τ = −k·(θ − θ0) while θ is within `engaged`. */
export interface ParallelSpring {
  readonly stiffness: number;
  readonly equilibrium: Rad;
  readonly engaged: { readonly from: Rad; readonly to: Rad };
}

/** Two nodes of heat: the winding inside the housing, the housing in the surroundings. */
export interface JointThermal {
  /** R_wh, R_ha: K/W. */
  readonly windingToHousing: number;
  readonly housingToAmbient: number;
  /** C_w, C_h: J/K. */
  readonly windingCapacity: number;
  readonly housingCapacity: number;
  /** Highest winding temperature, K. */
  readonly windingLimit: number;
  /** Touchable surface, K: the laboratory's own limit, read from the standard that applies. Left out: not known. */
  readonly surfaceLimit?: number;
  /** Loss of the hottest phase at standstill ÷ mean of the three, as somebody wrote it: compared with the derived 2, never used. */
  readonly stallFactor?: number;
}

/** The electronics' own losses. Each left out: not known. */
export interface Inverter {
  /** Hz */
  readonly switchingFrequency?: number;
  /** Of one switch, warm: Ω. */
  readonly onResistance?: number;
  /** Rise and fall together, s. */
  readonly switchingTime?: number;
  /** Between the two switches of a half bridge: s, and V of the diode that conducts meanwhile. */
  readonly deadTime?: { readonly time: number; readonly diodeVoltage: number };
  /** W, with nothing asked of it. */
  readonly quiescentPower?: number;
}

/** What the hardware does with the motor's phases when power is lost. */
export interface LossOfPower {
  readonly phases: 'open' | 'shorted' | 'shortedThrough';
  /** Ω per phase, star; only where they are shorted through one. */
  readonly resistance?: number;
}

/** What measures the joint's angle. */
export interface Encoder {
  /** On the motor's shaft, on the joint, or one on each. */
  readonly side: 'motor' | 'joint' | 'both';
  /** Of one turn where it sits. */
  readonly bits: number;
  /** From the angle to its number, s; left out: taken as none. */
  readonly delay?: number;
}

/** Everything the drive stage needs of one driven joint. */
export interface JointDrive {
  readonly motor: Motor;
  readonly transmission: Transmission;
  readonly parallelSpring?: ParallelSpring;
  /** Left out: nothing is known of heat, and nothing is said of it. */
  readonly thermal?: JointThermal;
  /** A peak phase the electronics allow. */
  readonly currentLimit: number;
  /** Share of the ideal linear voltage that remains after dead time and sampling, 0–1, and the modulation. */
  readonly modulation: 'sine' | 'spaceVector';
  readonly voltageMargin: number;
  readonly inverter?: Inverter;
  /** −3 dB of the current loop as built, Hz; left out: not known. */
  readonly currentBandwidth?: number;
  readonly lossOfPower?: LossOfPower;
  readonly encoder?: Encoder;
  /** End stop of the joint: N·m/rad, N·m·s/rad. */
  readonly endStop?: { readonly stiffness: number; readonly damping?: number };
  /** Joint range of motion. */
  readonly range: { readonly from: Rad; readonly to: Rad };
}

/** Battery and bus. SI; each left out: not known. Nominal voltage is the leg's `busVoltage`. */
export interface Bus {
  readonly cellsInSeries?: number;
  readonly cellsInParallel?: number;
  /** Open-circuit voltage by charge left, 0–1. */
  readonly openCircuit?: readonly { readonly charge: number; readonly voltage: number }[];
  /** Pack and leads, Ω. */
  readonly resistance?: number;
  /** A the pack may give and take. */
  readonly dischargeLimit?: CurrentLimit;
  readonly chargeLimit?: CurrentLimit;
  /** C */
  readonly capacity?: number;
  /** Share of the capacity that is used between two charges. */
  readonly usableShare?: number;
  /** F on the bus. */
  readonly capacitance?: number;
  /** Ω, and V at which it switches in. */
  readonly brakeResistor?: { readonly resistance: number; readonly threshold: number };
  /** V that the electronics survive. */
  readonly overVoltage?: number;
}

/** One current at any temperature, or by rising temperature, K. */
export type CurrentLimit = number | readonly { readonly temperature: number; readonly current: number }[];
