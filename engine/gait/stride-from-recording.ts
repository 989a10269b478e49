import { Fault } from '../quantity/fault.ts';
import { sampleCurve } from './curve.ts';
import { STRIDE_SAMPLES } from './demand-result.ts';
import type { Channel, Recipe, StrideAverage } from './recording.ts';
import { type RecordingCheck, recordingFaults } from './recording-checks.ts';
import { harmonicsWithin, smoothPeriodic } from './smooth-periodic.ts';
import type { JointCurves, JointName, Stride, StrideCurve } from './stride.ts';

/** What smoothing at a cut-off leaves out of a curve: RMS as a share of its range. */
export interface CutOffLoss {
  readonly cutOff: number;
  readonly channel: Channel;
  readonly rmsShareOfRange: number;
}

export interface StrideFromRecording {
  readonly stride: Stride;
  readonly checks: readonly RecordingCheck[];
  /** The choice of cut-off, laid open: what others would have left out. */
  readonly losses: readonly CutOffLoss[];
}

/** Hz: cut-offs to compare with the chosen one. */
const COMPARED = [4, 6, 10, 15];

/**
 * A stride of the laboratory's own from the average of its recording: smoothed, differentiated, checked.
 * Faults: everything `recordingFaults` finds, at once; a cut-off below the second harmonic; a stride without any stride.
 */
export function strideFromRecording(
  average: StrideAverage,
  recipe: Recipe,
  about: { id: string; title: string; where: string; mass?: number },
): StrideFromRecording {
  const { where } = about;
  if (average.count === 0) {
    throw new Fault({
      code: 'gait.empty-stride',
      what: 'the recording holds no whole stride',
      mend: 'Give rows from one initial contact to the next',
      place: { file: where },
    });
  }
  const { strideTime } = average;
  const harmonics = Math.min(harmonicsWithin(recipe.cutOff, strideTime), (STRIDE_SAMPLES - 1) / 2 - 1);
  if (harmonics < 2) {
    throw new Fault({
      code: 'gait.cut-off',
      what: `a cut-off of ${recipe.cutOff} Hz leaves ${harmonics} harmonics of a ${strideTime.toFixed(2)} s stride`,
      mend: 'Choose a cut-off of at least 6 Hz',
      place: { file: where },
    });
  }
  const curves = new Map<Channel, StrideCurve>(
    average.channels.map((channel, c) => [channel, smoothPeriodic(average.mean[c], harmonics)]),
  );
  const velocity = (channel: Channel) =>
    sampleCurve(curves.get(channel) as StrideCurve).slope.map((x) => (x * 100) / strideTime);
  const { faults, checks } = recordingFaults(average, recipe, where, velocity);
  if (faults.length > 0) throw new Fault(faults);

  const joints: { [joint in JointName]?: JointCurves } = {};
  for (const joint of ['hip', 'knee', 'ankle'] as const) {
    const angle = curves.get(`${joint}.angle`);
    if (angle === undefined) continue;
    const moment = curves.get(`${joint}.moment`);
    const power = curves.get(`${joint}.power`);
    joints[joint] = { angle, ...(moment && { moment }), ...(power && { power }) };
  }
  const thigh = curves.get('thigh');
  const losses = COMPARED.flatMap((cutOff) =>
    average.channels.map((channel, c) => {
      const y = average.mean[c];
      const kept = sampleCurve(smoothPeriodic(y, harmonicsWithin(cutOff, strideTime))).value;
      const square = y.reduce((sum, x, i) => sum + (x - kept[i]) ** 2, 0);
      return {
        cutOff,
        channel,
        rmsShareOfRange: Math.sqrt(square / STRIDE_SAMPLES) / (Math.max(...y) - Math.min(...y)),
      };
    }),
  );
  return {
    stride: {
      id: about.id,
      title: about.title,
      activity: 'recorded',
      ...(recipe.speed !== undefined && { speed: recipe.speed }),
      strideTime,
      stance: recipe.stance,
      joints,
      ...(thigh && { thigh }),
      people: { count: 1, ...(about.mass !== undefined && { mass: about.mass }), who: 'own recording' },
      origin: { citation: where, licence: 'own', status: 'recorded' },
      caveats: [
        `Own recording: mean of ${average.count} ${average.count === 1 ? 'stride' : 'strides'}, smoothed at ${recipe.cutOff} Hz (${harmonics} harmonics).`,
        ...(thigh === undefined ? ['No thigh angle was recorded: in swing the human moment is kept.'] : []),
      ],
    },
    checks,
    losses,
  };
}
