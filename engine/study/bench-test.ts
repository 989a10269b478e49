/** Bench tests by what they measure; first match wins. Words of the trade. */
const TESTS: readonly [RegExp, string][] = [
  [/motor\.(coulomb|viscous)Drag$/, 'run-down of the motor alone'],
  [/motor\.breakawayDrag$|cogging/, 'breakaway of the motor shaft over a turn'],
  [/Efficiency$/, 'gear loss under load, both directions'],
  [/output(Coulomb|Viscous|Breakaway)$/, 'drag of the output with the motor uncoupled'],
  [/fluxLinkage$/, 'back-EMF of the spun motor'],
  [/motor\.resistance$|copperCoefficient$/, 'phase resistance with its temperature, four wires'],
  [/inductance[DQ]$|saturationCurrent$/, 'inductance and torque against current, rotor locked'],
  [/Inertia$/, 'inertia from acceleration against a known torque'],
  [/thermal\./, 'heat run with the rotor locked, then cooling'],
  [/busVoltage$|^bus\./, 'bus voltage under load, from full to empty'],
  [/torsionalStiffness$|backlash$/, 'twist of the locked output under load'],
  [/inverter\.|currentBandwidth$|lossOfPower/, 'losses and step response of the electronics'],
  [/^segments\./, 'weighing and swinging the segments'],
  [/^foot\./, 'pressing the foot on a load cell'],
  [/^people\./, 'recording strides of this wearer'],
];

/**
 * The bench test that measures the input at `path`, prefixed by its joint; undefined where nothing is to be measured, such as the air
 * the leg is meant for, which is a choice.
 */
export function benchTestOf(path: string): string | undefined {
  const test = TESTS.find(([pattern]) => pattern.test(path))?.[1];
  if (test === undefined) return undefined;
  const joint = path.startsWith('people.') ? undefined : /(?:^|\.)(knee|ankle)(?:\.|$)/.exec(path)?.[1];
  return joint === undefined ? test : `${joint}: ${test}`;
}
