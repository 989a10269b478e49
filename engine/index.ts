// What apps may use, in the order of the tree. The only barrel.

// quantity: units, angles, faults, spreads
export type { Deg, Rad } from './quantity/angle.ts';
export { deg, degFromRad, rad, radFromDeg } from './quantity/angle.ts';
export { KINDS, type Kind } from './quantity/dimension.ts';
export type { FaultData, FaultPlace } from './quantity/fault.ts';
export { Fault, faultSentence, faultText } from './quantity/fault.ts';
export { nearestName } from './quantity/nearest-name.ts';
export { EXAMPLE_UNITS, parseQuantity, parseWidth } from './quantity/parse-quantity.ts';
export { shownUnit } from './quantity/shown-unit.ts';
export type { Spread } from './quantity/spread.ts';
export { spreadDeviation } from './quantity/spread.ts';

// gait: stride -> what this leg must deliver
export { type LeftOut, speedClasses, strideAtSpeed } from './gait/at-speed.ts';
export { curveAt, type SampledCurve, sampleCurve } from './gait/curve.ts';
export type { CutOffChoice } from './gait/cut-off.ts';
export type * from './gait/demand-result.ts';
export { STRIDE_SAMPLES } from './gait/demand-result.ts';
export { gaitDemand } from './gait/demand.ts';
export { GRAVITY } from './gait/inverse-dynamics.ts';
export {
  type LegPose,
  legPose,
  type Point,
  type PosedStride,
  posedStride,
  pressureAhead,
  pressurePoint,
} from './gait/pose.ts';
export type * from './gait/recipe.ts';
export type { RecordingCheck } from './gait/recording-check.ts';
export { type AveragedStrides, openIntake, type RecordingIntake } from './gait/recording-intake.ts';
export { SHOWN_MOMENT_SIGN, shownMoment } from './gait/shown-sign.ts';
export {
  type RecordedSamples,
  type RecordedStride,
  recordingColumns,
  strideFromAverage,
  strideFromRecording,
} from './gait/stride-from-recording.ts';
export type * from './gait/stride.ts';
export type * from './gait/task.ts';
export { type Surface, strideTimeAt } from './gait/temporal-spatial.ts';

// drive: demand -> motor torque, current, back-driving
export { breakawayTorque, dynamicBackDriveTorque } from './drive/back-drive.ts';
export type { CurrentLoop } from './drive/current-loop.ts';
export type { BackDriveOverAngle, BackDriveWay } from './drive/back-drive-angle.ts';
export { BACK_DRIVE_SPEED, type DriveFigures, driveFigures } from './drive/drive-figures.ts';
export { kneePendulum } from './drive/free-swing.ts';
export { type GearPair, gearNoiseDifference, speedNoiseDifference } from './drive/gear-noise.ts';
export type { HeatCourse } from './drive/heat-course.ts';
export type { HeatLoad } from './drive/heat-load.ts';
export type { SteadyHeat } from './drive/steady-heat.ts';
export { type DriveLoad, driveLoad } from './drive/drive-load.ts';
export { type DriveTerms, driveTerms, type JointInstant } from './drive/drive-terms.ts';
export type { ImpedanceResponse } from './drive/impedance-loop.ts';
export {
  type EnvelopeConditions,
  type EnvelopePoint,
  type JointEnvelope,
  jointEnvelope,
} from './drive/joint-envelope.ts';
export { largestCurrent } from './drive/largest-current.ts';
export type * from './drive/leg-drive.ts';
export { motorEnvelope } from './drive/motor-envelope.ts';
export type { EnvelopeMargin } from './drive/envelope-margin.ts';
export { currentFor, torqueOf } from './drive/motor-torque.ts';
export type { PackOpen } from './drive/pack-open.ts';
export { type PeaksLoad, peaksLoad } from './drive/peaks-load.ts';
export type { PositionReach } from './drive/position-reach.ts';
export { reflectedInertia } from './drive/reflected-inertia.ts';
export { type SwingCourse, swingCourse } from './drive/swing-course.ts';
export {
  BACKGROUND_LIMIT,
  backgroundCorrection,
  distanceCorrection,
  type SoundLevels,
  soundLevels,
  soundSensitivity,
} from './drive/sound-level.ts';
export type { TorqueReach } from './drive/torque-bandwidth.ts';
export {
  constantSignature,
  fluxLinkageFrom,
  type MotorConstants,
  motorConstant,
  motorConstants,
  type TorqueConstant,
  type VoltageConstant,
} from './drive/torque-constant.ts';
export { type EnergyBands, energyBands, type JointBands } from './drive/energy-bands.ts';
export type { JointEnergy, StrideEnergy } from './drive/stride-energy.ts';
export type { PhaseShort } from './drive/shorted-phases.ts';
export { PUBLISHED_BACK_DRIVE, type Transparency, TRANSPARENCY_LIMITS } from './drive/transparency.ts';
export { phaseVoltageLimit, speedLimit } from './drive/voltage-limit.ts';

// control: what software renders through this drive, and how the thigh leads swing
export { compensatedLoop } from './control/compensated-loop.ts';
export { type EncoderStep, encoderStep, encoderStepTorque } from './control/encoder-step.ts';
export { type GainGrid, type GainMap, gainMap } from './control/gain-map.ts';
export { type Load, type LoopPolynomial, loopPolynomial } from './control/loop-polynomial.ts';
export { largestStableStiffness, slowestRoot, stable } from './control/loop-stability.ts';
export {
  largestPassiveStiffness,
  type NeededDamping,
  type Passivity,
  passivity,
} from './control/passivity.ts';
export {
  impedanceBandwidth,
  type RenderedImpedance,
  renderedImpedance,
  renderedInertia,
  type SlowReading,
  slowReading,
  stiffnessBandwidth,
} from './control/rendered-impedance.ts';
export { filterPole, type Gains, loopAge, ownDamping, type SampledJoint } from './control/sampled-joint.ts';
export { jointStiffness, softwareGains } from './control/software-gains.ts';
export { type TuningBurden, tuningBurden } from './control/tuning-burden.ts';
export type { ActiveBound, Impedance, ImpedanceBounds } from './control/impedance.ts';
export { equilibriumOf } from './control/impedance.ts';
export { POOR_FIT } from './control/impedance-limits.ts';
export { impedanceAtPhase, type PhaseSchedule } from './control/phase-fit.ts';
export { PUBLISHED_IMPEDANCE, type PublishedImpedance } from './control/published-impedance.ts';
export type { ScheduleEnergy } from './control/schedule-energy.ts';
export {
  OSCILLATOR,
  type OscillatorGains,
  oscillatorStep,
} from './control/adaptive-oscillator.ts';
export {
  derivativePhase,
  derivativePhaseRate,
  integralPhase,
  integralPhaseRate,
  offsetPhaseError,
  pacePhaseError,
} from './control/phase-plane.ts';
export { type PiecewiseMap, piecewisePhase } from './control/piecewise-phase.ts';
export {
  HOLD,
  holdState,
  holdTick,
  type PassCompared,
  type PassMeter,
  passMeter,
  passTick,
} from './control/hand-meters.ts';
export { followHand, HAND_FREQUENCY, HAND_THIGH } from './control/hand-thigh.ts';
export { bernsteinSwing, bernsteinSwingAt, type SwingEnds } from './control/bernstein-swing.ts';
export { splineBasis, splineTrajectory, splineTrajectoryAt } from './control/spline-trajectory.ts';
export { softSaturation } from './control/soft-saturation.ts';
export { type SoleClearance, soleClearance } from './control/sole-clearance.ts';
export { blendOffset } from './control/swing-blend.ts';
export { type SwingMap, type SwingReference, swingMap } from './control/swing-map.ts';
export { beginSwing, SWING, swingState, swingTick, type ToeOffPose } from './control/swing-tick.ts';
export { type SwingTorque, type SwungLeg, swingTorque } from './control/swing-torque.ts';
export { type TaskTrajectory, taskTrajectory, trajectoryForTask } from './control/task-trajectory.ts';
export { LEAST_THIGH_RANGE, playPhase } from './control/thigh-play.ts';
export {
  ATTITUDE,
  type AttitudeGains,
  attitudeGains,
  attitudeState,
  attitudeTick,
} from './control/attitude.ts';
export { SENSOR_ERRORS, type SensedThigh, type SensorError, sensedThigh } from './control/sensed-thigh.ts';
export { WALK, WALK_STATUS, type WalkMap, walkState, walkTick } from './control/walk-estimate.ts';
export { THIGH_SENSOR_LIMITS, type ThighSensor, type WholeSensor } from './control/thigh-sensor.ts';
export { timeWarpError } from './control/time-warp.ts';
export type * from './control/controller.ts';
export { SENSORS, SIGNALS } from './control/controller.ts';
export { type CompiledController, compileController } from './control/compile-controller.ts';
export { checkController, timeToSafe } from './control/check-controller.ts';
export {
  type ControllerState,
  controllerState,
  INPUT,
  OUTPUT,
  OUTPUTS,
} from './control/controller-memory.ts';
export { SLOPE_STATUS, SPEED_STATUS } from './control/speed-memory.ts';
export { controllerTick } from './control/controller-tick.ts';
export { controllerExercise } from './control/controller-exercise.ts';
export { firmwareSizes, firmwareTables, firmwareTableText } from './control/firmware-tables.ts';
export {
  type ControllerLog,
  type Difference,
  type RecordedLog,
  type Replay,
  recordLog,
  replayLog,
  SAME,
} from './control/replay.ts';
export { alongPhase, periodicTrajectory, type Trajectory, trajectoryAt } from './control/trajectory.ts';

// walk: the whole leg with its wearer, step by step
export { type StrideRange, strideRanges } from './walk/stride-ranges.ts';
export {
  type WalkCurves,
  type WalkedJoint,
  type WalkedQuantities,
  type WalkInstant,
  type WalkRecord,
  walkCurves,
  walkInstant,
} from './walk/walk-curves.ts';
export { faultPeriods, LOG, LOG_COLUMNS, LOG_WIDTH, type WalkLog, walkLogRow } from './walk/walk-log.ts';
export { type WalkPart, walkParts } from './walk/walk-parts.ts';
export { type WalkPose, walkGround, walkPose } from './walk/walk-pose.ts';
export type { Scenario } from './walk/walk-scenario.ts';
export type { WalkStride } from './walk/walk-strides.ts';

// evidence: metric + spread -> verdict
export type { Proportion } from './evidence/proportion.ts';
export type * from './evidence/ledger-row.ts';
export type * from './evidence/requirement.ts';

// study: the stages in turn, one record in, one out
export { assistance, type JointAssistance, type MomentFigures } from './study/assistance.ts';
export {
  type Demands,
  type DesignResult,
  evaluateDesign,
  type ScheduleLoad,
  studyDemands,
} from './study/design.ts';
export { evaluateStudy, type StudyResult } from './study/evaluate.ts';
export type { BusFacts } from './study/bus-facts.ts';
export { type NoEnergy, type TaskEnergy, taskEnergy } from './study/energy.ts';
export { type LegEnergy, legEnergy, type TaskReport } from './study/energy-report.ts';
export { envelopeConditions } from './study/leg-supply.ts';
export { type JointHeat, jointHeat, type TaskHeat } from './study/heat.ts';
export { type JointBackDrive, jointBackDrive } from './study/joint-back-drive.ts';
export { type LegPackOpen, legPackOpen, type TaskPackOpen } from './study/leg-pack-open.ts';
export type { CatalogueEntry, Metric } from './study/metric.ts';
export { metricCatalogue } from './study/metrics.ts';
export { torqueMetrics } from './study/torque-metrics.ts';
export { isWalked } from './study/walk-metrics.ts';
export { catalogueEntry, metricNames } from './study/metric-catalogue.ts';
export type * from './study/ratio-candidate.ts';
export { RATIOS, type RatioScan, ratioGrid, ratioScan } from './study/ratio-scan.ts';
export type { SmallestRatio } from './study/smallest-ratio.ts';
export { type LargestRatio, largestRatio } from './study/largest-ratio.ts';
export { movedByRatio } from './study/moved-by-ratio.ts';
export {
  type MostMet,
  metAt,
  mostMet,
  RATIO_ENDS,
  type RatioWindow,
  type RequirementWindow,
} from './study/most-met.ts';
export { openRatioWindows } from './study/ratio-window.ts';
export { type JointBandwidth, jointBandwidth, type TaskCurrent } from './study/bandwidth.ts';
export { type JointEndStop, jointEndStop } from './study/end-stop.ts';
export { type HeldJoint, heldJoint, type Rendered } from './study/held-joint.ts';
export {
  type AskedImpedance,
  askedImpedance,
  burdenByRatio,
  CONSTANT_ERROR,
  type JointImpedance,
  jointImpedance,
  type RatioBurden,
  RENDERED_SHOWN,
} from './study/joint-impedance.ts';
export { type ControlledLeg, controlledLeg } from './study/controlled-leg.ts';
export { controllerFaults } from './study/controller-faults.ts';
export { RENDERED_SWING, SPEED_FILTER, sampledDrive, statedGains } from './study/sampled-drive.ts';
export {
  bestStableStiffness,
  loadsOf,
  type StableStiffness,
  stableStiffness,
} from './study/stable-stiffness.ts';
export type { StanceBurden } from './study/stance-burden.ts';
export { jointTones, type TaskTones } from './study/tones.ts';
export { type LegTouchdown, legTouchdown, TOUCHDOWN_SPEED } from './study/touchdown.ts';
export { LANDS_BENT } from './study/power-lost.ts';
export {
  type JointPowerLoss,
  jointPowerLoss,
  type LossState,
  type LossVerdict,
  SLOW_YIELD,
  type ShortStates,
  shortStates,
  shortTrade,
  type TradeRow,
} from './study/power-loss.ts';
export { type RatioFact, scheduleRatio } from './study/schedule-ratio.ts';
export { overPhaseCurves, type ScheduleCurves, subphaseCurves } from './study/schedule-curves.ts';
export {
  type StanceOfTask,
  type StanceOverPhase,
  type StanceSchedule,
  stanceOverPhase,
  stanceSchedule,
  walkingTasks,
} from './study/stance-schedule.ts';
export { type SpringChoice, type SpringFigures, springChoice } from './study/spring-choice.ts';
export type * from './study/study-input.ts';
export {
  type DrawnBlock,
  openTolerance,
  type RequirementTolerance,
  type Tolerance,
  type TestWorth,
} from './study/tolerance.ts';
export type { UncertainInput } from './study/uncertain-inputs.ts';
export { type SwingClearance, swingClearance } from './study/swing-clearance.ts';
export { type SwingTrajectories, swingAt } from './study/swing-family.ts';
export { type SwingFollow, swingFollow } from './study/swing-follow.ts';
export { STEADY_NOISE, type SwingSteadiness, swingSteadiness } from './study/swing-steadiness.ts';
export { type SwingWhatIf, swingWhatIf } from './study/swing-what-if.ts';
export {
  HAND,
  type HandState,
  type HandSwing,
  handShare,
  handState,
  handSwing,
  handTick,
  liftFoot,
  recordedPlace,
  recordedPose,
} from './study/hand-swing.ts';
export {
  demonstratedThigh,
  type SwingDemonstration,
  swingDemonstration,
} from './study/swing-demonstration.ts';
export { HAND_METHODS, type HandMethod, PHASE_METHODS, type PhaseMethod } from './study/phase-methods.ts';
export {
  type SensedError,
  type SensorBudget,
  type SensorSource,
  sensedSwing,
  sensorBudget,
} from './study/sensor-budget.ts';
export { CORRECTION_TIME } from './study/heard-walk.ts';
export {
  type EstimateError,
  type EstimateSettling,
  estimateSettling,
  type SlopeEstimate,
  slopeEstimates,
  type WalkEstimate,
  walkEstimate,
} from './study/walk-estimate.ts';
export { valueAt, withValue } from './study/with-value.ts';
export { changedStudy, type StudyChange } from './study/study-change.ts';

export { drivesNothing, walkNeeds } from './study/walk-needs.ts';
export type { WalkChoice } from './study/walk-plan.ts';
export { BURDEN_WITHIN, type WalkBurden } from './study/walk-burden.ts';
export {
  type OpenReport,
  openWalkReport,
  type WalkCheck,
  type WalkReport,
  type WalkSteady,
  walkReport,
} from './study/walk-report.ts';
export { landingVerdict } from './study/landing-verdict.ts';
export { type LedgerWalk, ledgerWalkName, ledgerWalkReads, ledgerWalks } from './study/walks-asked.ts';
export { type LedgerWalked, openLedgerWalk } from './study/ledger-walk.ts';
export { type KeptWalk, type KeptWalks, NOT_WALKED, withWalks } from './study/walked-row.ts';
export { type WalkLine, walkLines } from './study/walk-lines.ts';
export {
  type OpenPowerCut,
  openPowerCut,
  POWER_CUT_NOTES,
  type PowerCut,
  powerCutVerdict,
} from './study/walk-power-cut.ts';
export { openScenario, SCENARIO_NOTES } from './study/scenario.ts';
export {
  FAULT_MAP_NOTES,
  type FaultRow,
  faultRows,
  type MappedTrial,
  mappedFaults,
  openFaultMap,
  openFaultWalk,
} from './study/walk-faults.ts';
export {
  type EndPrice,
  type LeverPrice,
  openWalkPrice,
  PRICE_NOTES,
  type PricedEnd,
  type PricedLever,
  type WalkPrice,
  withPrices,
} from './study/walk-price.ts';
export { type WalkLever, walkLevers } from './study/walk-levers.ts';
export {
  type CandidateEnd,
  type CandidateWalk,
  candidateStudy,
  leastMargin,
  RANKED_BY,
  type RankedBy,
  rankedShortlist,
  type ShortlistCandidate,
  type ShortlistChoice,
  type ShortlistJoint,
  type ShortlistRow,
  shortlistCandidates,
  walkCandidate,
  worstEnd,
} from './study/walk-shortlist.ts';

// the same, in pieces that threads may share
export {
  type CutPiece,
  candidatePieces,
  cutPieces,
  type FaultPiece,
  faultPieces,
  type PricePiece,
  pricePieces,
  type TolerancePiece,
  type TolerancePieceAsk,
  tolerancePieces,
} from './study/pieces.ts';

// version: what made a stored result
export { ENGINE_VERSION } from './version.ts';
