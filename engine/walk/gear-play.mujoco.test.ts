// A general-purpose dynamics engine (MuJoCo, as mujoco-js) as witness of gears with play: a tendon between rotor and joint whose spring has a
// range without force. Its damper would act in the gap as well, so there is none on either side.
import loadMujoco from 'mujoco-js';
import { expect, test } from 'vitest';
import { lossless } from '../drive/test-drive.ts';
import { radFromDeg } from '../quantity/angle.ts';
import { DRIVE, driveState, driveStep, walkDrive } from './walk-drive.ts';

const mj = await loadMujoco();
const STEP = 1e-4;
const I = 0.12;
/** rad by which MuJoCo’s rotor is turned on: the range of a tendon’s spring is all positive. */
const AHEAD = 1;

test('rotor and joint round a gap, driven to and fro for a second, as that engine steps them, 1e-9', () => {
  const backlash = radFromDeg(0.6 as never);
  const bridge = { switchingFrequency: 2e4, onResistance: 3e-3, switchingTime: 6e-8, quiescentPower: 2 };
  const joint = { ...lossless, transmission: { ...lossless.transmission, backlash } };
  const drive = { ...walkDrive(joint, bridge, 500), gearDamping: 0 };
  const { rotorInertia: J, gearStiffness: K, halfPlay: s } = drive;
  mj.FS.writeFile(
    '/play.xml',
    `<mujoco><compiler angle="radian" balanceinertia="false" boundmass="0" boundinertia="0"/>
    <option timestep="${STEP}" gravity="0 0 0" integrator="Euler"/><worldbody>
    <body><joint name="rotor" type="hinge" axis="0 0 1"/><inertial pos="0 0 0" mass="1" diaginertia="${J} ${J} ${J}"/></body>
    <body><joint name="joint" type="hinge" axis="0 0 1"/><inertial pos="0 0 0" mass="1" diaginertia="${I} ${I} ${I}"/></body>
    </worldbody><tendon><fixed stiffness="${K}" springlength="${AHEAD - s} ${AHEAD + s}">
    <joint joint="rotor" coef="1"/><joint joint="joint" coef="-1"/></fixed></tendon></mujoco>`,
  );
  const model = mj.MjModel.loadFromXML('/play.xml');
  const data = new mj.MjData(model);
  data.qpos[0] = AHEAD;
  const state = driveState(drive, drive.referenceTemperature, STEP, 1e-3);
  let [angle, velocity, worst] = [0, 0, 0];
  for (let k = 0; k < 10_000; k++) {
    const ampere = 6 * Math.sin(25 * k * STEP) + 2 * Math.sin(170 * k * STEP);
    state[DRIVE.asked] = state[DRIVE.current] = ampere;
    driveStep(drive, state, angle, velocity);
    velocity += (STEP * state[DRIVE.output]!) / I;
    angle += STEP * velocity;
    data.qfrc_applied[0] = drive.ratio * drive.torqueConstant * ampere;
    mj.mj_step(model, data);
    worst = Math.max(
      worst,
      Math.abs(data.qpos[0] - AHEAD - state[DRIVE.rotor]!),
      Math.abs(data.qpos[1] - angle),
    );
  }
  expect(state[DRIVE.changes]).toBeGreaterThan(6);
  expect(worst).toBeLessThan(1e-9);
  data.delete();
  model.delete();
});
