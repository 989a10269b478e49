import { evaluateDesign, type JointDemand, ratioGrid, type StudyInput } from '@striderule/engine';
import { type ScanCandidates, scanCandidates, setCandidate } from '../engine/drive/scan-candidates.ts';
import { type ScanSamples, scanSamples } from '../engine/drive/scan-samples.ts';

/** Twelve strides, both joints': about 2,400 samples. */
const STRIDES = 12;

/**
 * Candidates of a study for the kernels: every motor of the catalogue, every other one of them with saturation, behind ratios of one
 * factor and meshes of several efficiencies, on a bus that sags; against twelve of the study's strides.
 */
export function scanWorkload(
  input: StudyInput,
  count: number,
): { readonly samples: ScanSamples; readonly candidates: ScanCandidates } {
  const drive = input.leg.joints.knee!;
  const { demands } = evaluateDesign(input);
  const strides = Object.values(demands)
    .flatMap((demand) => (demand.kind === 'stride' ? [demand.joints.knee, demand.joints.ankle] : []))
    .filter((joint): joint is JointDemand => joint !== undefined && !joint.moment.some(Number.isNaN))
    .slice(0, STRIDES);
  if (strides.length < STRIDES) throw new Error(`the study has ${strides.length} strides with moments only`);
  const motors = input.catalogue!.motors;
  const ratios = ratioGrid(5, 60, count);
  const candidates = scanCandidates(count);
  ratios.forEach((ratio, n) => {
    const { motor } = motors[n % motors.length]!;
    const saturating = n % 2 === 0 ? motor : { ...motor, saturationCurrent: 3 * motor.peakCurrent };
    const efficiency = 0.9 + 0.02 * (n % 4);
    setCandidate(
      candidates,
      n,
      saturating,
      {
        ...drive.transmission,
        ratio,
        drivingEfficiency: efficiency,
        backDrivenEfficiency: 2 - 1 / efficiency,
      },
      { ...drive, busVoltage: input.leg.busVoltage, busResistance: 0.05 },
    );
  });
  return { samples: scanSamples(drive, strides), candidates };
}
