import { impedanceTorque } from '../control/impedance.ts';
import { curveAt } from '../gait/curve.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { type TerrainShape, terrainOf } from '../walk/terrain.ts';
import { COURSE, COURSE_WIDTH, type WalkCourse } from '../walk/walk-course.ts';
import type { WalkRecord } from '../walk/walk-curves.ts';
import { LOG, LOG_WIDTH, type WalkLog } from '../walk/walk-log.ts';
import { AUDIT_LIMIT, openWalk } from '../walk/walk-run.ts';
import type { WalkSetup } from '../walk/walk-setup.ts';
import { type WalkStride, walkStrides } from '../walk/walk-strides.ts';
import { forcePeak } from './force-peak.ts';
import { legSupply } from './leg-supply.ts';
import { passivePlan } from './passive-plan.ts';
import type { PassedState, PlannedWalk } from './planned-walk.ts';
import type { StudyInput } from './study-input.ts';
import { type WalkBurden, walkBurden } from './walk-burden.ts';
import { type LandingRow, landingAt } from './walk-landing.ts';
import { drivesNothing } from './walk-needs.ts';
import { type WalkChoice, type WalkPlan, walkPlan } from './walk-plan.ts';

type Open = { readonly openBecause: string };

/** One figure set against what was published; `holds` is whether it lies between the two ends. */
export interface WalkCheck {
  readonly what: string;
  readonly unit: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly holds: boolean;
  readonly source: string;
  /** One of those by which a leg without drives lands on published data. */
  readonly landing?: true;
}

/** A walk with its strides and what is known of it from outside. */
export interface WalkReport {
  readonly speed: number;
  readonly thigh: 'prescribed' | 'led';
  readonly ground: 'treadmill' | 'overground';
  /** none: a leg without drives. What only drives, bus and controller have is NaN in its strides and means: not there, which is not zero. */
  readonly control: 'clock' | 'study' | 'none';
  /** s */
  readonly step: number;
  /** s: walked, and by the regression over stature. */
  readonly strideTime: number;
  readonly regressionTime: number;
  /** N of wearer and leg; kg of the wearer. */
  readonly weight: number;
  readonly mass: number;
  readonly strides: readonly WalkStride[];
  /** Strides that it was to have; whether it had them, `fell` says. */
  readonly asked: number;
  /** Share of the periods of its whole strides in which the controller told of a fault. */
  readonly faultShare: number;
  /** Mean over the strides from the third on: whatever the leg was started with is then forgotten. Left out where it fell before, and where something unusual is walked. */
  readonly steady?: WalkSteady;
  /** J and share: the energy balance, worst at any step, of the work moved. */
  readonly audit: {
    readonly residual: number;
    readonly moved: number;
    readonly share: number;
    readonly limit: number;
  };
  readonly fell?: WalkLog['fell'];
  /** States of the controller in their order; left out: strides in a row. */
  readonly passed?: readonly PassedState[];
  /** Of each joint in stance, over the steady strides; left out where it fell before, or the study's controller walks. */
  readonly burden?: { readonly [joint in DrivenJoint]?: WalkBurden };
  readonly checks: readonly WalkCheck[];
  readonly notes: readonly string[];
  /** Of the log's bytes: two runs of one setup have the same. */
  readonly fingerprint: string;
}

/** Means of the steady strides, SI. */
export interface WalkSteady {
  readonly count: number;
  readonly duration: number;
  /** Largest and least of their durations, s. */
  readonly durations: { readonly low: number; readonly high: number };
  readonly kneeError: number;
  readonly kneeLag: number;
  readonly kneeFlexion: number;
  readonly ankleError: number;
  readonly ankleLag: number;
  /** N·m: largest that plantarflexes; rad: largest dorsiflexion. */
  readonly ankleMoment: number;
  readonly ankleDorsiflexion: number;
  readonly anklePositiveWork: number;
  readonly ankleNegativeWork: number;
  readonly kneePositiveWork: number;
  readonly kneeNegativeWork: number;
  /** Delivered, and by the schedule on the stride itself, J. */
  readonly pushOff: number;
  readonly scheduledPushOff: number;
  readonly earlyExits: number;
  readonly up: number;
  readonly impact: number;
  readonly clearance: number;
  /** m: the least of any of them. */
  readonly leastClearance: number;
  readonly socketAlong: number;
  readonly socketMoment: number;
  readonly hipPositiveWork: number;
  readonly hipNegativeWork: number;
  readonly hipFlexion: number;
  readonly hipExtension: number;
  readonly pullOff: number;
  readonly cells: number;
  readonly returned: number;
  readonly shared: number;
  readonly guide: number;
  readonly guideWork: number;
  readonly kneeFlankChanges: number;
  readonly kneeMeeting: number;
  readonly ankleFlankChanges: number;
  readonly ankleMeeting: number;
}

/** A walk that is worked out stride by stride. */
export interface OpenReport {
  /** One stride further; false when it has fallen. */
  readonly stride: () => boolean;
  readonly report: () => WalkReport;
  /** All that it was so far, to be drawn. */
  readonly record: () => WalkRecord;
}

/** Strides that are left out of the means: the walk begins where the reference is, not where the leg would be. Our choice. */
const SETTLING = 2;

/** A walk of the study's leg with steps of `step` s; the reason where it cannot be told. Faults: as `openWalk`. */
export function openWalkReport(
  input: StudyInput,
  choice: WalkChoice,
  { step, strides }: { readonly step: number; readonly strides: number },
): OpenReport | Open {
  const plan = drivesNothing(input.leg) ? passivePlan(input, choice) : walkPlan(input, choice);
  return 'openBecause' in plan ? plan : reportedWalk(input, choice, plan, { step, strides });
}

/** What makes a walk other than that of every day. */
export interface Unusual extends Partial<Pick<WalkSetup, 'pace' | 'fault' | 'controller'>> {
  readonly terrain?: TerrainShape;
}

/** A planned walk, or the same with something unusual: then no mean is taken of its strides, and nothing published is set beside it. Faults: as `openWalk`. */
export function reportedWalk(
  input: StudyInput,
  choice: WalkChoice,
  plan: PlannedWalk,
  { step, strides }: { readonly step: number; readonly strides: number },
  unusual?: Unusual,
): OpenReport {
  const { terrain, fault, ...pace } = unusual ?? {};
  const walk = openWalk(
    {
      ...plan.setup,
      ...pace,
      ...(fault !== undefined && { fault }),
      ...(terrain !== undefined && { terrain: terrainOf(terrain) }),
    },
    step,
    strides,
  );
  const { course } = plan.setup;
  return {
    stride: walk.stride,
    report: () => reportOf(input, choice, plan, walk.log(), strides, unusual === undefined),
    record: () => ({
      log: walk.log(),
      stride: plan.stride,
      hip: course.hip,
      ...('rows' in course && { way: wayOf(walk.log(), course.rows(step)) }),
      weight: course.weight,
      mass: course.mass,
      ...(terrain !== undefined && { terrain }),
      ...(fault !== undefined && { wrongFrom: fault.time }),
    }),
  };
}

/** m ahead that a course of its own leads the hip, at each row of its log. */
function wayOf({ table, rows }: WalkLog, { step, steps, first, table: course }: WalkCourse): Float64Array {
  return Float64Array.from({ length: rows }, (_, row) => {
    const n = Math.round(table[row * LOG_WIDTH + LOG.time] / step);
    return course[((first + n) % steps) * COURSE_WIDTH + COURSE.x];
  });
}

/** A whole walk of `strides`. */
export function walkReport(
  input: StudyInput,
  choice: WalkChoice,
  { step, strides }: { readonly step: number; readonly strides: number },
): WalkReport | Open {
  const walk = openWalkReport(input, choice, { step, strides });
  if ('openBecause' in walk) return walk;
  for (let k = 0; k < strides && walk.stride(); k++);
  return walk.report();
}

/** Whole strides of a planned walk; the `last` so many, or all. */
export function stridesOfPlan(
  input: StudyInput,
  { setup }: Pick<PlannedWalk, 'setup'>,
  log: WalkLog,
  last?: number,
): readonly WalkStride[] {
  const known = legSupply(input.leg);
  const brake = 'openBecause' in known ? undefined : known.brake;
  const of = {
    knee: setup.knee.reference,
    ankle: setup.ankle.reference,
    ...('supply' in setup && { supply: setup.supply }),
    ...(brake !== undefined && { brake }),
  };
  return walkStrides(log, of, last);
}

function reportOf(
  input: StudyInput,
  choice: WalkChoice,
  plan: PlannedWalk,
  log: WalkLog,
  asked: number,
  usual: boolean,
): WalkReport {
  const { setup } = plan;
  const strides = stridesOfPlan(input, plan, log);
  const { weight, mass } = setup.course;
  const time = strides.reduce((sum, { duration }) => sum + duration, 0);
  const scheduled = isOnLevel(plan) ? scheduledPushOff(plan) : Number.NaN;
  const steady = usual ? steadyOf(strides.slice(SETTLING), scheduled) : undefined;
  return {
    speed: choice.speed,
    thigh: choice.thigh ?? 'prescribed',
    ground: setup.ground,
    control: 'supply' in setup ? (choice.control ?? 'clock') : 'none',
    step: log.step,
    strideTime: log.strideTime,
    regressionTime: plan.regressionTime,
    weight,
    mass,
    strides,
    asked,
    faultShare: strides.reduce((sum, s) => sum + s.faults, 0) / (time / log.period),
    ...(steady !== undefined && { steady }),
    audit: { residual: log.residual, moved: log.moved, share: log.residual / log.moved, limit: AUDIT_LIMIT },
    ...(log.fell !== undefined && { fell: log.fell }),
    ...(plan.passed && { passed: plan.passed }),
    ...(steady !== undefined &&
      isOnLevel(plan) &&
      choice.control !== 'study' && { burden: burdenOf(input, plan, log) }),
    checks: steady === undefined ? [] : checksOf(plan, steady, choice.speed),
    notes: plan.notes,
    fingerprint: fingerprintOf(log.table),
  };
}

/** Whether its joints go by schedules. */
const isOnLevel = (plan: PlannedWalk): plan is WalkPlan => 'ankle' in plan;

function burdenOf(input: StudyInput, plan: WalkPlan, log: WalkLog): NonNullable<WalkReport['burden']> {
  const from = Math.round((SETTLING * log.strideTime) / log.period);
  const [knee, ankle] = (['knee', 'ankle'] as const).map((joint) =>
    walkBurden(input, plan, log, joint, from),
  );
  return { ...(knee && { knee }), ...(ankle && { ankle }) };
}

/**
 * J that the ankle's schedule would give from the stride's greatest dorsiflexion in stance to toe-off, were the joint to go as the stride does:
 * ∫ τ(θ, θ̇)·θ̇ dt of the sub-phases as fitted.
 */
function scheduledPushOff({ ankle, stride }: WalkPlan): number {
  const curve = stride.joints.ankle!.angle;
  const ends = ankle.tasks[0].percent;
  const [N, toeOff] = [1000, stride.stance];
  let from = 0;
  for (let i = 0; i <= N; i++)
    if (curveAt(curve, (100 * toeOff * i) / N).value > curveAt(curve, (100 * toeOff * from) / N).value)
      from = i;
  let joules = 0;
  const dt = (toeOff * stride.strideTime) / N;
  for (let i = from; i < N; i++) {
    const percent = (100 * toeOff * (i + 0.5)) / N;
    const at = curveAt(curve, percent);
    const rate = (100 * at.slope) / stride.strideTime;
    const found = ends.findIndex((end, k) => k > 0 && percent <= end);
    const p = found < 0 ? ankle.subphases.length - 1 : found - 1;
    joules += impedanceTorque(ankle.subphases[p].impedance, at.value, rate) * rate * dt;
  }
  return joules;
}

function steadyOf(strides: readonly WalkStride[], scheduled: number): WalkSteady | undefined {
  if (strides.length === 0) return undefined;
  const mean = (of: (stride: WalkStride) => number): number =>
    strides.reduce((sum, stride) => sum + of(stride), 0) / strides.length;
  const durations = strides.map(({ duration }) => duration);
  return {
    count: strides.length,
    duration: mean((s) => s.duration),
    durations: { low: Math.min(...durations), high: Math.max(...durations) },
    kneeError: mean((s) => s.knee.error),
    kneeLag: mean((s) => s.knee.lag),
    kneeFlexion: mean((s) => s.knee.highestAngle),
    ankleError: mean((s) => s.ankle.error),
    ankleLag: mean((s) => s.ankle.lag),
    ankleMoment: mean((s) => -s.ankle.lowestTorque),
    ankleDorsiflexion: mean((s) => s.ankle.highestAngle),
    anklePositiveWork: mean((s) => s.ankle.positiveWork),
    ankleNegativeWork: mean((s) => s.ankle.negativeWork),
    kneePositiveWork: mean((s) => s.knee.positiveWork),
    kneeNegativeWork: mean((s) => s.knee.negativeWork),
    pushOff: mean((s) => s.pushOff.work),
    scheduledPushOff: scheduled,
    earlyExits: Number.isNaN(scheduled) ? Number.NaN : strides.filter((s) => s.pushOff.early).length,
    up: mean((s) => s.up),
    impact: mean((s) => s.impact),
    clearance: mean((s) => s.clearance),
    leastClearance: Math.min(...strides.map((s) => s.clearance)),
    socketAlong: mean((s) => s.socketAlong),
    socketMoment: mean((s) => s.socketMoment),
    hipPositiveWork: mean((s) => s.hip.positiveWork),
    hipNegativeWork: mean((s) => s.hip.negativeWork),
    hipFlexion: mean((s) => s.hip.flexion),
    hipExtension: mean((s) => s.hip.extension),
    pullOff: mean((s) => s.hip.pullOff),
    cells: mean((s) => s.energy.cells),
    returned: mean((s) => s.energy.returned),
    shared: mean((s) => s.energy.shared),
    guide: mean((s) => s.guide),
    guideWork: mean((s) => s.works.guide),
    kneeFlankChanges: mean((s) => s.knee.flankChanges),
    kneeMeeting: mean((s) => s.knee.hardestMeeting),
    ankleFlankChanges: mean((s) => s.ankle.flankChanges),
    ankleMeeting: mean((s) => s.ankle.hardestMeeting),
  };
}

/** Body weights by which the peak of the vertical force may differ from the stride's own, and degrees of knee flexion in swing. Our own lines. */
const FORCE_WITHIN = 0.15;
const FLEXION = { low: 55, high: 70 } as const;
/** Share of the weight that the guide may carry, RMS. Our own line. */
const GUIDE_LIMIT = 0.1;

function checksOf(plan: PlannedWalk, steady: WalkSteady, speed: number): WalkCheck[] {
  const { setup, stride } = plan;
  const { weight, mass } = setup.course;
  const own = forcePeak(stride);
  const check = (
    what: string,
    unit: string,
    value: number,
    low: number,
    high: number,
    source: string,
  ): WalkCheck => ({
    what,
    unit,
    value,
    low,
    high,
    holds: value >= low && value <= high,
    source,
  });
  const degrees = 180 / Math.PI;
  const checks = [
    check(
      'peak of the vertical force',
      'body weights',
      steady.up / weight,
      own - FORCE_WITHIN,
      own + FORCE_WITHIN,
      `the stride’s own ${own.toFixed(2)} within ${FORCE_WITHIN}: ${stride.origin.citation}`,
    ),
    check(
      'knee flexion in swing',
      '°',
      steady.kneeFlexion * degrees,
      FLEXION.low,
      FLEXION.high,
      'our own line about level walking',
    ),
    check(
      'guide force, RMS',
      'body weights',
      steady.guide / weight,
      0,
      GUIDE_LIMIT,
      'our own line: what nobody’s leg carries',
    ),
  ];
  const users = landingAt(speed);
  if (users === undefined) return checks;
  const source = `nine users above the knee: ${users.citation}`;
  const { work, moment, intact } = users;
  if ('ankle' in plan)
    return [
      ...checks,
      check(
        'positive work of the ankle',
        'J/kg',
        steady.anklePositiveWork / mass,
        work.mean,
        intact,
        `passive ankle to intact side of ${source}`,
      ),
    ];
  const landing = (what: string, unit: string, value: number, of: LandingRow['work']): WalkCheck => ({
    ...check(
      what,
      unit,
      value,
      of.mean - of.sd,
      of.mean + of.sd,
      `passive prostheses of ${source}, mean ± SD`,
    ),
    landing: true,
  });
  return [
    ...checks,
    landing('positive work of the ankle', 'J/kg', steady.anklePositiveWork / mass, work),
    landing('largest moment of the ankle', 'N·m/kg', steady.ankleMoment / mass, moment),
  ];
}

/** FNV-1a over the bytes, 32 bits, in hexadecimal: Fowler, Noll & Vo (FROM MEMORY). It tells runs apart and proves nothing. */
function fingerprintOf(table: Float64Array): string {
  const bytes = new Uint8Array(table.buffer, table.byteOffset, table.byteLength);
  let hash = 0x811c9dc5;
  for (let i = 0; i < bytes.length; i++) hash = Math.imul(hash ^ bytes[i], 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, '0');
}
