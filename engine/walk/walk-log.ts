/** Columns of a walk's log, one row each period of the controller. SI, engine signs. */
export const LOG = {
  time: 0,
  /** Of the reference stride, 0 … 1. */
  place: 1,
  /** 0 stance, 1 swing, 2 safe; the controller's phase. */
  mode: 2,
  phase: 3,
  /** Hip height, thigh, knee, ankle, and their rates. */
  height: 4,
  thigh: 5,
  knee: 6,
  ankle: 7,
  heightRate: 8,
  thighRate: 9,
  kneeRate: 10,
  ankleRate: 11,
  /** What the reference does here: thigh, and the height the guide leads to. */
  ownThigh: 12,
  ownHeight: 13,
  /** Where the controller leads knee and ankle in swing; NaN in stance. */
  kneeTarget: 14,
  ankleTarget: 15,
  /** N·m commanded, and delivered on the distal segment: motor, friction, spring, stop, less what turns the rotor. */
  kneeAsked: 16,
  ankleAsked: 17,
  kneeTorque: 18,
  ankleTorque: 19,
  kneeCurrent: 20,
  ankleCurrent: 21,
  kneeLimit: 22,
  ankleLimit: 23,
  /** On the foot: N; where it acts, m ahead of the ankle (NaN below 20 N); lowest sole point, and lowest ahead of the ankle, m. */
  forward: 24,
  up: 25,
  pressure: 26,
  lowest: 27,
  forefoot: 28,
  /** On the thigh by the wearer, N·m; on hip and body forward, N; on the leg, N. */
  hipTorque: 29,
  hipForward: 30,
  legForward: 31,
  legUp: 32,
  /** In the socket on what is below: N along and across the thigh, N·m; NaN where the socket's end is not known. */
  socketAlong: 33,
  socketAcross: 34,
  socketMoment: 35,
  guide: 36,
  other: 37,
  busVoltage: 38,
  /** W that each joint draws from the bus, mean since the last row, without switching; A of both for switching. */
  kneePower: 39,
  anklePower: 40,
  busPerVolt: 41,
  kneeWinding: 42,
  ankleWinding: 43,
  kneeHousing: 44,
  ankleHousing: 45,
  /** W of copper since the last row. */
  kneeCopper: 46,
  ankleCopper: 47,
  fault: 48,
  /** m/s that the controller goes by; 0: by none. */
  speed: 49,
  /** rad of slope that it goes by by its own reading. */
  slope: 50,
  /** Of gears with play, since the last row: how often the load went over to the other flank; N·m that the speed of the hardest meeting of flanks can add. NaN without play. */
  kneeChanges: 51,
  ankleChanges: 52,
  kneeMeeting: 53,
  ankleMeeting: 54,
  /** J since the start, in the order of WORKS. */
  works: 55,
} as const;
export const LOG_WIDTH = 64;

/** What does work on leg and body, in the order of the log. */
export const WORKS = [
  'motors',
  'joint friction',
  'springs',
  'end stops',
  'hip torque',
  'hip forward',
  'guide',
  'other leg',
  'ground',
] as const;

/** A walk as it was, and how well its energy balances. */
export interface WalkLog {
  /** s: of the integration, of one row. */
  readonly step: number;
  readonly period: number;
  readonly strideTime: number;
  readonly speed: number;
  readonly rows: number;
  /** Not strides in a row but one stretch, told as a whole. */
  readonly stretch?: true;
  /** `rows` × LOG_WIDTH. */
  readonly table: Float64Array;
  /** J: largest |E − E_0 − ΣW| at any step, and Σ∫|P| dt of all that does work. */
  readonly residual: number;
  readonly moved: number;
  /** Where it ended before its time, and why. */
  readonly fell?: { readonly time: number; readonly why: string };
}

/** What of a log is worth a table for people: names with their units, and one row. */
const SHOWN = [
  ['time_s', LOG.time],
  ['place', LOG.place],
  ['mode', LOG.mode],
  ['hip_height_m', LOG.height],
  ['thigh_rad', LOG.thigh],
  ['knee_rad', LOG.knee],
  ['ankle_rad', LOG.ankle],
  ['knee_torque_Nm', LOG.kneeTorque],
  ['ankle_torque_Nm', LOG.ankleTorque],
  ['up_N', LOG.up],
  ['forward_N', LOG.forward],
  ['lowest_m', LOG.lowest],
  ['hip_torque_Nm', LOG.hipTorque],
  ['bus_V', LOG.busVoltage],
  ['fault', LOG.fault],
] as const;
export const LOG_COLUMNS: readonly string[] = SHOWN.map(([name]) => name);
export const walkLogRow = ({ table }: WalkLog, row: number): number[] =>
  SHOWN.map(([, place]) => table[row * LOG_WIDTH + place]);

/** Periods in which the controller told of a fault. */
export function faultPeriods({ rows, table }: WalkLog): number {
  let told = 0;
  for (let i = 0; i < rows; i++) if (table[i * LOG_WIDTH + LOG.fault] !== 0) told++;
  return told;
}
