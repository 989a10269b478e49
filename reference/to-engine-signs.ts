import type { JointCurves, StrideCurve } from '@striderule/engine';

/** A joint as its source prints it: degrees; extensor and plantarflexor moments positive. */
export interface PublishedJoint {
  readonly angleDeg: StrideCurve;
  readonly moment?: StrideCurve;
  readonly power?: StrideCurve;
  readonly momentPeakSd?: number;
}

/** The same curve times a factor. */
export function scaledCurve(curve: StrideCurve, factor: number): StrideCurve {
  const by = (x: number) => x * factor;
  if (curve.form === 'table') return { ...curve, value: curve.value.map(by) };
  return {
    form: 'series',
    mean: by(curve.mean),
    drift: by(curve.drift),
    cos: curve.cos.map(by),
    sin: curve.sin.map(by),
  };
}

const RAD_PER_DEG = Math.PI / 180;

/**
 * The one place where published signs become the engine's: a moment is positive along the joint angle it increases, so the
 * literature's extensor and plantarflexor moments turn. Angles (flexion and dorsiflexion positive) and power keep their sign.
 */
export function toEngineSigns(joint: PublishedJoint): JointCurves {
  return {
    angle: scaledCurve(joint.angleDeg, RAD_PER_DEG),
    ...(joint.moment && { moment: scaledCurve(joint.moment, -1) }),
    ...(joint.power && { power: joint.power }),
    ...(joint.momentPeakSd !== undefined && { momentPeakSd: joint.momentPeakSd }),
  };
}
