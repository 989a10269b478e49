// A general-purpose dynamics engine (MuJoCo, as mujoco-js) as witness of the free swing. Rotor and gears are the joint's armature,
// viscous drag its damping; both are exact there under Runge–Kutta steps. Its own dry friction (frictionloss) is a soft constraint
// and would not match, so Coulomb friction is applied from outside between the two halves of a step, against the motion of that half swing.
import loadMujoco from 'mujoco-js';
import { expect, test } from 'vitest';
import { rad } from '../quantity/angle.ts';
import { coulombPeak, periodStretch, smallSwing, swingPeaks } from './free-swing.ts';

const mj = await loadMujoco();

/** A pendulum of this mass and length with armature, let go at rest; returns successive |peaks| and the times they come. */
function swing(o: {
  mass: number;
  length: number;
  inertia: number;
  armature: number;
  damping: number;
  coulomb: number;
  gravity: number;
  start: number;
  step: number;
  halves: number;
}) {
  const xml = `<mujoco><compiler angle="radian" inertiafromgeom="false" balanceinertia="false" boundmass="0" boundinertia="0"/>
    <option timestep="${o.step}" gravity="0 0 -${o.gravity}" integrator="RK4"><flag contact="disable"/></option><worldbody><body>
    <joint type="hinge" axis="0 -1 0" armature="${o.armature}" damping="${o.damping}"/>
    <inertial pos="0 0 -${o.length}" mass="${o.mass}" diaginertia="${o.inertia} ${o.inertia} ${o.inertia}"/></body></worldbody></mujoco>`;
  mj.FS.writeFile('/swing.xml', xml);
  const model = mj.MjModel.loadFromXML('/swing.xml');
  const data = new mj.MjData(model);
  data.qpos[0] = o.start;
  const peaks = [o.start];
  const times = [0];
  let falling = o.start > 0 ? -1 : 1;
  for (let k = 0; k < o.halves; k++) {
    data.qfrc_applied[0] = -o.coulomb * falling;
    let x = data.qpos[0];
    let v = data.qvel[0];
    let t = data.time;
    do {
      [x, v, t] = [data.qpos[0], data.qvel[0], data.time];
      mj.mj_step(model, data);
    } while (data.qvel[0] * falling > 0);
    // velocity crosses zero within the last step and is as good as straight there: h = 1e-4 s leaves an angle error of order h³
    const h = data.time - t;
    const a1 = data.qvel[0] - v;
    const share = -v / a1;
    peaks.push(Math.abs(x + h * share * (v + (a1 * share) / 2)));
    times.push(t + h * share);
    // stand at the peak and let go again, so that friction turns exactly there
    data.qpos[0] = x + h * share * (v + (a1 * share) / 2);
    data.qvel[0] = 0;
    data.time = t + h * share;
    falling = -falling;
  }
  data.delete();
  model.delete();
  return { peaks, times };
}

test('rotor as N²·J and viscous drag: our half period and decrement to 1e-6 at a small angle', () => {
  const [mass, length, inertia, g] = [4, 0.25, 0.05, 9.80665];
  const armature = 22 ** 2 * 2.348e-4;
  const p = {
    inertia: inertia + mass * length ** 2 + armature,
    viscous: 0.06,
    coulomb: 0,
    gravity: mass * g * length,
  };
  const theirs = swing({
    mass,
    length,
    inertia,
    armature,
    damping: 0.06,
    coulomb: 0,
    gravity: g,
    start: 1e-4,
    step: 1e-4,
    halves: 4,
  });
  const ours = smallSwing(p);
  const peaks = swingPeaks(p, rad(1e-4));
  for (let k = 1; k <= 4; k++) {
    expect(Math.abs(theirs.times[k] / (k * ours.halfPeriod) - 1)).toBeLessThan(1e-6);
    expect(Math.abs(theirs.peaks[k] / peaks[k] - 1)).toBeLessThan(1e-6);
  }
});

test('a large frictionless swing is slower by the elliptic integral, to 1e-6', () => {
  const [mass, length, g] = [4, 0.25, 9.80665];
  const theirs = swing({
    mass,
    length,
    inertia: 0.05,
    armature: 0.1,
    damping: 0,
    coulomb: 0,
    gravity: g,
    start: 1.2,
    step: 1e-4,
    halves: 2,
  });
  const half = smallSwing({
    inertia: 0.05 + mass * length ** 2 + 0.1,
    viscous: 0,
    coulomb: 0,
    gravity: mass * g * length,
  }).halfPeriod;
  expect(Math.abs(theirs.times[2] / (2 * half * periodStretch(rad(1.2))) - 1)).toBeLessThan(1e-6);
});

test('Coulomb friction: the closed forms of small (DRV-R6) and large swings (DRV-R7), to 1e-6', () => {
  // m·g·l = 12 with g = 12, m·l = 1; J = 0.35
  const setting = {
    mass: 1,
    length: 1,
    inertia: 0.001,
    gravity: 12,
    damping: 0,
    halves: 1,
    coulomb: 0.45,
    step: 1e-4,
  };
  const large = swing({ ...setting, armature: 0.1, start: 1.2 });
  expect(Math.abs(large.peaks[1] - coulombPeak(12, 0.45, rad(1.2)))).toBeLessThan(1e-6);
  const scale = 1e-3;
  const small = swing({
    mass: 0.25,
    length: 1,
    inertia: 1e-6,
    gravity: 48,
    armature: 0.1 - 1e-6,
    damping: 0.2,
    halves: 5,
    coulomb: 0.45 * scale,
    step: 1e-4,
    start: 0.6 * scale,
  });
  const ours = swingPeaks(
    { inertia: 0.35, viscous: 0.2, coulomb: 0.45 * scale, gravity: 12 },
    rad(0.6 * scale),
  );
  ours.forEach((a, k) => {
    expect(Math.abs(small.peaks[k] - a) / scale).toBeLessThan(1e-6);
  });
});
