import { ANKLE, HIP_X, HIP_Z, KNEE, TERM, THIGH } from './leg-terms.ts';
import type { Terrain } from './terrain.ts';

/** Friction coefficient of sole on floor. Our own proposal; rubber on a dry floor has more. */
const FRICTION = 0.8;
/** Stiffness, N/m, and damping, N·s/m, of a point that sticks: 1 mm gives 30 N. Our own proposal. */
const STICK_STIFFNESS = 3e4;
const STICK_DAMPING = 150;

/** A sole of several points on level ground. The arrays have one entry a point, heel to toe. */
export interface Sole {
  /** In the foot frame, m. */
  readonly x: Float64Array;
  readonly z: Float64Array;
  /** k, N/m^1.5. */
  readonly stiffness: Float64Array;
  /** λ, s/m. */
  readonly damping: number;
  readonly friction: number;
  readonly stickStiffness: number;
  readonly stickDamping: number;
}

/** A sole with the leg file's stiffness behind and ahead of the ankle, and friction of our own. */
export function soleOf(
  points: readonly { readonly x: number; readonly z: number }[],
  { heelStiffness, toeStiffness, damping }: { heelStiffness: number; toeStiffness: number; damping: number },
): Sole {
  return {
    x: Float64Array.from(points, ({ x }) => x),
    z: Float64Array.from(points, ({ z }) => z),
    stiffness: Float64Array.from(points, ({ x }) => (x > 0 ? toeStiffness : heelStiffness)),
    damping,
    friction: FRICTION,
    stickStiffness: STICK_STIFFNESS,
    stickDamping: STICK_DAMPING,
  };
}

/**
 * Normal force of one point, N:  F = k·δ^1.5·(1 + λ·δ̇), never pulling.
 *
 * δ depth, m; δ̇ > 0 while sinking, m/s. Hunt & Crossley, J. Applied Mechanics 42 (1975) 440–445 (FROM MEMORY): no jump at touchdown, and
 * none when the point leaves.
 */
export function normalForce(stiffness: number, damping: number, depth: number, sinking: number): number {
  if (!(depth > 0)) return depth <= 0 ? 0 : Number.NaN;
  const force = stiffness * depth * Math.sqrt(depth) * (1 + damping * sinking);
  return Math.max(force, 0);
}

/** Places in what the ground does. */
export const GROUND = {
  /** On the foot, N. */
  forward: 0,
  up: 1,
  /** Σ F_z·x: of the pressure, m·N, x from the hip. */
  pressure: 2,
  /** ΣF·v at the points, W. */
  power: 3,
  /** Lowest point over the ground, and lowest of those ahead of the ankle, m. */
  lowest: 4,
  forefoot: 5,
  /** Of the forces about the hip, N·m counter-clockwise. */
  aboutHip: 6,
  /** Before: how far the ground has gone back, m, and how fast it does, m/s. */
  travel: 7,
  belt: 8,
} as const;

export const groundRoom = (): Float64Array => new Float64Array(9);

/** A place for each point to hold on to; NaN while it is in the air. */
export const anchorsOf = (sole: Sole): Float64Array => new Float64Array(sole.x.length).fill(Number.NaN);

/** Height and slope under one point: written anew before each use. */
const under = new Float64Array(2);

/**
 * What the ground, level or `terrain`, does to the sole: adds its generalised force to `force`, and moves the anchors.
 *
 *     F_z = k·δ^1.5·(1 + λ·δ̇),   F_x = −k_t·(x − x_a) − c_t·ẋ,  |F_x| ≤ μ·F_z;  where that binds, x_a follows so that −k_t·(x − x_a) = F_x
 *
 * x: place of the point on the ground's own ruler, which `ground` says how it goes back; x_a: where the point holds on since it
 * came down. So it sticks without creeping, and the step is not held down by a steep friction law. Anchor with spring and damper: Cundall &
 * Strack, Géotechnique 29 (1979) 47–65 (FROM MEMORY). Virtual work: Q = J_xᵀ·F_x + J_zᵀ·F_z. Nothing is allocated.
 *
 * On `terrain` of height h and slope tan γ at x the same law holds along its normal and its tangent:
 *
 *     δ = (h − z)·cos γ,   F_x = F_t·cos γ − F_n·sin γ,   F_z = F_n·cos γ + F_t·sin γ
 */
export const soleContact = (() => {
  // in a scope of its own, as in `walkTick`
  const LEG = TERM;
  const BY = GROUND;
  return function soleContact(
    sole: Sole,
    q: Float64Array,
    v: Float64Array,
    terms: Float64Array,
    anchors: Float64Array,
    force: Float64Array,
    ground: Float64Array,
    terrain?: Terrain,
  ): void {
    const s = terms[LEG.footSin];
    const c = terms[LEG.footCos];
    const ax = terms[LEG.ankleX];
    const az = terms[LEG.ankleZ];
    const sx = terms[LEG.shankX];
    const sz = terms[LEG.shankZ];
    const travel = ground[BY.travel];
    const belt = ground[BY.belt];
    const from = q[HIP_X] + ax + travel;
    const above = q[HIP_Z] + az;
    const hipX = v[HIP_X];
    const hipZ = v[HIP_Z];
    const w1 = v[THIGH];
    const wk = v[KNEE];
    const wa = v[ANKLE];
    const { x: px, z: pz, stiffness, damping, friction, stickStiffness, stickDamping } = sole;
    let forward = 0;
    let up = 0;
    let pressure = 0;
    let power = 0;
    let lowest = Number.POSITIVE_INFINITY;
    let forefoot = Number.POSITIVE_INFINITY;
    let thigh = 0;
    let knee = 0;
    let ankle = 0;
    for (let i = 0; i < px.length; i++) {
      const r3x = px[i] * c - pz[i] * s;
      const r3z = px[i] * s + pz[i] * c;
      const place = from + r3x;
      let height = above + r3z;
      let sin = 0;
      let cos = 1;
      let tan = 0;
      let secant = 1;
      if (terrain !== undefined) {
        terrain.at(place, under);
        height -= under[0];
        tan = under[1];
        secant = Math.sqrt(1 + tan * tan);
        cos = 1 / secant;
        sin = tan * cos;
      }
      if (height < lowest) lowest = height;
      if (height < forefoot && px[i] > 0) forefoot = height;
      if (height >= 0) {
        anchors[i] = Number.NaN;
        continue;
      }
      const rx = ax + r3x;
      const rz = az + r3z;
      const kx = sx + r3x;
      const kz = sz + r3z;
      const vx = hipX - rz * w1 + kz * wk - r3z * wa;
      const vz = hipZ + rx * w1 - kx * wk + r3x * wa;
      const slip = vx + belt;
      const normal = normalForce(stiffness[i], damping, -height * cos, (tan * slip - vz) * cos);
      let anchor = anchors[i];
      if (Number.isNaN(anchor)) anchor = place;
      let along = -stickStiffness * secant * (place - anchor) - stickDamping * (slip * cos + vz * sin);
      const cap = friction * normal;
      if (along > cap || along < -cap) {
        along = along > cap ? cap : -cap;
        anchor = place + (along * cos) / stickStiffness;
      }
      anchors[i] = anchor;
      const fx = along * cos - normal * sin;
      const fz = normal * cos + along * sin;
      forward += fx;
      up += fz;
      pressure += fz * rx;
      power += fx * vx + fz * vz;
      thigh += rx * fz - rz * fx;
      knee += kz * fx - kx * fz;
      ankle += r3x * fz - r3z * fx;
    }
    force[HIP_X] += forward;
    force[HIP_Z] += up;
    force[THIGH] += thigh;
    force[KNEE] += knee;
    force[ANKLE] += ankle;
    ground[BY.forward] = forward;
    ground[BY.up] = up;
    ground[BY.pressure] = pressure;
    ground[BY.power] = power;
    ground[BY.lowest] = lowest;
    ground[BY.forefoot] = forefoot;
    ground[BY.aboutHip] = thigh;
  };
})();

/** Less vertical force than this, N, and its place says nothing. Our choice. */
const LEAST_FORCE = 20;

/** Centre of pressure ahead of the hip, m:  Σ F_z·x/Σ F_z; NaN below 20 N. */
export const pressureCentre = (ground: Float64Array): number =>
  ground[GROUND.up] >= LEAST_FORCE ? ground[GROUND.pressure] / ground[GROUND.up] : Number.NaN;
