import type { JointEnergy, StrideEnergy } from './stride-energy.ts';

/** J of one joint over a stride: what passes between it, the bus and the limb, and what it loses on the way. None below zero but `stored`. */
export interface JointBands {
  /** From the bus: out of the cells, and out of the other joint. */
  readonly fromCells: number;
  readonly fromOther: number;
  /** Into the bus: to the other joint, and towards the pack. */
  readonly toOther: number;
  readonly toPack: number;
  /** At the joint: what it gives the limb while τ·θ̇ > 0, and what it takes while τ·θ̇ < 0. */
  readonly delivered: number;
  readonly taken: number;
  readonly copper: number;
  /** Drag of the motor, its iron loss in it. */
  readonly drag: number;
  readonly mesh: number;
  readonly friction: number;
  /** Inverter: conducting, dead time, switching. */
  readonly bridge: number;
  readonly idle: number;
  /** Into rotor, gears and parallel spring less out of them: what a stride's sampling leaves open, and nothing else. */
  readonly stored: number;
}

/** J of a leg over a stride as bands that meet at the bus. */
export interface EnergyBands {
  readonly cellsGive: number;
  readonly cellsTake: number;
  /** In the pack's resistance, while it gives and while it takes. */
  readonly packGiving: number;
  readonly packTaking: number;
  readonly brakeResistor: number;
  /** Burnt in the windings as d current. */
  readonly windings: number;
  readonly joints: readonly JointBands[];
  /** J, the largest gap at any meeting place: rounding and nothing else. */
  readonly residual: number;
}

/**
 * A stride's energy as bands, each place with as much in as out:
 *
 *     pack    cells give = pack's resistance while giving + Σ from cells
 *             Σ to pack = cells take + pack's resistance while taking + brake resistor + windings
 *     joint   from cells + from other + taken = to other + to pack + delivered + losses + stored
 *
 * The pack's two losses are what closes its two lines, and must together be R_b·∫I²; losses of the joints come each by its own formula.
 * `residual` is the largest of these three gaps.
 */
export function energyBands(energy: StrideEnergy): EnergyBands {
  const [toSecond, toFirst] = energy.given;
  const joints = energy.joints.map((joint, k) =>
    k === 0 ? bandsOf(joint, toSecond, toFirst) : bandsOf(joint, toFirst, toSecond),
  );
  const packGiving = energy.drawn - joints.reduce((sum, { fromCells }) => sum + fromCells, 0);
  const packTaking =
    joints.reduce((sum, { toPack }) => sum + toPack, 0) -
    energy.returned -
    energy.brakeResistor -
    energy.windings;
  return {
    cellsGive: energy.drawn,
    cellsTake: energy.returned,
    packGiving,
    packTaking,
    brakeResistor: energy.brakeResistor,
    windings: energy.windings,
    joints,
    residual: Math.max(Math.abs(packGiving + packTaking - energy.packResistance), ...joints.map(gapOf)),
  };
}

const bandsOf = (joint: JointEnergy, toOther: number, fromOther: number): JointBands => ({
  fromCells: joint.drawn - fromOther,
  fromOther,
  toOther,
  toPack: joint.returned - toOther,
  delivered: joint.mechanical + joint.braking.taken,
  taken: joint.braking.taken,
  copper: joint.copper,
  drag: joint.drag,
  mesh: joint.mesh,
  friction: joint.outputFriction,
  bridge: joint.conduction + joint.switching,
  idle: joint.quiescent,
  stored: joint.kinetic + joint.spring,
});

const gapOf = (b: JointBands): number =>
  Math.abs(
    b.fromCells +
      b.fromOther +
      b.taken -
      (b.toOther + b.toPack + b.delivered) -
      (b.copper + b.drag + b.mesh + b.friction + b.bridge + b.idle + b.stored),
  );
