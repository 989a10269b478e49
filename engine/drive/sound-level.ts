import { fft } from '../numeric/fft.ts';

/** Pole frequencies of the A-weighting, Hz: IEC 61672-1, as open-source acoustics packages carry them. */
const [F1, F2, F3, F4] = [20.598997, 107.65265, 737.86223, 12194.217];

const magnitude = (f: number): number => {
  const q = f * f;
  return (F4 ** 2 * q * q) / ((q + F1 ** 2) * Math.sqrt((q + F2 ** 2) * (q + F3 ** 2)) * (q + F4 ** 2));
};
const AT_1000 = magnitude(1000);

/**
 * A-weighting at `frequency` Hz, dB:  A = 20·log₁₀(R(f)/R(1000)),
 * R = f₄²·f⁴/[(f² + f₁²)·√((f² + f₂²)(f² + f₃²))·(f² + f₄²)].  −∞ at 0. IEC 61672-1.
 */
export const aWeighting = (frequency: number): number => 20 * Math.log10(magnitude(frequency) / AT_1000);

/** Level of sounds that have nothing to do with one another, dB:  10·log₁₀ Σ 10^(L/10). */
export const levelSum = (levels: readonly number[]): number =>
  10 * Math.log10(levels.reduce((sum, level) => sum + 10 ** (level / 10), 0));

/** Least distance of a sound from its background, dB, below which nothing can be taken off: ISO 3746 (FROM MEMORY). */
export const BACKGROUND_LIMIT = 3;

/**
 * K_1, dB, to be taken off a level that stands `above` dB over its background:  K_1 = −10·log₁₀(1 − 10^(−ΔL/10)).
 * NaN under 3 dB: the background is then too near to be taken off. ISO 3746 (FROM MEMORY).
 */
export const backgroundCorrection = (above: number): number =>
  above < BACKGROUND_LIMIT ? Number.NaN : -10 * Math.log10(1 - 10 ** (-above / 10));

/** Change of level from `from` m to `to` m of a small source in the open, dB:  −20·log₁₀(to/from). No room, no ground. */
export const distanceCorrection = (from: number, to: number): number => -20 * Math.log10(to / from);

/** p_0, Pa: 0 dB, by definition (ISO 1683, FROM MEMORY). */
const REFERENCE = 20e-6;

/** S, Pa per unit of the recording, from a calibrator of `level` dB:  S = p_0·10^(L/20)/x_rms, mean removed. */
export const soundSensitivity = (calibrator: Float64Array, level: number): number =>
  (REFERENCE * 10 ** (level / 20)) / Math.sqrt(variance(calibrator));

/** Equivalent levels of a recording, dB re 20 µPa. */
export interface SoundLevels {
  /** L_Aeq: as the ear weighs it. */
  readonly weighted: number;
  /** L_Zeq: unweighted. */
  readonly plain: number;
}

/** A block of the A-weighted level, samples: 0.34 s at 48 kHz, bins of 3 Hz. */
const BLOCK = 16384;

/**
 * Levels of `samples` taken `rate` times a second, `sensitivity` S Pa per unit; mean removed.
 *
 *     L_Zeq = 10·log₁₀(S²·⟨x²⟩/p_0²)
 *     L_Aeq = L_Zeq + 10·log₁₀(Σ_f A(f)²·|X_f|²/Σ_f |X_f|²)      X: Hann blocks of 16384, half overlapping (Welch)
 *
 * Weighting the spectrum has none of the error that a filter made bilinear has above 8 kHz. Blocks weigh the first and last 0.17 s less
 * and a rest shorter than half a block not at all, so that L_Aeq takes a recording to be alike throughout; a recording shorter than one block is one block with zeros behind it.
 * Neither the Fast nor the Slow maximum. −∞ of silence.
 */
export function soundLevels(samples: Float64Array, rate: number, sensitivity: number): SoundLevels {
  const n = samples.length;
  const average = mean(samples);
  const weight = Float64Array.from({ length: BLOCK / 2 + 1 }, (_, k) => {
    return (magnitude((k * rate) / BLOCK) / AT_1000) ** 2;
  });
  const transform = fft(BLOCK);
  const real = new Float64Array(BLOCK);
  const imaginary = new Float64Array(BLOCK);
  let [all, heard] = [0, 0];
  const length = Math.min(n, BLOCK);
  for (let start = 0; start === 0 || start + BLOCK <= n; start += BLOCK / 2) {
    real.fill(0);
    imaginary.fill(0);
    for (let i = 0; i < length; i++) {
      const hann = 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / length);
      real[i] = (samples[start + i] - average) * hann;
    }
    transform(real, imaginary);
    for (let k = 0; k <= BLOCK / 2; k++) {
      const power = (real[k] ** 2 + imaginary[k] ** 2) * (k === 0 || k === BLOCK / 2 ? 1 : 2);
      all += power;
      heard += power * weight[k];
    }
  }
  const plain = 10 * Math.log10((sensitivity ** 2 * variance(samples)) / REFERENCE ** 2);
  return { plain, weighted: all === 0 ? plain : plain + 10 * Math.log10(heard / all) };
}

const mean = (x: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i];
  return sum / x.length;
};

function variance(x: Float64Array): number {
  const middle = mean(x);
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += (x[i] - middle) ** 2;
  return sum / x.length;
}
