import { checkController } from '../control/check-controller.ts';
import { JOINTS } from '../control/compile-controller.ts';
import { loopPolynomial } from '../control/loop-polynomial.ts';
import { stable } from '../control/loop-stability.ts';
import type { Gains } from '../control/sampled-joint.ts';
import { softwareGains } from '../control/software-gains.ts';
import type { DrivenJoint } from '../gait/stride.ts';
import { Fault, type FaultData } from '../quantity/fault.ts';
import type { ControlledLeg } from './controlled-leg.ts';
import { controlledLeg, SECOND } from './controlled-leg.ts';
import type { DesignResult } from './design.ts';
import { loadsOf, stableStiffness } from './stable-stiffness.ts';
import type { StudyInput } from './study-input.ts';

/**
 * Everything that was found wrong with the study's controller, on this leg and for this wearer: what `checkController` finds in the
 * machine, gains with which the sampled loop is unstable, the joint free with its limb or held, and a joint's two encoders that nothing
 * compares, or whose comparison the gears' own play would set off.
 */
export function controllerFaults(input: StudyInput, design: DesignResult): readonly FaultData[] {
  try {
    const leg = controlledLeg(input, design);
    if ('openBecause' in leg) return [];
    return [
      ...checkController(leg.controller, leg.timing, leg.schedules),
      ...unstable(input, leg),
      ...encoderPairs(input, leg),
    ];
  } catch (error) {
    if (error instanceof Fault) return error.faults;
    throw error;
  }
}

function encoderPairs(input: StudyInput, { controller }: ControlledLeg): FaultData[] {
  return JOINTS.flatMap((joint): FaultData[] => {
    const { encoder, transmission } = input.leg.joints[joint]!;
    if (encoder!.side !== 'both') return [];
    const watches = controller.watches.filter(
      ({ sensor, detect }) => sensor === SECOND[joint] && detect === 'disagrees',
    );
    if (watches.length === 0)
      return [
        {
          code: 'control.encoders-apart',
          what: `the ${joint} has two encoders and nothing compares them: one that sticks or slips is noticed by nothing`,
          mend: `Add a fault with \`sensor: ${SECOND[joint]}\`, \`detect: disagrees\` and a \`limit:\``,
          place: { path: 'faults' },
        },
      ];
    const step = (2 * Math.PI) / 2 ** encoder!.bits;
    const play = transmission.backlash + step + step / transmission.ratio;
    return watches.flatMap(({ name, limit = 0 }): FaultData[] => {
      if (limit > play) return [];
      return [
        {
          code: 'control.encoders-play',
          what: `\`${name}\` acts beyond ${degrees(limit)}, and backlash and encoder steps of the ${joint} alone make ${degrees(play)}`,
          mend: 'Give it a larger limit',
          place: { path: `faults.${name}.limit` },
        },
      ];
    });
  });
}

const degrees = (x: number): string => `${((180 / Math.PI) * x).toFixed(2)}°`;

/** A damper alone leaves the angle free: it is looked at with this spring, N·m/rad, too soft to matter. */
const HARDLY = 1;

function unstable(input: StudyInput, { controller, joints, schedules }: ControlledLeg): FaultData[] {
  const verdict = (joint: DrivenJoint, asked: Gains, path: string): FaultData[] => {
    const sampled = joints[joint];
    const gains = softwareGains(sampled, { ...asked, stiffness: Math.max(asked.stiffness, HARDLY) });
    const loads = loadsOf(input, joint);
    const ok = loads.every((load) => {
      const loop = loopPolynomial(sampled, load);
      return loop === undefined || gains === undefined || stable(loop, gains);
    });
    if (ok && gains !== undefined) return [];
    const most = stableStiffness(sampled, loads, asked.damping).joint.stiffness;
    return [
      {
        code: 'control.unstable',
        what: `${asked.stiffness.toFixed(0)} N·m/rad with ${asked.damping.toFixed(2)} N·m·s/rad is unstable at the ${joint}: its sampled loop swings itself up`,
        mend: `At this damping at most ${most.toFixed(0)} N·m/rad is stable; ask for less, or look for a better damping with \`control impedance\``,
        place: { path },
      },
    ];
  };
  return [
    ...controller.states.flatMap((state) =>
      JOINTS.flatMap((joint) => {
        const does = state[joint];
        if (does.kind !== 'spring' && does.kind !== 'thigh') return [];
        return verdict(joint, does, `states.${state.name}.${joint}`);
      }),
    ),
    ...Object.entries(schedules).flatMap(([name, layers]) => {
      const user = controller.states.find(
        ({ ankle }) => ankle.kind === 'schedule' && ankle.schedule === name,
      );
      const joint = user === undefined ? 'knee' : 'ankle';
      for (const point of layers.flat()) {
        const fault = verdict(joint, point, `schedules.${name}`);
        if (fault.length > 0) return fault;
      }
      return [];
    }),
  ];
}
