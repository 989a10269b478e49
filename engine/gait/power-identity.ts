import { sampleCurve } from './curve.ts';
import type { Finding } from './recording-check.ts';
import type { StrideCurve } from './stride.ts';

/** How the witness compares with moment × velocity: least-squares slope through the origin, and correlation. */
export interface PowerComparison {
  readonly slope: number;
  readonly r: number;
}

/**
 * A recorded power against moment × angular velocity over one stride:
 *
 *     slope = Σ P·(M·ω) / Σ (M·ω)²,   r = Σ P·(M·ω) / √(Σ P² · Σ (M·ω)²)
 *
 * Both means are taken about zero, since power is zero where either factor is.
 */
export function comparePower(power: ArrayLike<number>, product: ArrayLike<number>): PowerComparison {
  let pq = 0;
  let pp = 0;
  let qq = 0;
  for (let i = 0; i < product.length; i++) {
    pq += power[i] * product[i];
    pp += power[i] ** 2;
    qq += product[i] ** 2;
  }
  return { slope: pq / qq, r: pq / Math.sqrt(pp * qq) };
}

/** Moment × velocity at every half per cent, W/kg. */
export function momentTimesVelocity(
  moment: StrideCurve,
  angle: StrideCurve,
  strideTime: number,
): Float64Array {
  const { slope } = sampleCurve(angle);
  return sampleCurve(moment).value.map((m, i) => (m * slope[i] * 100) / strideTime);
}

/** Slopes that a single slip leaves behind, and its name. Mass in kg; NaN where unknown. */
function signatures(mass: number): readonly { readonly slope: number; readonly what: string }[] {
  return [
    { slope: 180 / Math.PI, what: 'the angle is in radians and read as degrees' },
    { slope: Math.PI / 180, what: 'the angle is in degrees and read as radians' },
    {
      slope: mass,
      what: 'the moment was already divided by body mass, or the power was not',
    },
    {
      slope: 1 / mass,
      what: 'the power was already divided by body mass, or the moment was not',
    },
    { slope: 1000, what: 'the moment is in N·m and read as N·mm' },
    { slope: 1e-3, what: 'the moment is in N·mm and read as N·m' },
  ];
}

/** A slope within this of a signature, relative, bears its name; within it of 1 all is well. Our choice. */
const NEAR = 0.2;
/** Least correlation at which a slope says anything. Our choice; shipped group means reach 0.99. */
const LEAST_R = 0.9;

/** Is the recorded power moment × velocity, and if not, what slip would make it so? */
export function powerFinding(
  joint: string,
  power: ArrayLike<number>,
  product: ArrayLike<number>,
  bodyMass: number | undefined,
): Finding {
  const { slope, r } = comparePower(power, product);
  const base = { id: `power ${joint}`, figure: slope, unit: '1', path: `${joint}.power` };
  const stated = `The ${joint} power is ${Number(slope.toPrecision(3))} × moment × velocity (r ${r.toFixed(2)})`;
  if (!(Math.abs(r) >= LEAST_R)) {
    return { ...base, verdict: 'warns', what: `${stated}: they hardly belong together` };
  }
  const near = (expected: number) => Math.abs(Math.abs(slope) / expected - 1) <= NEAR;
  const slips = signatures(bodyMass ?? Number.NaN)
    .filter((s) => near(s.slope))
    .map((s) => s.what);
  const flipped = slope < 0 ? ['the sign of angle, moment or power is flipped'] : [];
  if (flipped.length === 0 && near(1)) return { ...base, verdict: 'holds', what: stated };
  if (flipped.length === 0 && slips.length === 0) {
    return {
      ...base,
      verdict: 'warns',
      what: `${stated}: no single slip of unit or sign explains it; a stride time off by this factor, or power from all six degrees of freedom, would`,
    };
  }
  return {
    ...base,
    verdict: 'fault',
    what: `${stated}, as if ${[...flipped, ...(slips.length > 0 ? [slips.join(' or ')] : [])].join(' and ')}`,
    mend: `Correct unit or sign of the ${joint} columns in the recipe`,
  };
}
