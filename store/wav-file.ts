// Sound as WAV: RIFF/WAVE, little endian, one `fmt ` and one `data` chunk in that order, others skipped. Uncompressed PCM of 8 (unsigned),
// 16, 24 or 32 bits, or IEEE float of 32 or 64, also as WAVE_FORMAT_EXTENSIBLE. Full scale is ±1. Read whole: a level needs every sample.
// Valid: sizes that fit the file, whole frames, no NaN. A file cut short by a crash of the recorder is refused, never half read.

import { readFileSync, statSync } from 'node:fs';
import { Fault } from '@striderule/engine';

/** One channel of a recording. */
export interface WavSound {
  /** Samples a second. */
  readonly rate: number;
  readonly samples: Float64Array;
}

/** Largest file: 15 minutes of 48 kHz, 24 bit, two channels, read at once. */
const LARGEST = 260e6;
/** Share of full scale from which a sample counts as clipped. COMMON PRACTICE. */
const FULL_SCALE = 0.999;

const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;

interface Format {
  readonly kind: number;
  readonly channels: number;
  readonly rate: number;
  readonly bits: number;
}

/**
 * Reads `channel`, counted from 1, of the WAV file at `path`; `name` is what faults call it. A file of several channels must be told which.
 * Faults: unreadable, no WAV, compressed, cut short, empty, clipped, without number.
 */
export function readWav(path: string, name: string, channel?: number): WavSound {
  const refuse = (cause: string, what: string, mend: string): Fault =>
    new Fault({ code: `store.wav-${cause}`, what, mend, place: { file: name } });
  const bytes = bytesOf(path, refuse);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const tag = (at: number): string => bytes.toString('latin1', at, at + 4);
  if (bytes.length < 12 || tag(0) !== 'RIFF' || tag(8) !== 'WAVE')
    throw refuse('no-wav', 'this is no WAV file: RIFF and WAVE are not at its head', UNCOMPRESSED);
  let format: Format | undefined;
  for (let at = 12; at + 8 <= bytes.length; ) {
    const size = view.getUint32(at + 4, true);
    const start = at + 8;
    if (start + size > bytes.length)
      throw refuse(
        'cut-short',
        `\`${tag(at).trim()}\` should hold ${size} bytes, and ${bytes.length - start} are there`,
        'Record again: the recorder was stopped before it closed the file',
      );
    if (tag(at) === 'fmt ') format = formatAt(view, start, size, refuse);
    if (tag(at) === 'data') {
      if (format === undefined) throw refuse('no-format', 'samples come before their format', UNCOMPRESSED);
      return { rate: format.rate, samples: samplesOf(view, start, size, format, channel, refuse) };
    }
    at = start + size + (size % 2);
  }
  throw refuse('no-samples', 'there are no samples in this file', UNCOMPRESSED);
}

const UNCOMPRESSED = 'Export it as uncompressed WAV, 16, 24 or 32 bit or float';

type Refuse = (cause: string, what: string, mend: string) => Fault;

function bytesOf(path: string, refuse: Refuse): Buffer {
  try {
    const stat = statSync(path);
    if (!stat.isFile()) throw refuse('cannot-read', 'this is not a file', 'Name a WAV file');
    if (stat.size > LARGEST)
      throw refuse(
        'too-large',
        'this file is larger than 260 MB',
        'Cut it to the part that is meant, 15 minutes at most',
      );
    return readFileSync(path);
  } catch (error) {
    if (error instanceof Fault) throw error;
    const { code } = error as NodeJS.ErrnoException;
    const none = code === 'ENOENT';
    throw refuse(
      'cannot-read',
      none ? 'there is no such file' : `this file cannot be read (${code})`,
      none ? 'Correct its name' : 'Give yourself permission to read it',
    );
  }
}

function formatAt(view: DataView, start: number, size: number, refuse: Refuse): Format {
  if (size < 16) throw refuse('no-format', `a format of ${size} bytes is too short`, UNCOMPRESSED);
  const written = view.getUint16(start, true);
  // an extensible format keeps the old number at the head of its own
  const kind = written === EXTENSIBLE && size >= 26 ? view.getUint16(start + 24, true) : written;
  const format = {
    kind,
    channels: view.getUint16(start + 2, true),
    rate: view.getUint32(start + 4, true),
    bits: view.getUint16(start + 14, true),
  };
  const known =
    (kind === PCM && [8, 16, 24, 32].includes(format.bits)) ||
    (kind === FLOAT && [32, 64].includes(format.bits));
  if (!known)
    throw refuse('compressed', `format ${kind} of ${format.bits} bits is not read here`, UNCOMPRESSED);
  if (format.channels === 0 || format.rate === 0)
    throw refuse('no-format', 'the format names no channel or no sample rate', UNCOMPRESSED);
  return format;
}

function samplesOf(
  view: DataView,
  start: number,
  size: number,
  { kind, channels, rate, bits }: Format,
  channel: number | undefined,
  refuse: Refuse,
): Float64Array {
  if (channel === undefined && channels > 1)
    throw refuse(
      'which-channel',
      `this file has ${channels} channels`,
      `Name one with --channel, 1 to ${channels}`,
    );
  if (channel !== undefined && channel > channels)
    throw refuse(
      'which-channel',
      `there is no channel ${channel} of ${channels}`,
      `Name one from 1 to ${channels}`,
    );
  const width = bits / 8;
  const frame = channels * width;
  const count = Math.floor(size / frame);
  if (count === 0) throw refuse('no-samples', 'there are no samples in this file', 'Record again');
  if (count * frame !== size)
    throw refuse('cut-short', 'the last frame of samples is not whole', 'Export the recording again');
  const scale = 2 ** (bits - 1);
  const at = (offset: number): number => {
    if (kind === FLOAT) return bits === 32 ? view.getFloat32(offset, true) : view.getFloat64(offset, true);
    if (bits === 8) return (view.getUint8(offset) - 128) / scale;
    if (bits === 16) return view.getInt16(offset, true) / scale;
    if (bits === 24) return ((view.getInt8(offset + 2) << 16) | view.getUint16(offset, true)) / scale;
    return view.getInt32(offset, true) / scale;
  };
  const samples = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const x = at(start + i * frame + ((channel ?? 1) - 1) * width);
    if (!(Math.abs(x) < FULL_SCALE)) {
      const when = `${(i / rate).toFixed(3)} s`;
      if (!Number.isFinite(x))
        throw refuse('no-number', `the sample at ${when} is no number`, 'Record again');
      throw refuse(
        'clipped',
        `the sample at ${when} stands at full scale: what is louder was cut off`,
        'Record again with less gain, automatic gain off',
      );
    }
    samples[i] = x;
  }
  return samples;
}
