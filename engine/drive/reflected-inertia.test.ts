import { test } from 'vitest';
import { reflectedInertia } from './reflected-inertia.ts';
import { motor, near, transmission } from './test-motor.ts';

// Bjelonic and others, arXiv 2509.06342 (2025), eq. 23, hip drive of a legged robot, N = 5.6: (1.14 rotor + 0.511 sun + 0.00203 planets + 0.00146 shaft)·10⁻² kg·m².
test('DRV-R4 a published decomposition of reflected inertia', () => {
  const rotor = 1.14e-2 / 5.6 ** 2;
  near(rotor, 3.6352e-4);
  const got = reflectedInertia(
    { ...motor, rotorInertia: rotor },
    {
      ...transmission,
      ratio: 5.6,
      inputInertia: 0.511e-2 / 5.6 ** 2,
      outputInertia: 0.00203e-2 + 0.00146e-2,
    },
  );
  near(got, 1.65449e-2);
  near(1.04 / (5.6 * 0.59) ** 2, 0.0952694);
  near(rotor / (0.59 ** 2 / 1.04), 1.08607e-3);
  near(got + 0.503 * 0.273 ** 2 + 1.8e-4 + 8.67e-3, 6.27e-2, 5e-3); // printed 6.27·10⁻² in all
});
