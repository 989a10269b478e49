import { BEHAVIOUR, type CompiledController, LIMIT, LIMITS } from './compile-controller.ts';
import { COUNT, type ControllerState, HELD, INPUT, LIMIT_BIT, OUTPUT } from './controller-memory.ts';
import { SWING } from './swing-tick.ts';

/** Share of θ̇² below which the root's radicand is not taken: there the last digit of θ̇ would decide the torque, and float32 has few. Our choice: up to a tenth less torque, on the safe side. */
const LEVEL = 0.01;

/**
 * Torque of one joint (0 knee, 1 ankle) and its limits. `place`: in the stance schedule. What braking returns to the bus is what it takes
 * from the joint less what the windings burn at the least, and the smaller of two torques that return so much is taken:
 *
 *     |τ|·|θ̇| − c·τ² ≤ P·(V_2 − V)/(V_2 − V_1)   →   |τ| ≤ 2·P′/(|θ̇| + √(θ̇² − 4·c·P′)),   P′ the right side
 *
 * the radicand never below θ̇²/100. Torque above |θ̇|/c costs power and is not limited; P′ is P below V_1 and 0 above V_2, c = 1/(N·K_m)² of a cold motor.
 */
export function jointCommand(
  of: CompiledController,
  { numbers: x, counts: n, swing }: ControllerState,
  outputs: Float64Array,
  j: number,
  place: number,
): void {
  const at = 2 * n[COUNT.state] + j;
  const angle = x[j === 0 ? INPUT.knee : INPUT.ankle];
  const rate = x[HELD.kneeRate + j];
  const kind = of.kind[at];
  const l = j * LIMITS;
  let command = angle;
  let torque = 0;
  if (kind === BEHAVIOUR.spring) {
    command = of.equilibrium[at];
    const step = of.approach[at];
    if (step > 0) {
      const start = x[HELD.kneeStart + j];
      const way = step * n[COUNT.dwell];
      if (command > start + way) command = start + way;
      else if (command < start - way) command = start - way;
    }
    torque = of.stiffness[at] * (command - angle) - of.damping[at] * rate;
  } else if (kind === BEHAVIOUR.thigh) {
    command = swing[j === 0 ? SWING.knee : SWING.ankle];
    const commandRate = swing[j === 0 ? SWING.kneeRate : SWING.ankleRate];
    torque =
      of.stiffness[at] * (command - angle) +
      of.damping[at] * (commandRate - rate) +
      of.carries[at] * swing[j === 0 ? SWING.kneeTorque : SWING.ankleTorque];
  } else if (kind === BEHAVIOUR.schedule) torque = scheduled(of, of.scheduleOf[at], place, angle, rate);

  // limits, in this order
  let acts = 0;
  const full = of.limits[l + LIMIT.torque];
  const margin = of.limits[l + LIMIT.margin];
  const upper = full * share((of.limits[l + LIMIT.to] - angle) / margin);
  const lower = -full * share((angle - of.limits[l + LIMIT.from]) / margin);
  if (torque > upper) {
    torque = upper;
    acts = LIMIT_BIT.torque;
  } else if (torque < lower) {
    torque = lower;
    acts = LIMIT_BIT.torque;
  }
  const speed = of.limits[l + LIMIT.speed];
  const bySpeed =
    torque * rate > 0 ? share((speed - Math.abs(rate)) / (speed - of.limits[l + LIMIT.fadeSpeed])) : 1;
  if (Math.abs(torque) > full * bySpeed) {
    torque = Math.sign(torque) * full * bySpeed;
    acts |= LIMIT_BIT.speed;
  }
  const hot = of.limits[l + LIMIT.hot];
  const winding = x[j === 0 ? INPUT.kneeWinding : INPUT.ankleWinding];
  const byHeat = share((hot - winding) / (hot - of.limits[l + LIMIT.warm]));
  if (Math.abs(torque) > full * byHeat) {
    torque = Math.sign(torque) * full * byHeat;
    acts |= LIMIT_BIT.heat;
  }
  const returned = of.limits[l + LIMIT.returned] * busShare(of, x[INPUT.bus], l);
  if (torque * rate < 0) {
    const c = of.copper[j];
    const speed = Math.abs(rate);
    const braking = Math.abs(torque);
    if (braking * (speed - c * braking) > returned) {
      const square = speed * speed;
      const under = Math.max(LEVEL * square, square - 4 * c * returned);
      torque = (Math.sign(torque) * 2 * returned) / (speed + Math.sqrt(under));
      acts |= LIMIT_BIT.bus;
    }
  }
  const step = of.limits[l + LIMIT.slewStep];
  const before = x[HELD.kneeTorque + j];
  if (torque > before + step) {
    torque = before + step;
    acts |= LIMIT_BIT.slew;
  } else if (torque < before - step) {
    torque = before - step;
    acts |= LIMIT_BIT.slew;
  }
  const shorted = kind === BEHAVIOUR.shorted;
  if (shorted) torque = 0;
  x[HELD.kneeTorque + j] = torque;
  x[HELD.kneeWound + j] = Math.max(Math.abs(torque), of.unwinds[j] * x[HELD.kneeWound + j]);
  outputs[OUTPUT.kneeTorque + j] = torque;
  outputs[OUTPUT.kneeShorted + j] = shorted ? 1 : 0;
  outputs[OUTPUT.kneeCommand + j] = command;
  outputs[OUTPUT.kneeLimits + j] = acts;
  outputs[OUTPUT.kneeMost + j] = full * Math.min(bySpeed, byHeat);
}

/** Share of what a joint may return that the bus voltage leaves. */
const busShare = ({ limits }: CompiledController, volts: number, l: number): number =>
  share((limits[l + LIMIT.bus] - volts) / (limits[l + LIMIT.bus] - limits[l + LIMIT.fadeBus]));

/** 0 … 1. */
const share = (x: number): number => (x < 0 ? 0 : Math.min(x, 1));

/** τ = c − K·θ − B·θ̇, each joined by straight lines between the points of the schedule. */
function scheduled(
  of: CompiledController,
  schedule: number,
  place: number,
  angle: number,
  rate: number,
): number {
  const first = of.scheduleFirst[schedule];
  const last = of.scheduleFirst[schedule + 1] - 1;
  let k = first;
  while (k < last - 1 && of.at[k + 1] <= place) k++;
  const u = share((place - of.at[k]) / (of.at[k + 1] - of.at[k]));
  const K = of.scheduleStiffness[k] + u * (of.scheduleStiffness[k + 1] - of.scheduleStiffness[k]);
  const c = of.scheduleOffset[k] + u * (of.scheduleOffset[k + 1] - of.scheduleOffset[k]);
  const B = of.scheduleDamping[k] + u * (of.scheduleDamping[k + 1] - of.scheduleDamping[k]);
  return c - K * angle - B * rate;
}
