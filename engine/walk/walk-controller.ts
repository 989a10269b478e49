/** Places in what the leg's sensors tell its controller each period. Angles rad, rates rad/s, engine signs. */
export const MEASURED = {
  thigh: 0,
  thighRate: 1,
  knee: 2,
  kneeRate: 3,
  ankle: 4,
  ankleRate: 5,
  /** Force along the shank, N, compression positive. */
  load: 6,
  /** K of the windings; V of the bus. */
  kneeWinding: 7,
  ankleWinding: 8,
  bus: 9,
  /** Angles by the encoder on the other side of the gears; NaN where there is none. */
  kneeSecond: 10,
  ankleSecond: 11,
} as const;
export const MEASURED_SIZE = 12;

/** Places in what a controller answers. */
export const COMMAND = {
  /** N·m, engine signs, before mesh and friction. */
  knee: 0,
  ankle: 1,
  /** 0 stance, 1 swing, 2 safe, 3 without power. */
  mode: 2,
  /** Of stance in stance, of the stride in swing. */
  phase: 3,
  /** Where knee and ankle are led in swing, rad; NaN in stance. */
  kneeTarget: 4,
  ankleTarget: 5,
  /** 0: no fault. */
  fault: 6,
  /** 1: the phases of this joint are shorted, whatever the torque. */
  kneeShorted: 7,
  ankleShorted: 8,
  /** What the controller only warns of; 0: nothing. */
  warning: 9,
  /** m/s that the controller goes by; 0: by none. */
  speed: 10,
  /** Number of the state of a controller that has states. */
  state: 11,
  /** rad of slope that the controller goes by by its own reading. */
  slope: 12,
} as const;
export const COMMAND_SIZE = 13;

/**
 * What drives the leg in the walk: measured in, torques out, once each period. It owns its state; `begin` puts it where it stands before
 * its first period, in swing at this stride phase.
 */
export interface WalkController {
  readonly begin: (measured: Float64Array, phase: number) => void;
  readonly tick: (measured: Float64Array, command: Float64Array) => void;
  /** One like it that goes on from here by itself; left out: it cannot. */
  readonly copy?: () => WalkController;
}
