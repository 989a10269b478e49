import { HAND, HAND_THIGH, type HandMethod, HOLD } from '@striderule/engine';
import { fixed, significant } from '../show/number.ts';
import { degrees } from '../show/unit.ts';
import { finishing, type HandRun } from './hand-run.ts';

export const METHOD: Readonly<Record<HandMethod, string>> = {
  latch: 'latched thigh map with play',
  plane: 'phase plane',
  oscillator: 'adaptive oscillator',
};
/** What to feel for. */
export const FEEL: Readonly<Record<HandMethod, string>> = {
  latch:
    'It knows where the thigh has been, not how fast: stop, and the leg stops; go back a little, and it stays within its play, the arc beside the scale; go back further, and it follows you back. Where the thigh leads no more the swing finishes by time.',
  plane:
    'It reads angle and speed together, and its pace is the recorded stride’s: swing at another pace and the knee comes early or late; stop, and without speed half of it is gone, so the knee jumps away from under you.',
  oscillator:
    'It learns a rhythm and has a clock of its own: swing evenly and it follows you after a few strides; stop, and it walks on without you.',
};

/** Per cent of a stride; beyond what a hand can tell apart only that it is less. */
const little = (share: number): string =>
  share > 0 && share < 1e-5 ? 'less than 0.001' : significant(100 * share, 2);

export const holdText = ({ held, hold }: HandRun): string => {
  if (held === undefined) return 'Hold it still for half a second.';
  const goes = (hold[HOLD.time] ?? 0) > 0.5;
  return `${goes ? 'Held' : 'Last hold:'} ${fixed(held.time, 1)} s, phase moved ${little(held.drift)} % of the stride${held.finished ? ', finishing by time' : ''}.`;
};

export const paceText = ({ pass, of }: HandRun): string => {
  const { compared } = pass;
  if (compared === undefined)
    return 'Bring the thigh forward twice from behind toe-off, once slow and once fast.';
  const speed = (share: number) => fixed(degrees(share * (of.map.full - of.map.referenceOn)), 0);
  return `Last two passes, ${speed(compared.earlier)}°/s and ${speed(compared.later)}°/s: at the same thigh the phase differs by up to ${little(compared.warp)} % of the stride.`;
};

/** What is worth telling aloud: it changes seldom. */
export function stateText(run: HandRun): string {
  const fault = run.state.says[HAND.fault];
  if (!run.plugged)
    return 'Sensor unplugged: the controller hears no thigh, holds knee and ankle where they are, and says so.';
  if (fault === 2)
    return 'The foot left the ground with the thigh already forward, less than 15° to go: the phase stays until the next toe-off.';
  if (run.shown !== undefined) {
    const { clock, demo } = run.shown;
    if (clock > demo.heldFrom && clock < demo.heldTo) return 'The recorded thigh is held half way.';
    return 'The recorded stride plays.';
  }
  if (finishing(run)) return 'The thigh leads no more: the swing has been finished by time.';
  return run.touched ? 'The thigh leads.' : 'The leg stands at toe-off.';
}

export const spoken = (run: HandRun): string => {
  const { says } = run.state;
  const phase = says[HAND.phase] ?? Number.NaN;
  return `${fixed(degrees(run.thigh[HAND_THIGH.angle] ?? Number.NaN), 0)} degrees forward. Phase ${Number.isNaN(phase) ? 'none in stance' : `${fixed(100 * phase, 0)} per cent`}, knee ${fixed(degrees(says[HAND.knee] ?? Number.NaN), 0)} degrees, ankle ${fixed(degrees(says[HAND.ankle] ?? Number.NaN), 0)} degrees`;
};
