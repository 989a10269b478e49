import { soleClearance } from '../control/sole-clearance.ts';
import { trajectoryAt } from '../control/trajectory.ts';
import type { StudyInput } from './study-input.ts';
import { type ReadySwing, readySwing, remembered } from './swing-ready.ts';
import { errorOf, type HeardThigh, latched, phaseErrorOf } from './swing-run.ts';

type Open = { readonly openBecause: string };

/** What the finish and a wearer who walks otherwise make of the swing: latched map only. */
export interface SwingWhatIf {
  /** Knee angle that the finish takes away by itself while the thigh is held at its peak, rad, and what the lowest sole point rises by, m. */
  readonly raisedHold: { readonly kneeExtends: number; readonly soleRises: number };
  /** Knee flexion beyond the stride's own at contact where the thigh comes only to four fifths of its way, rad. */
  readonly shortStep: number;
  /** Where the thigh is read 3° too far back, or forward: the larger phase error, and the knee's error at contact that is larger. */
  readonly thighOff: { readonly phaseError: number; readonly kneeAtContact: number };
}

/** What a short step keeps of the thigh's way. Our choice. */
const SHORT_STEP = 0.8;
/** Misreading of the thigh by a socket that slips or a sensor that is off, rad: 3°. */
const THIGH_OFF = (3 * Math.PI) / 180;

/** The finish while the thigh is held high, a step that comes short, a thigh that is misread. */
export function swingWhatIf(
  input: StudyInput,
  id: string,
  { finish }: { readonly finish?: boolean } = {},
): SwingWhatIf | Open {
  const walked = remembered(input, `what if ${id} ${finish}`, () => walkedOtherwise(input, id, finish));
  if ('openBecause' in walked) return walked;
  const { of, ...rest } = walked;
  return { raisedHold: raisedHold(input, of), ...rest };
}

function walkedOtherwise(
  input: StudyInput,
  id: string,
  finish: boolean | undefined,
): (Omit<SwingWhatIf, 'raisedHold'> & { readonly of: ReadySwing }) | Open {
  const of = readySwing(input, id, finish);
  if ('openBecause' in of) return of;
  const { stance, strideTime } = of.plan.stride;
  const on = of.thigh(stance).value;
  const heard =
    (as: (angle: number) => number): HeardThigh =>
    (place) => {
      const { value, slope } = of.thigh(place - of.before / strideTime);
      return { value: as(value), slope };
    };
  const short = latched(
    of,
    heard((angle) => on + SHORT_STEP * (angle - on)),
  );
  const off = [-THIGH_OFF, THIGH_OFF].map((by) =>
    latched(
      of,
      heard((angle) => angle + by),
    ),
  );
  const atContact = off.map((course) => errorOf(course.knee, course.ownKnee).atContact);
  return {
    of,
    shortStep: errorOf(short.knee, short.ownKnee).atContact,
    thighOff: {
      phaseError: Math.max(...off.map(phaseErrorOf)),
      kneeAtContact: Math.abs(atContact[0]) > Math.abs(atContact[1]) ? atContact[0] : atContact[1],
    },
  };
}

/** From where the thigh no longer leads to the end of the finish, the thigh at its peak and the hip unmoved. */
function raisedHold(input: StudyInput, { plan, map }: ReadySwing): SwingWhatIf['raisedHold'] {
  const out = new Float64Array(6);
  const pose = (phase: number): { knee: number; lowest: number } => {
    trajectoryAt(plan.knee, phase, out, 0);
    trajectoryAt(plan.ankle, phase, out, 3);
    return { knee: out[0], lowest: soleClearance(input.leg.segments, 0, map.peak, out[0], out[3]).height };
  };
  const [from, to] = [pose(map.fullPhase), pose(map.finishRate > 0 ? 1 : map.fullPhase)];
  return { kneeExtends: from.knee - to.knee, soleRises: to.lowest - from.lowest };
}
