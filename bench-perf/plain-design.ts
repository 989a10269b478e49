import type { DrivenJoint, JointDemand, JointDrive, StrideDemand } from '@striderule/engine';

/** What the plain version tells of one task and joint. */
export interface PlainLoad {
  readonly peakTorque: number;
  readonly rmsTorque: number;
  readonly peakCurrent: number;
  readonly speedMargin: number;
}

interface Instant {
  readonly angle: number;
  readonly velocity: number;
  readonly acceleration: number;
  readonly moment: number;
}

/**
 * Motor load written as one would write it first: an object an instant, a closure an idea, a new list a step. The same
 * arithmetic as docs/drive.md#motor-torque, written out again from the formulas; the speed measurements stand beside it.
 */
export function plainLoad(drive: JointDrive, asked: JointDemand, busVoltage: number): PlainLoad {
  const { motor, transmission: gear, parallelSpring: spring } = drive;
  const constant = 1.5 * motor.polePairs * motor.fluxLinkage;
  const saturation = motor.saturationCurrent ?? Number.POSITIVE_INFINITY;
  const phaseVoltage =
    drive.voltageMargin * (drive.modulation === 'sine' ? busVoltage / 2 : busVoltage / Math.sqrt(3));

  const instants: Instant[] = Array.from(asked.angle, (angle, k) => ({
    angle,
    velocity: asked.velocity[k]!,
    acceleration: asked.acceleration[k]!,
    moment: asked.moment[k]!,
  }));
  const springMoment = ({ angle }: Instant): number =>
    spring !== undefined && angle >= spring.engaged.from && angle <= spring.engaged.to
      ? -spring.stiffness * (angle - spring.equilibrium)
      : 0;
  const outputFriction = ({ velocity }: Instant): number =>
    Math.sign(velocity) * (gear.outputCoulomb + gear.outputViscous * Math.abs(velocity));
  const throughGears = (at: Instant): number =>
    at.moment - springMoment(at) + gear.outputInertia * at.acceleration + outputFriction(at);
  const atShaft = (torque: number, { velocity }: Instant): number =>
    torque * velocity < 0
      ? (torque * gear.backDrivenEfficiency) / gear.ratio
      : torque / (gear.ratio * gear.drivingEfficiency);
  const motorDrag = ({ velocity }: Instant): number =>
    Math.sign(velocity) * (motor.coulombDrag + motor.viscousDrag * gear.ratio * Math.abs(velocity));
  const rotor = ({ acceleration }: Instant): number =>
    gear.ratio * (motor.rotorInertia + gear.inputInertia) * acceleration;
  const motorTorque = (at: Instant): number => rotor(at) + motorDrag(at) + atShaft(throughGears(at), at);
  const currentOf = (torque: number): number => {
    const share = torque / (constant * saturation);
    return Math.abs(share) < 1 ? torque / (constant * Math.sqrt(1 - share ** 2)) : Number.NaN;
  };
  const fastest = (current: number): number => {
    const { fluxLinkage: flux, resistance, inductanceQ } = motor;
    const a = inductanceQ ** 2 * current ** 2 + flux ** 2;
    const b = flux * resistance * current;
    const c = resistance ** 2 * current ** 2 - phaseVoltage ** 2;
    return c > 0 ? Number.NaN : (-b + Math.sqrt(b ** 2 - a * c)) / (a * motor.polePairs);
  };

  const torques = instants.map(motorTorque);
  const known = torques.filter((torque) => !Number.isNaN(torque));
  const squares = torques.map((torque) => torque ** 2);
  const peakTorque = known.length === 0 ? Number.NaN : Math.max(...known.map(Math.abs));
  const ends = (squares.at(0)! + squares.at(-1)!) / 2;
  const rmsTorque = Math.sqrt(
    (ends + squares.slice(1, -1).reduce((sum, x) => sum + x, 0)) / (squares.length - 1),
  );
  const margins = instants
    .map((at, k) => ({
      need: Math.abs(gear.ratio * at.velocity),
      torque: torques[k]!,
      direction: Math.sign(at.velocity),
    }))
    .filter(({ need }) => need > 0)
    .map(({ need, torque, direction }) => {
      const limit = Number.isNaN(torque) ? fastest(0) : fastest(currentOf(torque) * (direction < 0 ? -1 : 1));
      return Number.isNaN(limit) ? 0 : limit / need;
    });
  return {
    peakTorque,
    rmsTorque,
    peakCurrent: Math.abs(currentOf(peakTorque)),
    speedMargin: Math.min(...margins),
  };
}

/** All tasks and joints of one design, the plain way. */
export function plainDesign(
  demands: readonly StrideDemand[],
  joints: { readonly [joint in DrivenJoint]?: JointDrive },
  busVoltage: number,
): { readonly [task: string]: { readonly [joint in DrivenJoint]?: PlainLoad } } {
  return Object.fromEntries(
    demands.map((demand) => [
      demand.task.id,
      Object.fromEntries(
        (Object.entries(joints) as [DrivenJoint, JointDrive][]).flatMap(([joint, drive]) => {
          const asked = demand.joints[joint];
          return asked === undefined ? [] : [[joint, plainLoad(drive, asked, busVoltage)]];
        }),
      ),
    ]),
  );
}
