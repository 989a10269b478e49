import { LASTS, LEAST_STANCE, LOADED, UNLOADED } from './phase-controller.ts';
import { COMMAND, MEASURED, type WalkController } from './walk-controller.ts';

/**
 * Stance and swing of a leg without a controller, for the log alone: loaded beyond 8 % of `weight`, N, and unloaded below 4 %, as the other
 * legs' are told. It commands nothing. The load changes no state of it before it has changed for 5 ms, or a tenth of a second after the last.
 */
export function contactWatch(period: number, weight: number): WalkController {
  const lasts = Math.max(1, Math.round(LASTS / period));
  let stance = false;
  let time = 0;
  let count = 0;
  return {
    begin: () => {
      stance = false;
      time = LEAST_STANCE;
    },
    tick: (measured, command) => {
      const load = measured[MEASURED.load];
      time += period;
      count = (stance ? load < UNLOADED * weight : load > LOADED * weight) ? count + 1 : 0;
      if (count >= lasts && time >= LEAST_STANCE) {
        stance = !stance;
        time = 0;
        count = 0;
      }
      command[COMMAND.mode] = stance ? 0 : 1;
      command[COMMAND.phase] = Number.NaN;
      command[COMMAND.kneeTarget] = Number.NaN;
      command[COMMAND.ankleTarget] = Number.NaN;
    },
  };
}
