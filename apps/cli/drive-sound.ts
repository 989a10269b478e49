import path from 'node:path';
import {
  BACKGROUND_LIMIT,
  backgroundCorrection,
  distanceCorrection,
  Fault,
  soundLevels,
  soundSensitivity,
} from '@striderule/engine';
import { readWav, type WavSound } from '@striderule/store';
import { numberOption, quantityOption } from './number-option.ts';
import { fixed, significant } from './number-text.ts';
import { list } from './paragraph.ts';
import { json, out, strong } from './print.ts';
import type { Values } from './values.ts';

/** What a calibrator's A-weighted level may differ from its plain one and still be a tone at 1 kHz, dB. COMMON PRACTICE. */
const CALIBRATOR_TOLERANCE = 1;

/** A recording in dB, A-weighted. `level` is null where there was no calibrator. */
interface Heard {
  readonly file: string;
  readonly seconds: number;
  readonly level: number | null;
  readonly plain: number | null;
  readonly difference?: number;
  readonly background?: {
    readonly level: number;
    readonly above: number;
    readonly correction: number | null;
  };
  readonly corrected?: number | null;
  readonly distance?: number;
  readonly moved?: { readonly to: number; readonly level: number };
  readonly notes: readonly string[];
}

/** `drive sound`: level of a recording against a calibrator's, or difference of two recordings at one gain. */
export async function driveSound(file: string, values: Values): Promise<number> {
  const heard = hear(file, values);
  if (values.json)
    out(json({ units: 'dB re 20 µPa, A-weighted unless plain; m; s; null where not known', sound: heard }));
  else out(soundText(heard));
  return 0;
}

function hear(file: string, values: Values): Heard {
  const { calibrator, against, background } = values as {
    readonly [name: string]: string | undefined;
  };
  const level = numberOption(values, 'level');
  const channel = numberOption(values, 'channel');
  const distance = quantityOption(values, 'distance', 'length');
  const to = quantityOption(values, 'at', 'length');
  if (channel !== undefined && !(Number.isInteger(channel) && channel > 0))
    throw refuse('channel', `--channel "${channel}" is no channel`, 'Count from 1');
  if ((calibrator === undefined) !== (level === undefined))
    throw refuse(
      'calibrator',
      calibrator === undefined
        ? '--level is the calibrator’s, and there is none'
        : '--calibrator needs its level',
      'Give both: --calibrator cal.wav --level 94',
    );
  if (calibrator === undefined && against === undefined)
    throw refuse(
      'no-calibration',
      'a recording without a calibrator has no level: gain and microphone are not known',
      'Record a sound calibrator at the same gain and give --calibrator cal.wav --level 94; or compare two recordings with --against other.wav',
    );
  if (background !== undefined && calibrator === undefined)
    throw refuse(
      'background',
      '--background is taken off a level, and without --calibrator there is none',
      'Give a calibrator, or leave it out',
    );
  if (to !== undefined && (distance === undefined || calibrator === undefined))
    throw refuse(
      'distance',
      '--at needs a level and the distance it was recorded from',
      'Give --calibrator, --level and --distance',
    );
  const read = (name: string): WavSound => readWav(path.resolve(name), name, channel);
  const notes: string[] = [];
  const sensitivity =
    calibrator === undefined ? 1 : sensitivityOf(calibrator, read(calibrator), level!, notes);
  const levels = (name: string) => {
    const { samples, rate } = read(name);
    const found = soundLevels(samples, rate, sensitivity);
    if (found.plain === Number.NEGATIVE_INFINITY)
      throw new Fault({
        code: 'sound.silence',
        what: 'every sample of this recording is the same: there is no sound in it',
        mend: 'Check microphone and channel, and record again',
        place: { file: name },
      });
    return { ...found, seconds: samples.length / rate };
  };
  const { weighted, plain, seconds } = levels(file);
  const behind = background === undefined ? undefined : levels(background).weighted;
  const above = behind === undefined ? undefined : weighted - behind;
  const correction = above === undefined ? undefined : backgroundCorrection(above);
  const near = correction !== undefined && Number.isNaN(correction);
  if (near)
    notes.push(
      `The background is less than ${BACKGROUND_LIMIT} dB below: it cannot be taken off, and the joint is at most as loud as what was recorded.`,
    );
  const corrected = correction === undefined || near ? weighted : weighted - correction;
  return {
    file: path.basename(file),
    seconds,
    level: calibrator === undefined ? null : weighted,
    plain: calibrator === undefined ? null : plain,
    ...(against !== undefined && { difference: weighted - levels(against).weighted }),
    ...(behind !== undefined && {
      background: { level: behind, above: above!, correction: near ? null : correction! },
      corrected: near ? null : corrected,
    }),
    ...(distance !== undefined && { distance }),
    ...(to !== undefined && { moved: { to, level: corrected + distanceCorrection(distance!, to) } }),
    notes,
  };
}

const refuse = (cause: string, what: string, mend: string): Fault =>
  new Fault({ code: `cli.${cause}`, what, mend });

function sensitivityOf(name: string, { samples, rate }: WavSound, level: number, notes: string[]): number {
  const sensitivity = soundSensitivity(samples, level);
  if (!Number.isFinite(sensitivity))
    throw new Fault({
      code: 'sound.silence',
      what: 'every sample of the calibrator’s recording is the same: there is no sound in it',
      mend: 'Check microphone and channel, and record the calibrator again',
      place: { file: name },
    });
  const { weighted, plain } = soundLevels(samples, rate, sensitivity);
  if (Math.abs(weighted - plain) > CALIBRATOR_TOLERANCE)
    notes.push(
      `The calibrator’s recording is ${fixed(weighted - plain, 1)} dB away from a tone at 1 kHz when A-weighted: is it another frequency, or is there something else on it?`,
    );
  return sensitivity;
}

function soundText(heard: Heard): string {
  const { file, seconds, level, plain, difference, background, corrected, distance, moved, notes } = heard;
  const from = distance === undefined ? 'distance not stated' : `at ${significant(distance)} m`;
  const first =
    level === null
      ? `${file} is ${fixed(Math.abs(difference!), 1)} dB(A) ${difference! < 0 ? 'quieter' : 'louder'}. No calibrator, so no level.`
      : `${file}: ${fixed(level, 1)} dB(A), ${from}.`;
  const told = [
    `${fixed(seconds, 2)} s${plain === null ? '' : `, L_Aeq ${fixed(level, 2)} dB, unweighted L_Zeq ${fixed(plain, 2)} dB`}.`,
    level !== null && difference !== undefined
      ? `Against the other recording ${fixed(difference, 1)} dB(A).`
      : '',
    background === undefined
      ? ''
      : `Background ${fixed(background.level, 1)} dB(A), ${fixed(background.above, 1)} dB below${
          corrected === null
            ? '.'
            : `: taken off, K_1 = ${fixed(background.correction, 2)} dB, ${fixed(corrected, 1)} dB(A) is left.`
        }`,
    moved === undefined
      ? ''
      : `At ${significant(moved.to)} m it would be ${fixed(moved.level, 1)} dB(A): a small source in the open, no room, no ground.`,
  ].filter((part) => part !== '');
  return [
    strong(first),
    told.join('\n'),
    list([
      ...notes,
      ...(distance === undefined && level !== null
        ? [
            'A level says little without the distance of the microphone: give --distance, such as --distance 0.5m.',
          ]
        : []),
      'One microphone in one room: no measurement by a standard (such as ISO 3744 or 3746, which apply with local codes).',
      'Automatic gain must be off and the gain the same in every recording. Mean over the whole recording; no maximum, no tonality.',
      'A recording of a joint under power is made on a tethered bench with an emergency stop, nobody in it.',
    ]),
  ].join('\n\n');
}
