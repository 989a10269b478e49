import type { DrivenJoint, LegEnergy, TaskReport } from '@striderule/engine';
import { degPerSecond } from './demand-summary.ts';
import { fixed, significant } from './number-text.ts';
import { list } from './paragraph.ts';

/** What one charge holds, what limits charging and in which order the excess goes, what an open pack does, how fast the joints are. */
export function busText(leg: LegEnergy): string {
  return [
    leg.charge === undefined
      ? 'What one charge holds is not known: the leg file lacks `bus.capacity` or `bus.usableShare`.'
      : `One charge gives ${significant(leg.charge / 3600)} W·h.`,
    `What limits charging\n${list(charging(leg))}`,
    `Joints on this bus\n${list(joints(leg))}`,
  ].join('\n\n');
}

const most = (tasks: readonly TaskReport[], of: (task: TaskReport) => number): TaskReport | undefined =>
  tasks.toSorted((a, b) => of(b) - of(a))[0];

function charging({ bus, tasks }: LegEnergy): string[] {
  const { chargeLimit, chargingVoltage, resistor } = bus;
  const limit = `${significant(chargeLimit)} A`;
  const top = `${fixed(chargingVoltage, 1)} V`;
  const lines = [
    `What the joints return goes to the other joint first, then into the cells up to ${limit}, then into the brake resistor if it is on at that voltage, and what is left into the windings as d current, which makes heat and no torque. The capacitor stands at the pack’s voltage and keeps nothing for itself.`,
  ];
  const pushed = most(tasks, (task) => task.chargeCurrent.value);
  if (pushed !== undefined && pushed.chargeCurrent.value > chargeLimit)
    lines.push(
      `With nothing but what is fitted, the pack is charged with up to ${significant(pushed.chargeCurrent.value)} A (${pushed.id}): more than its limit of ${limit}.`,
    );
  if (resistor === undefined)
    lines.push('No brake resistor is in the leg file: what the cells do not take is left to the windings.');
  else if (resistor.holdsLimit)
    lines.push(
      `The brake resistor switches on at ${fixed(resistor.threshold, 1)} V, where the cells take ${significant(resistor.currentAtThreshold)} A: it holds the limit while it can take the rest, up to ${fixed(resistor.power, 0)} W.`,
    );
  else
    lines.push(
      `The brake resistor cannot hold that limit while the pack is connected: ${limit} into the cells is ${top} at the bus, and at the resistor’s ${fixed(resistor.threshold, 1)} V it would be ${significant(resistor.currentAtThreshold)} A. Something else must limit the charge: d current in the windings, as counted here, or a switch or converter between pack and bus.`,
    );
  if (resistor !== undefined && Number.isFinite(resistor.largestResistance))
    lines.push(
      `Alone with the bus the resistor of ${significant(resistor.resistance)} Ω takes ${fixed(resistor.power, 0)} W at its threshold; the largest return needs ${significant(resistor.largestResistance)} Ω or less. In the task that returns most it would be on for ${fixed(100 * resistor.duty, 0)} % of the time, and its heat stays in the leg.`,
    );
  const full = most(tasks, (task) => task.full.energy / task.energy.time);
  if (full !== undefined && full.full.energy > 0) {
    const hardest = most(tasks, (task) => task.full.share)!;
    lines.push(
      `Full or cold, the pack takes nothing, and ${significant(full.full.energy)} J a stride (${full.id}) have to be burnt in the windings, up to ${fixed(full.full.power, 0)} W; d and q current together then reach ${fixed(100 * hardest.full.share, 0)} % of what a motor may carry (${hardest.id}). The knee’s damping must not change when the battery is full: brake with the same torque, burn the rest, and prove it on the bench with a full pack.`,
    );
  }
  lines.push('What the bus does when the pack opens while braking is told by striderule drive powerloss.');
  return lines;
}

function joints({ bus, tasks }: LegEnergy): string[] {
  return (Object.keys(bus.joints) as DrivenJoint[]).map((joint) => {
    const own = bus.joints[joint]!;
    const speed = (radians: number): string => `${fixed(degPerSecond(radians), 0)} °/s`;
    const ripple = Math.max(0, ...tasks.map((task) => task.ripple[joint] ?? 0));
    const weak =
      own.weakened === undefined || !(own.weakened > own.sagging)
        ? ''
        : `, with a weakened field ${speed(own.weakened)}, as far as the electronics stand the voltage when power is lost`;
    return `${joint}: without load ${speed(own.stiff)} on a stiff bus, ${speed(own.sagging)} on this one${weak}; characteristic current ${significant(own.characteristicCurrent)} A. Braking with more than ${significant(own.regeneration)} N·m per rad/s costs energy instead of returning it. Ripple in the capacitor up to ${significant(ripple)} A rms.`;
  });
}
