import { expect, test } from 'vitest';
import { legChain } from './leg-chain.ts';
import { walkMotion } from './leg-motion.ts';
import { legTerms, legTermsRoom } from './leg-terms.ts';
import { drawn, TEST_LEG } from './test-leg.ts';
import { motionRoom, solveMotion } from './test-motion.ts';

test.each([true, false])(
  'thigh prescribed %s: the solver written out gives what the plain one gives',
  (prescribed) => {
    const leg = legChain({ ...TEST_LEG, body: 65 });
    const [terms, random] = [legTermsRoom(), drawn(23)];
    const free = prescribed ? Int32Array.of(1, 3, 4) : Int32Array.of(1, 2, 3, 4);
    for (let n = 0; n < 100; n++) {
      const draw = (size: number) => Float64Array.from({ length: 5 }, () => size * (random() - 0.5));
      const [q, v, force, a] = [draw(2), draw(6), draw(500), draw(30)];
      legTerms(leg, q, v, terms);
      const [plain, plainNeeded, needed] = [Float64Array.from(a), new Float64Array(5), new Float64Array(5)];
      solveMotion(terms, force, free, plain, plainNeeded, motionRoom());
      walkMotion(terms, force, prescribed, a, needed);
      const scale = Math.max(...plain.map(Math.abs));
      for (let k = 0; k < 5; k++) {
        expect(Math.abs(a[k]! - plain[k]!)).toBeLessThan(1e-11 * scale);
        expect(Math.abs(needed[k]! - plainNeeded[k]!)).toBeLessThan(1e-9);
      }
    }
  },
);
