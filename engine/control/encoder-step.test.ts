import { expect, test } from 'vitest';
import { encoderStep, encoderStepTorque } from './encoder-step.ts';
import { JOINT } from './test-joint.ts';

const gains = { stiffness: 200, damping: 4 };
const within = (got: number, want: number): void => {
  expect(Math.abs(got / want - 1)).toBeLessThan(1e-6);
};

// arithmetic by an independent script
test('CTL-IMP-5 steps of 14 bits on the motor through 9:1, and of 12 bits on the joint', () => {
  const joint = { ...JOINT, rotorCoulomb: 1.2 };
  const motor = encoderStepTorque(joint, gains, encoderStep(14, 'motor', 9));
  within(motor.step, 4.26105774e-5);
  within(motor.springTorque, 0.00852211549);
  within(motor.plainDampingTorque, 0.17044231);
  within(motor.dampingTorque, 0.0535321515);
  within(motor.quietStiffness, 500);
  const coarse = encoderStepTorque(joint, gains, encoderStep(12, 'joint', 9));
  within(coarse.step, 0.00153398079);
  within(coarse.springTorque, 0.306796158);
  within(coarse.plainDampingTorque, 6.13592315);
  within(coarse.dampingTorque, 1.92715745);
});
