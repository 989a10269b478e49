import { type Bridge, conductionLoss, deadTimeLoss, switchingPerVolt } from '../drive/inverter-loss.ts';
import { largestCurrent } from '../drive/largest-current.ts';
import type { JointDrive, Motor } from '../drive/leg-drive.ts';
import { type PhaseShort, shortTorque } from '../drive/shorted-phases.ts';
import { phaseVoltageLimit } from '../drive/voltage-limit.ts';

/**
 * How stiffly a rotor that sticks holds, N·m/rad at the joint, and the damping of that as a share of the critical one. Our choice: a few times
 * the gears' own stiffness, so that under its dry friction a rotor gives by some hundredths of a degree at the joint before it slips.
 */
const STICK_STIFFNESS = 3000;
const STICK_DAMPING = 0.5;
/** Damping of the gears as a share of the critical one of the rotor on them, the joint held. Our own proposal: teeth, grease and bearings lose little, and no leg file says it. */
const GEAR_DAMPING = 0.05;

/** One driven joint as the walk steps it, every number at the joint unless it says motor. SI. */
export interface WalkDrive {
  readonly ratio: number;
  /** N²·(J_m + J_in): what turns before the mesh. */
  readonly rotorInertia: number;
  /** N²·b, and b_out: N·m·s/rad. */
  readonly rotorViscous: number;
  readonly outputViscous: number;
  /** τ_c,out; and with N·τ_c while it turns, N·τ_s + τ_s,out at most while it stands: N·m. */
  readonly outputCoulomb: number;
  readonly coulomb: number;
  readonly breakaway: number;
  /** N·τ_c and N·τ_s alone, which hold the rotor while no flank touches: N·m. */
  readonly rotorCoulomb: number;
  readonly rotorBreakaway: number;
  /** s: half of the play, rad either way from the middle of the gap. */
  readonly halfPlay: number;
  /** K_g, D_g: N·m/rad, N·m·s/rad between rotor and joint. */
  readonly gearStiffness: number;
  readonly gearDamping: number;
  /** Loss in the mesh ÷ torque that the gears carry: 1/η_f − 1 while the motor drives, 1 − η_b while the joint does. */
  readonly drivingLoss: number;
  readonly backDrivenLoss: number;
  readonly stickStiffness: number;
  readonly stickDamping: number;
  /** K_t cold, N·m/A of the motor, and I_s, A; +∞: linear. */
  readonly torqueConstant: number;
  readonly saturation: number;
  /** A, peak phase. */
  readonly largestCurrent: number;
  /** R cold, Ω; α, 1/K; K at which both constants hold; of the magnets, 1/K. */
  readonly resistance: number;
  readonly copperCoefficient: number;
  readonly referenceTemperature: number;
  readonly magnetCoefficient: number;
  readonly polePairs: number;
  readonly fluxLinkage: number;
  readonly inductance: number;
  /** Phase voltage ÷ bus voltage. */
  readonly voltageShare: number;
  /** 1/s of the current loop: 2π·f. */
  readonly currentRate: number;
  /** k, N·m/rad, θ_0 and where it is engaged, rad; k = 0 without a spring. */
  readonly spring: {
    readonly stiffness: number;
    readonly rest: number;
    readonly from: number;
    readonly to: number;
  };
  readonly bridge: Bridge;
  /** Cold, for what its phases do without power. */
  readonly motor: Motor;
  /** K/W, J/K; left out: temperatures stay. */
  readonly thermal?: {
    readonly windingToHousing: number;
    readonly housingToAmbient: number;
    readonly windingCapacity: number;
    readonly housingCapacity: number;
  };
}

/** A joint's drive for the walk; `currentBandwidth` Hz of its current loop. */
export function walkDrive(drive: JointDrive, bridge: Bridge, currentBandwidth: number): WalkDrive {
  const { motor, transmission: t, parallelSpring } = drive;
  const N = t.ratio;
  const rotorInertia = N * N * (motor.rotorInertia + t.inputInertia);
  return {
    ratio: N,
    rotorInertia,
    rotorViscous: N * N * motor.viscousDrag,
    outputViscous: t.outputViscous,
    outputCoulomb: t.outputCoulomb,
    coulomb: N * motor.coulombDrag + t.outputCoulomb,
    breakaway: N * motor.breakawayDrag + t.outputBreakaway,
    rotorCoulomb: N * motor.coulombDrag,
    rotorBreakaway: N * motor.breakawayDrag,
    halfPlay: t.backlash / 2,
    gearStiffness: t.torsionalStiffness,
    gearDamping: 2 * GEAR_DAMPING * Math.sqrt(t.torsionalStiffness * rotorInertia),
    drivingLoss: 1 / t.drivingEfficiency - 1,
    backDrivenLoss: 1 - t.backDrivenEfficiency,
    stickStiffness: STICK_STIFFNESS,
    stickDamping: 2 * STICK_DAMPING * Math.sqrt(STICK_STIFFNESS * rotorInertia),
    torqueConstant: 1.5 * motor.polePairs * motor.fluxLinkage,
    saturation: motor.saturationCurrent ?? Number.POSITIVE_INFINITY,
    largestCurrent: largestCurrent(drive),
    resistance: motor.resistance,
    copperCoefficient: motor.copperCoefficient,
    referenceTemperature: motor.referenceTemperature,
    magnetCoefficient: motor.magnetCoefficient,
    polePairs: motor.polePairs,
    fluxLinkage: motor.fluxLinkage,
    inductance: motor.inductanceQ,
    voltageShare: phaseVoltageLimit(1, drive),
    currentRate: 2 * Math.PI * currentBandwidth,
    spring: {
      stiffness: parallelSpring?.stiffness ?? 0,
      rest: parallelSpring?.equilibrium ?? 0,
      from: parallelSpring?.engaged.from ?? 0,
      to: parallelSpring?.engaged.to ?? 0,
    },
    bridge,
    motor,
    ...(drive.thermal && { thermal: drive.thermal }),
  };
}

/** Places in the state of a joint's drive. */
export const DRIVE = {
  /** A, peak phase: what flows, and what is asked of the current loop. */
  current: 0,
  asked: 1,
  /** Where a standing rotor holds on, rad at the joint; NaN at first. 1 while it slips. */
  anchor: 2,
  slips: 3,
  /** τ_m, N·m of the motor; on the joint, of gears, output friction and spring, stop left out. */
  motorTorque: 4,
  output: 5,
  /** W: N·τ_m·θ̇_r, what friction and gears take (≤ 0 but for what a standing rotor gives back), of the spring. */
  motorPower: 6,
  frictionPower: 7,
  springPower: 8,
  /** K: winding, housing; and R, K_t there. */
  winding: 9,
  housing: 10,
  resistance: 11,
  constant: 12,
  /** Since the last tick: ∫i² dt, ∫|i| dt, ∫N·τ_m·θ̇_r dt, and what friction took, J. */
  square: 13,
  magnitude: 14,
  work: 15,
  friction: 16,
  /** 0: as asked, 1: held by the largest current, 2: by the bus. */
  limit: 17,
  /** 1 while the bridge does not drive: power is lost, or software shorts the phases; Ω added to each phase then, NaN: open. */
  cut: 18,
  short: 19,
  /** s: of a step; share by which the current follows in one. */
  step: 20,
  follow: 21,
  /** θ_r, θ̇_r: the rotor as seen at the joint, rad, rad/s; and J, of its motion and of the gears that are wound up, before the step. */
  rotor: 22,
  rotorRate: 23,
  stored: 24,
  /** What a step reads of the drive and the stops that it is of, in the names and units of `WalkDrive` and `Stops`; 1/N²J. */
  ratio: 25,
  rotorInertia: 26,
  perInertia: 27,
  rotorViscous: 28,
  outputViscous: 29,
  outputCoulomb: 30,
  coulomb: 31,
  breakaway: 32,
  gearStiffness: 33,
  gearDamping: 34,
  drivingLoss: 35,
  backDrivenLoss: 36,
  stickStiffness: 37,
  stickDamping: 38,
  perSaturation: 39,
  springStiffness: 40,
  springRest: 41,
  springFrom: 42,
  springTo: 43,
  halfPlay: 44,
  rotorCoulomb: 45,
  rotorBreakaway: 46,
  /** Flank that carries, the upper 1, the lower −1, neither 0; and the last that did. */
  flank: 47,
  lastFlank: 48,
  /** Since the last tick: how often the load went over to the other flank; rad/s of the hardest meeting. NaN without play. */
  changes: 49,
  meeting: 50,
  /** 1/(N·K_t) and λ/K_t cold; p·N. */
  perTorque: 51,
  fluxShare: 52,
  electrical: 53,
  inductance: 54,
  voltageShare: 55,
  largestCurrent: 56,
  /** s of a tick, K of the air; N·m and V that `askCurrent` goes by; W and A that `drivePower` tells. */
  period: 57,
  ambient: 58,
  wanted: 59,
  bus: 60,
  watts: 61,
  perVolt: 62,
  /** √(K_g·N²J), N·m·s/rad: torque of a rotor that meets the flank of a held joint, for each rad/s, at most. */
  perMeeting: 63,
} as const;
export const DRIVE_PLACES = 64;

/** R and K_t at the winding's and the housing's temperature; magnets as hot as the housing. */
const warm = (() => {
  // in a scope of its own, as in `walkTick`
  const AT = DRIVE;
  return function warm(drive: WalkDrive, state: Float64Array): void {
    const { referenceTemperature: cold } = drive;
    state[AT.resistance] = drive.resistance * (1 + drive.copperCoefficient * (state[AT.winding] - cold));
    state[AT.constant] = drive.torqueConstant * (1 + drive.magnetCoefficient * (state[AT.housing] - cold));
  };
})();

/** A drive at rest, rotor at 0, winding, housing and air at `temperature`, K, to be stepped by `step` s with ticks of `period` s. */
export function driveState(
  drive: WalkDrive,
  temperature: number,
  step: number,
  period: number,
): Float64Array {
  const state = new Float64Array(DRIVE_PLACES);
  state[DRIVE.period] = period;
  state[DRIVE.ambient] = temperature;
  state[DRIVE.step] = step;
  state[DRIVE.follow] = 1 - Math.exp(-drive.currentRate * step);
  state[DRIVE.anchor] = Number.NaN;
  state[DRIVE.winding] = temperature;
  state[DRIVE.housing] = temperature;
  const { spring } = drive;
  state[DRIVE.ratio] = drive.ratio;
  state[DRIVE.rotorInertia] = drive.rotorInertia;
  state[DRIVE.perInertia] = 1 / drive.rotorInertia;
  state[DRIVE.rotorViscous] = drive.rotorViscous;
  state[DRIVE.outputViscous] = drive.outputViscous;
  state[DRIVE.outputCoulomb] = drive.outputCoulomb;
  state[DRIVE.coulomb] = drive.coulomb;
  state[DRIVE.breakaway] = drive.breakaway;
  state[DRIVE.gearStiffness] = drive.gearStiffness;
  state[DRIVE.gearDamping] = drive.gearDamping;
  state[DRIVE.drivingLoss] = drive.drivingLoss;
  state[DRIVE.backDrivenLoss] = drive.backDrivenLoss;
  state[DRIVE.stickStiffness] = drive.stickStiffness;
  state[DRIVE.stickDamping] = drive.stickDamping;
  state[DRIVE.perSaturation] = 1 / drive.saturation;
  state[DRIVE.springStiffness] = spring.stiffness;
  state[DRIVE.springRest] = spring.rest;
  state[DRIVE.springFrom] = spring.from;
  state[DRIVE.springTo] = spring.to;
  state[DRIVE.halfPlay] = drive.halfPlay;
  state[DRIVE.rotorCoulomb] = drive.rotorCoulomb;
  state[DRIVE.rotorBreakaway] = drive.rotorBreakaway;
  state[DRIVE.perMeeting] = Math.sqrt(drive.gearStiffness * drive.rotorInertia);
  if (drive.halfPlay === 0) state[DRIVE.changes] = state[DRIVE.meeting] = Number.NaN;
  state[DRIVE.perTorque] = 1 / (drive.ratio * drive.torqueConstant);
  state[DRIVE.fluxShare] = drive.fluxLinkage / drive.torqueConstant;
  state[DRIVE.electrical] = drive.polePairs * drive.ratio;
  state[DRIVE.inductance] = drive.inductance;
  state[DRIVE.voltageShare] = drive.voltageShare;
  state[DRIVE.largestCurrent] = drive.largestCurrent;
  warm(drive, state);
  return state;
}

/**
 * One step of a joint's drive: the current follows, the rotor turns behind elastic gears, the mesh loses by the direction of power, dry
 * friction slips or holds.
 *
 *     i ← i + (1 − e^(−2π·f·dt))·(i* − i),   τ_m = K_t·i/√(1 + (i/I_s)²)
 *     φ = θ_r − θ,   δ = φ ∓ s beyond the gap |φ| < s, 0 in it
 *     τ_g = K_g·δ + D_g·φ̇,   0 where δ = 0 or that has not the sign of δ
 *     T = τ_g + τ_c,out·sgn θ̇_r,   friction ≤ N·τ_c + τ_c,out + |T|·(T·θ̇_r > 0 ? 1/η_f − 1 : 1 − η_b)
 *     N²J·θ̈_r = N·τ_m − τ_g − N²b·θ̇_r − friction,   θ̇_r ← θ̇_r + dt·θ̈_r,   θ_r ← θ_r + dt·θ̇_r
 *     output = τ_g − b_out·θ̇ + spring
 *
 * `angle` and `velocity`: θ, θ̇ of the joint. Loss in the mesh is friction that grows with load, so that a loaded rotor at rest sticks.
 * Friction is an anchor with a spring and damper that slips at its cap, as under the sole; at rest the breakaway torque stands in the place of
 * τ_c. All of it acts on the rotor, that of the output too, which rests with the mesh while no flank carries: the rotor then flies against its
 * own alone. A dead zone whose flanks push and never pull, as end stops do: such models are surveyed in Nordin & Gutman, Automatica 38 (2002)
 * 1633, FROM MEMORY. With s = 0 both flanks touch, and the damper acts both ways. Without power the torque is that of the phases as
 * `cutPower` left them, steady and of a cold motor, and nothing flows on the bus. Nothing is allocated.
 */
export const driveStep = (() => {
  // in a scope of its own, as in `walkTick`
  const AT = DRIVE;
  return function driveStep(drive: WalkDrive, state: Float64Array, angle: number, velocity: number): void {
    const dt = state[AT.step];
    const rotor = state[AT.rotor];
    const rate = state[AT.rotorRate];
    let torque: number;
    const powered = state[AT.cut] === 0;
    if (powered) {
      const current = state[AT.current] + state[AT.follow] * (state[AT.asked] - state[AT.current]);
      state[AT.current] = current;
      const share = current / drive.saturation;
      torque = (state[AT.constant] * current) / Math.sqrt(1 + share * share);
      state[AT.square] += current * current * dt;
      state[AT.magnitude] += Math.abs(current) * dt;
    } else {
      const short = state[AT.short];
      torque = Number.isNaN(short) ? 0 : -shortTorque(drive.motor, drive.ratio * rate, short);
    }
    const atJoint = drive.ratio * torque;
    const wound = rotor - angle;
    const winds = rate - velocity;
    const { halfPlay } = drive;
    const pressed = wound > -halfPlay ? (wound < halfPlay ? 0 : wound - halfPlay) : wound + halfPlay;
    const springs = drive.gearStiffness * pressed;
    let damped = drive.gearDamping * winds;
    let gears = springs + damped;
    const slips = state[AT.slips] === 1;
    let dry = slips ? drive.coulomb : drive.breakaway;
    let output = drive.outputCoulomb;
    if (gears * pressed <= 0 && halfPlay > 0) {
      gears = 0;
      damped = -springs;
      dry = slips ? drive.rotorCoulomb : drive.rotorBreakaway;
      output = 0;
    }
    if (gears * state[AT.flank] <= 0 && halfPlay > 0) {
      const flank = Math.sign(gears);
      if (flank * state[AT.lastFlank] < 0) state[AT.changes]++;
      if (flank !== 0) {
        state[AT.meeting] = Math.max(state[AT.meeting], Math.abs(winds));
        state[AT.lastFlank] = flank;
      }
      state[AT.flank] = flank;
    }
    const mesh = rate > 0 ? gears + output : rate < 0 ? gears - output : gears;
    const cap = dry + Math.abs(mesh) * (mesh * rate > 0 ? drive.drivingLoss : drive.backDrivenLoss);
    let anchor = state[AT.anchor];
    if (Number.isNaN(anchor)) anchor = rotor;
    let friction = -drive.stickStiffness * (rotor - anchor) - drive.stickDamping * rate;
    if (friction > cap || friction < -cap) {
      friction = friction > cap ? cap : -cap;
      anchor = rotor + friction / drive.stickStiffness;
      state[AT.slips] = 1;
    } else state[AT.slips] = 0;
    state[AT.anchor] = anchor;
    friction -= drive.rotorViscous * rate;
    const viscous = -drive.outputViscous * velocity;
    const { stiffness, rest, from, to } = drive.spring;
    const spring = stiffness > 0 && angle >= from && angle <= to ? -stiffness * (angle - rest) : 0;
    const takes = friction * rate + viscous * velocity - damped * winds;
    state[AT.motorTorque] = torque;
    state[AT.output] = gears + viscous + spring;
    state[AT.motorPower] = atJoint * rate;
    state[AT.frictionPower] = takes;
    state[AT.springPower] = spring * velocity;
    state[AT.stored] = 0.5 * (drive.rotorInertia * rate * rate + drive.gearStiffness * pressed * pressed);
    if (powered) state[AT.work] += atJoint * rate * dt;
    state[AT.friction] -= takes * dt;
    const next = rate + (dt * (atJoint - gears + friction)) / drive.rotorInertia;
    state[AT.rotorRate] = next;
    state[AT.rotor] = rotor + dt * next;
  };
})();

/** The bridge lets go: the phases are open, or shorted through so many ohms each. */
export function cutPower(state: Float64Array, short: PhaseShort): void {
  state[DRIVE.cut] = 1;
  state[DRIVE.short] = short === 'open' ? Number.NaN : short;
  state[DRIVE.current] = 0;
  state[DRIVE.asked] = 0;
  state[DRIVE.limit] = 0;
}

/**
 * Current asked of the loop for a joint torque that software wants, within what motor, electronics and the bus give:
 *
 *     τ* = torque/N with the constants of a cold motor,   |i| ≤ i_max,   (ω_e·L·i)² + (R·i + ω_e·λ)² ≤ V²,   ω_e = p·N·θ̇_r
 *
 * Where no current keeps within the bus voltage, the one that comes nearest. i_d stays 0. Torque and bus voltage stand in the state, as all
 * numbers of a tick do: those that go from one function to another cost an object each.
 */
export const askCurrent = (() => {
  // in a scope of its own, as in `walkTick`
  const AT = DRIVE;
  return function askCurrent(state: Float64Array): void {
    const torque = state[AT.wanted];
    const most = state[AT.largestCurrent];
    const linear = torque * state[AT.perTorque];
    const share = linear * state[AT.perSaturation];
    const left = 1 - share * share;
    let current = left > 0 ? linear / Math.sqrt(left) : Math.sign(torque) * Number.POSITIVE_INFINITY;
    let limit = 0;
    if (current > most || current < -most) {
      current = current > most ? most : -most;
      limit = 1;
    }
    const R = state[AT.resistance];
    const electrical = state[AT.electrical] * state[AT.rotorRate];
    const reactance = electrical * state[AT.inductance];
    const emf = electrical * state[AT.fluxShare] * state[AT.constant];
    const voltage = state[AT.voltageShare] * state[AT.bus];
    const across = R * current + emf;
    const beside = reactance * current;
    // roots are worked out only where they bind
    if (!(across * across + beside * beside <= voltage * voltage)) {
      const square = reactance * reactance + R * R;
      const middle = (-R * emf) / square;
      const under = middle * middle - (emf * emf - voltage * voltage) / square;
      const reach = under > 0 ? Math.sqrt(under) : 0;
      if (current > middle + reach || current < middle - reach) {
        current = current > middle + reach ? middle + reach : middle - reach;
        limit = 2;
      }
    }
    state[AT.asked] = current;
    state[AT.limit] = limit;
  };
})();

/**
 * W at the bus since the last tick, mean, without what goes with the bus voltage: mechanical, copper and bridge; and what does, A: switching
 * loss ÷ bus voltage. Both into the state.
 */
export const drivePower = (() => {
  // in a scope of its own, as in `walkTick`
  const AT = DRIVE;
  return function drivePower({ bridge }: WalkDrive, state: Float64Array): void {
    const perPeriod = 1 / state[AT.period];
    const square = state[AT.square] * perPeriod;
    const magnitude = state[AT.magnitude] * perPeriod;
    state[AT.watts] =
      state[AT.work] * perPeriod +
      1.5 * state[AT.resistance] * square +
      conductionLoss(bridge, Math.sqrt(square)) +
      deadTimeLoss(bridge, magnitude) +
      bridge.quiescentPower;
    state[AT.perVolt] = switchingPerVolt(bridge, magnitude);
  };
})();

/**
 * Winding and housing over one tick, from the means since the last, and the constants there:
 *
 *     C_w·Ṫ_w = 1.5·R·ī² − (T_w − T_h)/R_wh,   C_h·Ṫ_h = (T_w − T_h)/R_wh + P_friction − (T_h − T_a)/R_ha
 *
 * One Euler step: a tick is a ten-thousandth of the shortest time constant. A turning motor, as in `heatBalance` with equal phases; all
 * friction heats the housing. Then the sums begin anew.
 */
export const driveTick = (() => {
  // in a scope of its own, as in `walkTick`
  const AT = DRIVE;
  return function driveTick(drive: WalkDrive, state: Float64Array): void {
    const h = drive.thermal;
    if (h !== undefined) {
      const period = state[AT.period];
      const flow = (state[AT.winding] - state[AT.housing]) / h.windingToHousing;
      const copper = 1.5 * state[AT.resistance] * state[AT.square];
      const out = (state[AT.housing] - state[AT.ambient]) / h.housingToAmbient;
      state[AT.winding] += (copper - period * flow) / h.windingCapacity;
      state[AT.housing] += (period * (flow - out) + state[AT.friction]) / h.housingCapacity;
      warm(drive, state);
    }
    state[AT.square] = 0;
    state[AT.magnitude] = 0;
    state[AT.work] = 0;
    state[AT.friction] = 0;
    if (drive.halfPlay > 0) {
      state[AT.changes] = 0;
      state[AT.meeting] = 0;
    }
  };
})();
