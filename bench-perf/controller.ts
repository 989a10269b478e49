import {
  controlledLeg,
  controllerState,
  controllerTick,
  evaluateDesign,
  INPUT,
  OUTPUTS,
  type StudyInput,
} from '@striderule/engine';
import { inTurn, timingText } from './rounds.ts';

const TICKS = 4000;

/** One tick of the whole controller over an invented walk, stance and swing by turns. Must reach: 2 µs a tick. */
export function controllerTime(input: StudyInput): string {
  const leg = controlledLeg(input, evaluateDesign(input));
  if ('openBecause' in leg) return `Controller: ${leg.openBecause}`;
  const { compiled } = leg;
  const sensors = Object.keys(INPUT).length;
  const rows = Array.from({ length: TICKS }, (_, k) => {
    const place = ((k * compiled.period) / 1.1) % 1;
    const turn = 2 * Math.PI * place;
    const row = new Float64Array(sensors);
    row[INPUT.thigh] = 0.09 + 0.3 * Math.cos(turn);
    row[INPUT.thighRate] = (-0.3 * Math.sin(turn) * 2 * Math.PI) / 1.1;
    row[INPUT.knee] = 0.5 - 0.4 * Math.sin(turn);
    row[INPUT.ankle] = 0.15 * Math.sin(2 * turn);
    row[INPUT.load] = (place < 0.62 ? compiled.bodyWeight : 0) + (k % 7);
    row[INPUT.kneeWinding] = 310;
    row[INPUT.ankleWinding] = 310;
    row[INPUT.bus] = 44;
    row[INPUT.elapsed] = compiled.period;
    row[INPUT.kneeSecond] = row[INPUT.knee]!;
    row[INPUT.ankleSecond] = row[INPUT.ankle]!;
    return row;
  });
  const state = controllerState(compiled);
  const outputs = new Float64Array(OUTPUTS);
  const seen = new Set<number>();
  const run = (): number => {
    for (const row of rows) controllerTick(compiled, state, row, outputs);
    return outputs[0]!;
  };
  for (const row of rows) {
    controllerTick(compiled, state, row, outputs);
    seen.add(state.counts[0]!);
  }
  const times = inTurn({ controller: run });
  const each = (times.controller.median * 1e3) / TICKS;
  return [
    'Whole controller, one tick (must reach 2 µs)',
    `  ${TICKS} ticks through ${[...seen].map((s) => compiled.states[s]).join(', ')}  ${timingText(times.controller)}, ${each.toFixed(2)} µs a tick, ${(each / 10).toFixed(3)} % of one core at 1 kHz`,
  ].join('\n');
}
