import {
  type Demands,
  evaluateDesign,
  isWalked,
  metricCatalogue,
  openTolerance,
  type StudyInput,
  studyDemands,
  type UncertainInput,
  withValue,
} from '@striderule/engine';
import { inTurn, timingText } from './rounds.ts';

const DRAWS = 10_000;
const BLOCK = 100;
/** Metrics that need no more than the loads of the strides and the figures of the joint. */
const OF_LOADS = new Set([
  'peakMotorTorque',
  'rmsMotorTorque',
  'scheduleRmsMotorTorque',
  'peakMotorCurrent',
  'torqueMargin',
  'speedMargin',
  'peakJointTorqueLossless',
  'peakJointTorque',
  'reflectedInertia',
  'breakawayTorque',
  'dynamicBackdriveTorque',
  'deadAngle',
  'freeSwingHalfPeriod',
]);

/** As many draws as one would first write them: a leg, a design and its metrics made from nothing each time, all people the mean one. */
function plainDraws(study: StudyInput, inputs: readonly UncertainInput[], demands: Demands): number {
  let sum = 0;
  for (let k = 0; k < BLOCK; k++) {
    const leg = inputs.reduce(
      (made, { path, nominal, deviation }) =>
        path.startsWith('people.')
          ? made
          : withValue(made, path, nominal + deviation * (Math.random() - 0.5)),
      study.leg,
    );
    const drawn = { ...study, leg };
    const design = evaluateDesign(drawn, demands);
    for (const { metric, joint, task } of study.requirements) {
      if (isWalked(metric)) continue;
      const got = metricCatalogue[metric]!.value(drawn, design, joint ?? 'knee', task);
      if ('value' in got) sum += got.value;
    }
  }
  return sum;
}

/**
 * Draws through the whole thread. Must reach: 10,000 draws in 2 s, for the requirements on torque, speed and back-driving. Heat,
 * energy and loss of power run whole strides and days in each draw and are timed with all.
 */
export function toleranceTime(input: StudyInput): string {
  const demands = studyDemands(input);
  const light = { ...input, requirements: input.requirements.filter(({ metric }) => OF_LOADS.has(metric)) };
  const [quick, whole] = [light, input].map((study) => openTolerance(study, { seed: 1 }, demands)) as [
    ReturnType<typeof openTolerance>,
    ReturnType<typeof openTolerance>,
  ];
  const times = inTurn(
    {
      quick: () => quick.draw(BLOCK),
      plain: () => plainDraws(light, quick.inputs, demands),
      whole: () => whole.draw(BLOCK / 10),
    },
    { rounds: 40, warmUp: 8 },
  );
  const seconds = (ms: number, block: number): string => ((ms * DRAWS) / block / 1000).toFixed(2);
  return [
    `Monte Carlo, ${quick.inputs.length} inputs (must reach ${DRAWS} draws in 2 s for torque, speed and back-driving)`,
    `  ${light.requirements.length} requirements on torque, speed, back-driving  ${timingText(times.quick)} per ${BLOCK} draws, ${DRAWS} in ${seconds(times.quick.median, BLOCK)} s`,
    `  the plain way                                 ${timingText(times.plain)} per ${BLOCK} draws, all people alike; plain ÷ drawn ${(times.plain.median / times.quick.median).toFixed(1)}`,
    `  all ${input.requirements.filter(({ metric }) => !isWalked(metric)).length} requirements that draws judge           ${timingText(times.whole)} per ${BLOCK / 10} draws, ${DRAWS} in ${seconds(times.whole.median, BLOCK / 10)} s`,
  ].join('\n');
}
