/**
 * Discrete Fourier transform in place, X_k = Σ_i x_i·e^{−2πj·ik/n}, of a length n that is a power of two (any other: RangeError).
 * Radix 2 with the input in bit-reversed order: Cooley & Tukey, Math. Comp. 19 (1965) 297–301 (FROM MEMORY); the sum itself is the test.
 * Returns a transform that owns its table of sines, for real and imaginary parts of that length.
 */
export function fft(n: number): (real: Float64Array, imaginary: Float64Array) => void {
  if (n === 0 || (n & (n - 1)) !== 0) throw new RangeError(`a length of ${n} is no power of two`);
  const cosine = new Float64Array(n / 2);
  const sine = new Float64Array(n / 2);
  for (let k = 0; k < n / 2; k++) {
    cosine[k] = Math.cos((2 * Math.PI * k) / n);
    sine[k] = -Math.sin((2 * Math.PI * k) / n);
  }
  return (real, imaginary) => {
    for (let i = 1, j = 0; i < n; i++) {
      let bit = n >> 1;
      for (; (j & bit) !== 0; bit >>= 1) j ^= bit;
      j ^= bit;
      if (i >= j) continue;
      [real[i], real[j]] = [real[j], real[i]];
      [imaginary[i], imaginary[j]] = [imaginary[j], imaginary[i]];
    }
    for (let half = 1; half < n; half *= 2) {
      const stride = n / (2 * half);
      for (let start = 0; start < n; start += 2 * half) {
        for (let k = 0; k < half; k++) {
          const [a, b] = [start + k, start + k + half];
          const [c, s] = [cosine[k * stride], sine[k * stride]];
          const re = real[b] * c - imaginary[b] * s;
          const im = real[b] * s + imaginary[b] * c;
          real[b] = real[a] - re;
          imaginary[b] = imaginary[a] - im;
          real[a] += re;
          imaginary[a] += im;
        }
      }
    }
  };
}
