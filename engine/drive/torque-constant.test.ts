import { expect, test } from 'vitest';
import { torqueOf } from './motor-torque.ts';
import { motor, near } from './test-motor.ts';
import { constantSignature, fluxLinkageFrom, motorConstant, motorConstants } from './torque-constant.ts';

test('DRV-M1 one flux linkage, every data sheet', () => {
  const c = motorConstants(0.007, 14);
  near(c.kePhasePeak, 0.098);
  near(c.keLinePeak, 0.169741);
  near(c.keLineRms, 0.120025);
  near(c.ktPerPhasePeak, 0.147);
  near(c.ktPerPhaseRms, 0.207889);
  near(c.ktSixStep, 0.162091);
  near(c.kvRpm, 56.2581);
  near(motorConstant(c.ktPerPhasePeak, 0.08), 0.424352);
  near(torqueOf(motor, 30), 4.41);
  // second route: torque is electrical power over speed. Three phases of e·i/2 peak each: 3·(pλω)·î/2 ÷ ω
  near(torqueOf(motor, 30), (3 * c.kePhasePeak * 30) / 2, 1e-12);
  // K_t and K_v tied by conversion of units alone: 8.26993, 11.69545, 9.54930 over K_v
  near(c.ktPerPhasePeak * c.kvRpm, 8.26993, 1e-6);
  near(c.ktPerPhaseRms * c.kvRpm, 11.69545, 1e-6);
  near(c.ktDcEquivalent * c.kvRpm, 9.5493, 1e-6);
  for (const [convention, value] of [
    ['perPhasePeak', c.ktPerPhasePeak],
    ['perPhaseRms', c.ktPerPhaseRms],
    ['dcEquivalent', c.ktDcEquivalent],
  ] as const) {
    near(fluxLinkageFrom({ convention, value }, 14), 0.007, 1e-12);
  }
});

// The open test bench of Wiebe and others, J. Open Source Software (2022, paper FROM MEMORY), values as its hardware description
// prints them: 6:1 actuator at 24 V, K_v 100, resistance line to line.
test('DRV-M2 a published 6:1 actuator: printed motor constant, torques, no-load speed', () => {
  const kt = 0.091;
  near(kt / Math.sqrt(0.17), 0.2206, 6e-4); // printed 0.2206, dc-equivalent over √R_LL
  near(motorConstant((Math.sqrt(3) / 2) * kt, 0.17 / 2), kt / Math.sqrt(0.17), 1e-12); // the same by phase values
  near(kt * 12, 1.092);
  near(kt * 24, 2.184);
  near(24 / 0.0954929659, 251.33, 1e-4); // printed 251.2
  near(36 * 6.0719e-5, 2.1859e-3);
  near(0.057e-3 / 0.17, 0.3353e-3);
});

test('DRV-M2c its K_t and K_v disagree by 5 %: below the flag, and the sum is right', () => {
  const fromKv = 9.5492966 / 100;
  const compared = constantSignature(
    { convention: 'dcEquivalent', value: 0.091 },
    { convention: 'rpmPerVolt', value: 100 },
  );
  expect(compared.agrees).toBe(true);
  near(compared.mismatch, 0.091 / fromKv - 1, 1e-6);
  near(fromKv / 0.091 - 1, 0.0494, 2e-2);
});

test('DRV-M2d its printed output of 12 N·m is 0.916 of current × constant × ratio', () => {
  near(24 * 0.091 * 6, 13.104);
  near(12 / (24 * 0.091 * 6), 0.9158);
  near(251.327 / 6, 41.888);
});

test('DRV-M3 the four traps', () => {
  const c = motorConstants(0.007, 14);
  const km = motorConstant(c.ktPerPhasePeak, 0.08);
  const line = 0.16;
  near(c.ktPerPhaseRms / Math.sqrt(line) / km, 1.224745);
  near(c.ktPerPhasePeak / Math.sqrt(0.08) / km, 1.224745);
  near(c.ktPerPhaseRms / Math.sqrt(0.08) / km, 1.732051);
  near(c.ktDcEquivalent / Math.sqrt(0.08) / km, Math.SQRT2);
});

test('DRV-M4 a printed K_v of 300 through a 9:1 reduction gives 0.84 of the printed torque', () => {
  // Grimminger and others, arXiv 1910.00093 (2020), and the open description of its actuator: K_v 300, 12 A, 9:1, 2.5 N·m
  const flux = fluxLinkageFrom({ convention: 'dcEquivalent', value: 9.5492966 / 300 }, 1);
  const kt = motorConstants(flux, 1).ktPerPhasePeak;
  near(kt, 0.0275664);
  near(kt * 12 * 9, 2.97718);
  near(2.5 / (kt * 12 * 9), 0.83972);
});

// Maker's data as the description of a public driver quotes them: 4 N·m at 6.5 A, K_e 0.054–0.057 V/rpm at the output, K_t 0.87 N·m/A.
test('DRV-M5 a published 7.75:1 servo: only rms K_t with a peak ampere fits its own torque', () => {
  const perRpm = 60 / (2 * Math.PI);
  for (const [ke, kt] of [
    [0.054, 0.89315],
    [0.057, 0.94277],
  ] as const)
    near(Math.sqrt(3) * ke * perRpm, kt);
  near((0.87 * 6.5) / Math.SQRT2, 3.99869);
  // were K_e line-to-line peak, K_t per rms ampere would be 0.632–0.667, which the printed 0.87 is not
  near(Math.sqrt(1.5) * 0.054 * perRpm, 0.631554);
  near(Math.sqrt(1.5) * 0.057 * perRpm, 0.666641);
  // and the signature says so of the lower of the two
  const wrong = constantSignature(
    { convention: 'perPhaseRms', value: 0.87 },
    { convention: 'linePeak', value: 0.054 * perRpm },
  );
  expect(wrong.confusion).toContain('a voltage constant that is line-to-line rms, not line-to-line peak');
  expect(
    constantSignature(
      { convention: 'perPhaseRms', value: 0.87 },
      { convention: 'lineRms', value: 0.0555 * perRpm },
    ).agrees,
  ).toBe(true);
});

// λ·p = 0.1 V·s/rad throughout, so K_t is 0.15 per peak and 0.15·√2 per rms ampere, 0.1·√3 dc-equivalent; K_e 0.1·√3 line to line.
const RIGHT = {
  perPhasePeak: 0.15,
  perPhaseRms: 0.15 * Math.SQRT2,
  dcEquivalent: 0.1 * Math.sqrt(3),
} as const;
const KINDS = Object.keys(RIGHT) as (keyof typeof RIGHT)[];

test('a torque constant under any wrong tag is named as what it really is', () => {
  const words = {
    perPhasePeak: 'per peak phase ampere',
    perPhaseRms: 'per rms phase ampere',
    dcEquivalent: 'dc-equivalent',
  };
  for (const tagged of KINDS) {
    for (const really of KINDS) {
      const got = constantSignature(
        { convention: tagged, value: RIGHT[really] },
        { convention: 'linePeak', value: 0.1 * Math.sqrt(3) },
      );
      if (tagged === really) expect(got).toEqual({ agrees: true, mismatch: expect.closeTo(0, 12) });
      else
        expect(got.confusion?.split(', or ')).toContain(
          `a torque constant that is ${words[really]}, not ${words[tagged]}`,
        );
    }
  }
});

test('a ratio with two explanations has both; one that is nobody’s has none', () => {
  const against = { convention: 'linePeak', value: 1 } as const;
  const at = (ratio: number) =>
    constantSignature({ convention: 'perPhasePeak', value: (Math.sqrt(3) / 2) * ratio }, against);
  expect(at(Math.SQRT2).confusion).toBe(
    'a torque constant that is per rms phase ampere, not per peak phase ampere, or a voltage constant that is line-to-line rms, not line-to-line peak',
  );
  expect(at(5)).toEqual({ agrees: false, mismatch: expect.closeTo(4, 12) });
  expect(at(1.079).agrees).toBe(true);
  expect(at(1.081).agrees).toBe(false);
});

test('every kind of constant gives the same flux linkage', () => {
  const c = motorConstants(0.007, 14);
  for (const constant of [
    { convention: 'phasePeak', value: c.kePhasePeak },
    { convention: 'linePeak', value: c.keLinePeak },
    { convention: 'lineRms', value: c.keLineRms },
    { convention: 'rpmPerVolt', value: c.kvRpm },
  ] as const)
    near(fluxLinkageFrom(constant, 14), 0.007, 1e-12);
});

test('an untagged torque constant is refused', () => {
  expect(() => fluxLinkageFrom({ value: 0.022 } as never, 14)).toThrow(
    'A torque constant without its convention is not a constant. Say per which ampere: perPhasePeak (peak phase current), perPhaseRms (rms phase current) or dcEquivalent (six-step drive).',
  );
});
