import { test } from 'vitest';
import { steadyFriction } from './friction.ts';
import { near } from './test-motor.ts';

test('DRV-R8 LuGre, steady sliding', () => {
  const f = steadyFriction(
    { coulomb: 1, breakaway: 1.5, stribeckSpeed: 0.001, bristleStiffness: 1e5, viscous: 0.4 },
    0.002,
  );
  near(f.level, 1.009158, 1e-6);
  near(f.force, 1.009958, 1e-6);
  near(f.bristle, 1.009158e-5, 1e-6);
});
