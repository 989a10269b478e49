/** One figure of a group: mean and standard deviation between its people. */
interface OfGroup {
  readonly mean: number;
  readonly sd: number;
}

/** What the ankle of users above the knee does on passive prostheses at one speed; J/kg and N·m/kg. */
export interface LandingRow {
  readonly speed: number;
  /** Positive work a stride, and largest plantarflexing moment, of the prosthesis. */
  readonly work: OfGroup;
  readonly moment: OfGroup;
  /** Positive work of the intact side, mean. */
  readonly intact: number;
  readonly citation: string;
}

const CITATION = 'Hood, Ishmael, Gunnell, Foreman & Lenzi, Scientific Data 7 (2020) 150';

/**
 * Ankle of nine users above the knee on passive prostheses: means and SD between people, worked out from the published curves of each person,
 * work as ∫M·dθ over the stride. Hood, Ishmael, Gunnell, Foreman & Lenzi, Scientific Data 7 (2020) 150.
 */
const USERS = [
  { speed: 0.6, work: [0.121, 0.043], moment: [1.262, 0.164], intact: 0.198 },
  { speed: 0.8, work: [0.152, 0.051], moment: [1.373, 0.124], intact: 0.268 },
  { speed: 1.0, work: [0.178, 0.057], moment: [1.474, 0.128], intact: 0.358 },
  { speed: 1.2, work: [0.201, 0.061], moment: [1.55, 0.121], intact: 0.462 },
  { speed: 1.4, work: [0.223, 0.068], moment: [1.632, 0.129], intact: 0.543 },
] as const;

/** Between two published speeds all goes in proportion; undefined outside them. */
export function landingAt(speed: number): LandingRow | undefined {
  const after = USERS.findIndex((row) => row.speed >= speed - 1e-9);
  if (after < 0 || speed < USERS[0].speed - 1e-9) return undefined;
  const [a, b] = [USERS[Math.max(0, after - 1)], USERS[after]];
  const w = a === b ? 0 : (speed - a.speed) / (b.speed - a.speed);
  const between = (p: number, q: number): number => p + w * (q - p);
  const group = (of: 'work' | 'moment'): OfGroup => ({
    mean: between(a[of][0], b[of][0]),
    sd: between(a[of][1], b[of][1]),
  });
  return {
    speed,
    work: group('work'),
    moment: group('moment'),
    intact: between(a.intact, b.intact),
    citation: CITATION,
  };
}
