import type { Leg, StudyInput } from './study-input.ts';

/** Whether a leg is one that nothing drives: springs and dampers, and no drive at all. */
export const drivesNothing = ({ joints, passiveJoints }: Leg): boolean =>
  passiveJoints !== undefined && joints.knee === undefined && joints.ankle === undefined;

/** Every field that a walk needs and the files do not have, in words. */
export function walkNeeds({ leg, wearer }: StudyInput): string[] {
  const { foot, joints, passiveJoints, controller, thighSensor, ambientTemperature, segments } = leg;
  const passive = drivesNothing(leg);
  const lacks: string[] = [];
  const need = (known: boolean, what: string) => {
    if (!known) lacks.push(what);
  };
  for (const name of ['knee', 'ankle'] as const) {
    if (passive) {
      const own = passiveJoints?.[name];
      need(own !== undefined, `${name === 'knee' ? 'a knee' : 'an ankle'} under \`passiveJoints\``);
      if (own !== undefined)
        need(own.endStop?.damping !== undefined, `\`endStop\` of the ${name}, with its \`damping\``);
      continue;
    }
    const drive = joints[name];
    need(drive !== undefined, `a ${name} under \`joints\``);
    if (drive === undefined) continue;
    need(drive.endStop !== undefined, `\`endStop\` of the ${name}`);
    if (drive.endStop !== undefined)
      need(drive.endStop.damping !== undefined, `\`damping\` in \`endStop\` of the ${name}`);
    need(drive.encoder !== undefined, `\`encoder\` under \`sensors\` of the ${name}`);
    need(drive.currentBandwidth !== undefined, `\`currentBandwidth\` in \`electronics\` of the ${name}`);
    need(drive.thermal !== undefined, `\`thermal\` of the ${name}`);
  }
  need(segments.sole.length > 0, '`sole` under `foot`');
  for (const name of ['heelStiffness', 'toeStiffness', 'damping'] as const)
    need(foot[name] !== undefined, `\`${name}\` under \`foot\``);
  if (!passive) {
    need(controller !== undefined, '`controllerHardware`');
    need(thighSensor?.delay !== undefined, '`delay` under `thighSensor`');
    need(!Number.isNaN(ambientTemperature), '`ambientTemperature`');
  }
  need(wearer.residualLimbLength !== undefined, '`residualLimbLength` in the wearer’s file');
  return lacks;
}
