import { Fault, type FaultData } from '../quantity/fault.ts';
import type { Stride, StrideCurve } from './stride.ts';

/** Faults of one curve, named by `path`; empty where it can be evaluated everywhere from 0 to 100 %. */
function curveFaults(curve: StrideCurve, path: string): FaultData[] {
  const place = { path };
  if (curve.form === 'series') {
    const whole =
      curve.cos.length === curve.sin.length &&
      [curve.mean, curve.drift, ...curve.cos, ...curve.sin].every(Number.isFinite);
    if (whole) return [];
    return [
      {
        code: 'gait.series-not-whole',
        what: 'A series needs a mean, a drift and as many cosines as sines, all of them numbers',
        mend: 'Fit the curve again',
        place,
      },
    ];
  }
  const { percent, value, periodic } = curve;
  const last = percent.length - 1;
  if (percent.length < 4 || value.length !== percent.length) {
    return [
      {
        code: 'gait.table-too-short',
        what: `A curve needs at least 4 rows with a value each, this has ${percent.length} places and ${value.length} values`,
        mend: 'Give the whole stride, from 0 to 100 %',
        place,
      },
    ];
  }
  const missing = percent.findIndex((p, i) => !Number.isFinite(p) || !Number.isFinite(value[i]));
  if (missing >= 0) {
    return [
      {
        code: 'gait.not-a-number',
        what: `Row ${missing + 1} of ${percent.length} holds no number`,
        mend: 'Fill the gap in the source, or leave the whole column out: a missing value is never made up here',
        place,
      },
    ];
  }
  const stalls = percent.findIndex((p, i) => i > 0 && !(p > percent[i - 1]));
  if (percent[0] !== 0 || percent[last] !== 100 || stalls >= 0) {
    return [
      {
        code: 'gait.table-not-a-stride',
        what:
          stalls >= 0
            ? `Place ${percent[stalls]} % follows ${percent[stalls - 1]} %`
            : `The places run from ${percent[0]} to ${percent[last]} %`,
        mend: 'Give rising places from 0 to 100 % of the stride',
        place,
      },
    ];
  }
  if (periodic && value[0] !== value[last]) {
    return [
      {
        code: 'gait.table-does-not-close',
        what: `The curve is called periodic, and ends at ${value[last]} where it began at ${value[0]}`,
        mend: 'Say `periodic: false`, or average the two ends',
        place,
      },
    ];
  }
  return [];
}

/** Everything wrong with a stride, at most one fault a curve. Empty: it may be sampled. */
export function strideFaults(stride: Stride): FaultData[] {
  const at = `strides.${stride.id}`;
  const faults: FaultData[] = [];
  const joints = Object.entries(stride.joints);
  if (joints.length === 0) {
    faults.push({
      code: 'gait.empty-stride',
      what: 'The stride has no joint',
      mend: 'Give the angle of at least one of hip, knee, ankle',
      place: { path: `${at}.joints` },
    });
  }
  if (!(stride.strideTime > 0 && Number.isFinite(stride.strideTime))) {
    faults.push({
      code: 'gait.stride-time',
      what: `A stride takes a time above 0, not ${stride.strideTime} s`,
      mend: 'Give the time from initial contact to the next of the same foot',
      place: { path: `${at}.strideTime` },
    });
  }
  if (!(stride.stance > 0 && stride.stance < 1)) {
    faults.push({
      code: 'gait.stance',
      what: `Stance is a share of the stride between 0 and 1, not ${stride.stance}`,
      mend: 'Give toe-off as a share of the stride, such as 0.62',
      place: { path: `${at}.stance` },
    });
  }
  for (const [joint, curves] of joints) {
    for (const name of ['angle', 'moment', 'power'] as const) {
      const curve = curves[name];
      if (curve !== undefined) faults.push(...curveFaults(curve, `${at}.joints.${joint}.${name}`));
    }
  }
  if (stride.thigh !== undefined) faults.push(...curveFaults(stride.thigh, `${at}.thigh`));
  for (const way of ['vertical', 'foreAft'] as const) {
    const curve = stride.groundForce?.[way];
    if (curve !== undefined) faults.push(...curveFaults(curve, `${at}.groundForce.${way}`));
  }
  return faults;
}

const whole = new WeakSet<Stride>();

/** Throws one Fault with all of `strideFaults`. A stride is a value, so that one that was whole is not looked at again. */
export function requireWholeStride(stride: Stride): void {
  if (whole.has(stride)) return;
  const faults = strideFaults(stride);
  if (faults.length > 0) throw new Fault(faults);
  whole.add(stride);
}
