// A general-purpose dynamics engine (MuJoCo, as mujoco-js) as witness of a walk under way: at instants of a closed-loop run its inverse
// dynamics of our motion must ask for just the forces that drives, ground, hip, guide and other leg put in.
import { openStudy } from '@striderule/store';
import loadMujoco from 'mujoco-js';
import { expect, test } from 'vitest';
import type { Segment } from '../gait/stride.ts';
import { GROUND } from '../walk/sole-contact.ts';
import { drawn } from '../walk/test-leg.ts';
import { COURSE, COURSE_WIDTH } from '../walk/walk-course.ts';
import { walkRoom } from '../walk/walk-room.ts';
import { walkSteps } from '../walk/walk-step.ts';
import { walkTick } from '../walk/walk-tick.ts';
import { walkPlan } from './walk-plan.ts';

const mj = await loadMujoco();
const { input } = await openStudy(new URL('../../examples/tern', import.meta.url).pathname);

const inertial = ({ mass, centre, inertia }: Segment) =>
  `<inertial pos="${centre.x} 0 ${centre.z}" mass="${mass}" diaginertia="${inertia} ${inertia} ${inertia}"/>`;

test.each(['prescribed', 'led'] as const)(
  '20 drawn instants of a walk with the thigh %s: inverse dynamics to 1e-8 of the largest force',
  (thigh) => {
    const plan = walkPlan(input, { speed: 1.1, thigh });
    if ('openBecause' in plan) throw new Error(plan.openBecause);
    const { leg } = plan.setup;
    mj.FS.writeFile(
      '/walking.xml',
      `<mujoco><compiler angle="radian" inertiafromgeom="false" balanceinertia="false" boundmass="0" boundinertia="0"/>
    <option gravity="0 0 -${leg.gravity}"><flag contact="disable"/></option><worldbody><body><joint type="slide" axis="1 0 0"/>
    <joint type="slide" axis="0 0 1"/><inertial pos="0 0 0" mass="${leg.body}" diaginertia="1 1 1"/>
    <body><joint type="hinge" axis="0 -1 0"/>${inertial(leg.thigh)}
    <body pos="0 0 ${-leg.thigh.length}"><joint type="hinge" axis="0 1 0" armature="${leg.kneeOutputInertia}"/>${inertial(leg.shank)}
    <body pos="0 0 ${-leg.shank.length}"><joint type="hinge" axis="0 -1 0" armature="${leg.ankleOutputInertia}"/>${inertial(leg.foot)}
    </body></body></body></body></worldbody></mujoco>`,
    );
    const model = mj.MjModel.loadFromXML('/walking.xml');
    const data = new mj.MjData(model);
    const room = walkRoom(plan.setup, 1e-4, 3);
    const random = drawn(thigh.length);
    const wanted = new Set(Array.from({ length: 20 }, () => Math.floor(4000 + random() * 20_000)));
    let [seen, standing] = [0, 0];
    for (let n = 0; n < 24_000; n++) {
      if (n % room.perTick === 0) walkTick(room);
      const [q, v] = [Float64Array.from(room.q), Float64Array.from(room.v)];
      walkSteps(room, 1);
      if (!wanted.has(n)) continue;
      data.qpos.set(q);
      data.qvel.set(v);
      data.qacc.set(room.a);
      // what is prescribed has moved on to the next step; its acceleration of this one is in the course
      const at = ((room.first + n) % room.course.steps) * COURSE_WIDTH;
      data.qacc[0] = room.course.table[at + COURSE.xAcceleration]!;
      if (room.prescribed) data.qacc[2] = room.course.table[at + COURSE.thighAcceleration]!;
      mj.mj_inverse(model, data);
      const largest = Math.max(...room.force.map(Math.abs));
      for (let k = 0; k < 5; k++)
        expect(Math.abs(data.qfrc_inverse[k]! - room.force[k]! - room.needed[k]!)).toBeLessThan(
          1e-8 * largest,
        );
      seen++;
      if (room.ground[GROUND.up]! > 0) standing++;
    }
    expect(seen).toBe(wanted.size);
    expect(standing).toBeGreaterThan(4);
    expect(standing).toBeLessThan(seen);
    data.delete();
    model.delete();
  },
);
