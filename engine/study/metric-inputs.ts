// What metrics read, by path: relative to the joint; `leg.` and `wearer.` paths are absolute.

export const MOTOR = [
  'transmission.ratio',
  'transmission.drivingEfficiency',
  'transmission.backDrivenEfficiency',
  'transmission.inputInertia',
  'transmission.outputInertia',
  'transmission.outputCoulomb',
  'transmission.outputViscous',
  'parallelSpring.stiffness',
  'parallelSpring.equilibrium',
  'motor.rotorInertia',
  'motor.coulombDrag',
  'motor.viscousDrag',
];
export const TORQUE_CURVE = ['motor.fluxLinkage', 'motor.polePairs', 'motor.saturationCurrent'];
export const CURRENT_LIMIT = ['currentLimit', 'motor.peakCurrent', 'motor.demagnetisationCurrent'];
/** What turns motor torque into power at the bus. */
export const BUS = [
  'motor.resistance',
  'inverter.switchingFrequency',
  'inverter.onResistance',
  'inverter.switchingTime',
  'inverter.quiescentPower',
  'inverter.deadTime.time',
  'inverter.deadTime.diodeVoltage',
  'leg.busVoltage',
  'leg.bus.resistance',
  'leg.bus.chargeLimit',
  'leg.bus.brakeResistor.resistance',
  'leg.bus.brakeResistor.threshold',
];
export const PENDULUM = [
  'leg.segments.shank.mass',
  'leg.segments.shank.centre.x',
  'leg.segments.shank.centre.z',
  'leg.segments.shank.length',
  'leg.segments.foot.mass',
  'leg.segments.foot.centre.x',
  'leg.segments.foot.centre.z',
];
export const SEGMENT_INERTIAS = ['leg.segments.shank.inertia', 'leg.segments.foot.inertia'];
export const THERMAL = [
  'leg.ambientTemperature',
  'thermal.windingToHousing',
  'thermal.housingToAmbient',
  'motor.resistance',
  'motor.referenceTemperature',
  'motor.copperCoefficient',
];
export const CAPACITIES = ['thermal.windingCapacity', 'thermal.housingCapacity'];
export const MAGNETS = 'motor.magnetCoefficient';
export const DEMAND = [
  'wearer.mass',
  'wearer.height',
  'leg.segments.thighLength',
  ...PENDULUM,
  ...SEGMENT_INERTIAS,
];

/** First match wins. */
const UNITS: readonly [RegExp, string][] = [
  [/thighSensor\.position\.[xz]$/, 'm'],
  [/thighSensor\.(angle|roll|turn|poseError)$/, 'rad'],
  [/thighSensor\.(rate|mounting\.frequency)$/, 'Hz'],
  [/thighSensor\.(gyroNoise|bias|drift)$/, 'rad/s'],
  [/thighSensor\.accelerometer(Noise|Bias)$/, 'm/s²'],
  [/thighSensor\.mounting\.damping$/, '1'],
  [/[iI]nertia$/, 'kg·m²'],
  [/ratio$|Efficiency$|Margin$|polePairs$/, '1'],
  [/viscousDrag$|outputViscous$/, 'N·m·s/rad'],
  [/Drag$|outputCoulomb$|outputBreakaway$|torqueLimit$/, 'N·m'],
  [/mass$/, 'kg'],
  [/centre\.[xz]$|[lL]ength$|height$/, 'm'],
  [/[hH]eelStiffness$/, 'N/m^1.5'],
  [/foot\.damping$/, 's/m'],
  [/Spring\.stiffness$|Stop\.stiffness$|torsionalStiffness$/, 'N·m/rad'],
  [/Stop\.damping$/, 'N·m·s/rad'],
  [/currentBandwidth$/, 'Hz'],
  [/equilibrium$|range\.(from|to)$/, 'rad'],
  [/[cC]urrent(Limit)?$/, 'A peak phase'],
  [/chargeLimit$/, 'A'],
  [/fluxLinkage$/, 'V·s'],
  [/inductance[DQ]$/, 'H'],
  [/[rR]esistance$/, 'Ω'],
  [/[vV]oltage$|threshold$/, 'V'],
  [/Frequency$/, 'Hz'],
  [/[tT]ime$|[rR]\.(period|delay)$/, 's'],
  [/encoder\.bits$|delayPeriods$/, '1'],
  [/Power$/, 'W'],
  [/capacity$/, 'C'],
  [/usableShare$/, '1'],
  [/capacitance$/, 'F'],
  [/Temperature$|windingLimit$/, 'K'],
  [/ToHousing$|ToAmbient$/, 'K/W'],
  [/Capacity$/, 'J/K'],
  [/Coefficient$/, '1/K'],
];

/** Unit of a number of the study by its path, SI; empty for a word. */
export const inputUnit = (path: string): string => UNITS.find(([pattern]) => pattern.test(path))?.[1] ?? '';
